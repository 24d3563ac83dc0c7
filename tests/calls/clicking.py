"""A drawn call worked on the page "Work the call" itself, by clicks."""

from faultleaf.cards.urls import code_url
from faultleaf.diagnosis import CURED, HAND_ON, Problem
from faultleaf.diagnosis.step.rank import StepKind

from tests.browser.call_page.page import CallPage

EQUIPMENT = "equipment."


class PageTable:
    """The page, opened by the code of a printed sheet and made safe; it shows steps and takes outcomes."""

    def __init__(self, page: CallPage, problem: Problem, symptom: str, variant: str) -> None:
        self._page, self._problem = page, problem
        page.open()
        page.driver.execute_script("localStorage.clear()")
        page.begin("#" + code_url(symptom, variant).partition("#")[2])

    def next(self) -> tuple[StepKind, str]:
        """The step that the page shows; under a stop the first that it allows."""
        phase, step = self._page.where()
        if phase in ("hand-on", "nothing-left") or step == HAND_ON:
            return "hand-on", HAND_ON
        if phase == "name":
            return "named", step
        assert phase in ("equipment", "step", "stop"), f"{phase}: {self._page.text()}"
        return ("repair" if step in self._problem.repair_index else "test"), step

    def answer(self, outcome: str) -> None:
        """Presses what was found; a repair is done first, then proved. What others repair is named before."""
        kind, step = self.next()
        if self._page.where()[0] == "stop":
            self._page.press(f"allowed-{step}")
        if kind == "test":
            self._page.press(f"value-{outcome}" if step.startswith(EQUIPMENT) else f"outcome-{outcome}")
            return
        if kind == "named":
            self._page.press("named")
        self._page.repaired()
        assert self._page.where()[0] == "proof"
        if outcome != CURED:
            self._page.press("still-there")
            return
        cured = self._page.control("cured")
        self._page.click(cured)
        if self._page.find("cured"):  # a second press where its time has not run
            self._page.press("cured")
        assert self._page.where()[0] == "cured"
