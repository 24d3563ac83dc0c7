"""A drawn call worked on the page "Work the call" itself, by clicks."""

from faultleaf.cards.urls import code_url
from faultleaf.diagnosis import CURED, HAND_ON, Problem
from faultleaf.diagnosis.steps import Kind

from tests.browser.call_page.page import CallPage

EQUIPMENT = "equipment."


class PageTable:
    """The page, opened by the code of a printed sheet and made safe; it shows steps and takes outcomes."""

    def __init__(self, page: CallPage, problem: Problem, symptom: str, variant: str) -> None:
        self._page, self._problem = page, problem
        page.open()
        page.driver.execute_script("localStorage.clear()")
        page.begin("#" + code_url(symptom, variant).partition("#")[2])

    def next(self) -> tuple[Kind, str]:
        """The step that the page shows."""
        phase, step = self._page.where()
        if phase in ("hand-on", "nothing-left"):
            return "hand-on", HAND_ON
        assert phase in ("equipment", "step"), f"{phase}: {self._page.text()}"
        return ("repair" if step in self._problem.repair_index else "test"), step

    def answer(self, outcome: str) -> None:
        """Presses what was found; a repair is done first, then proved (twice: its time has not run)."""
        kind, step = self.next()
        if kind == "test":
            self._page.press(f"value-{outcome}" if step.startswith(EQUIPMENT) else f"outcome-{outcome}")
            return
        self._page.press("repaired")
        assert self._page.where()[0] == "proof"
        if outcome == CURED:
            self._page.control("cured").click()
            self._page.press("cured")
            assert self._page.where()[0] == "cured"
        else:
            self._page.press("still-there")
