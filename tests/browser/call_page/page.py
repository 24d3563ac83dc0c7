"""What a technician does on "Work the call", and what can be seen there."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

from selenium.webdriver import Chrome, Keys
from selenium.webdriver.common.by import By
from selenium.webdriver.remote.webelement import WebElement
from selenium.webdriver.support.wait import WebDriverWait

from tests.browser import axe

IN_VIEW = """
const box = arguments[0].getBoundingClientRect();
const at = document.elementFromPoint(box.left + box.width / 2, box.top + Math.min(box.height / 2, 20));
const uncovered = arguments[0].contains(at) || (at !== null && at.contains(arguments[0]));
return box.top >= 0 && box.top < innerHeight && uncovered;
"""
MOST_STEPS = 15


@dataclass(frozen=True)
class CallPage:
    """The page in a browser."""

    driver: Chrome
    root: Path

    def open(self, asked: str = "") -> None:
        """Load the page anew, with what stands after the "#"."""
        self.driver.get("about:blank")
        self.driver.get((self.root / "work-the-call.html").as_uri() + asked)
        self.until("return document.querySelector('#faultleaf-call #fl-call-title') !== null")

    def until(self, script: str) -> None:
        """Wait until the script is true."""
        WebDriverWait(self.driver, 10, 0.02).until(lambda driver: driver.execute_script(script))

    def heading(self) -> str:
        """The heading of the screen."""
        return self.driver.find_element(By.CSS_SELECTOR, "#faultleaf-call h1").text

    def where(self) -> tuple[str, str]:
        """The phase of the call, and the step that is advised or asked."""
        root = self.driver.find_element(By.ID, "faultleaf-call")
        return str(root.get_attribute("data-phase")), str(root.get_attribute("data-step"))

    def text(self) -> str:
        """Everything that can be read on the screen."""
        return self.driver.find_element(By.ID, "faultleaf-call").text

    def find(self, key: str) -> WebElement | None:
        """The control of this key, None where the screen has none."""
        found = self.driver.find_elements(By.CSS_SELECTOR, f'#faultleaf-call [data-key="{key}"]')
        return found[0] if found else None

    def control(self, key: str) -> WebElement:
        """The control of this key."""
        control = self.find(key)
        assert control is not None, f"no '{key}' on: {self.text()}"
        return control

    def press(self, key: str) -> None:
        """Press the control of this key, and wait until the screen was built anew."""
        self._and_wait(lambda: self.click(self.control(key)))

    def click(self, control: WebElement) -> None:
        """Bring it to the middle of the screen, away from the bar at its foot, and press it."""
        self.driver.execute_script("arguments[0].scrollIntoView({ block: 'center' })", control)
        control.click()

    def press_text(self, text: str) -> None:
        """Press the button that shows this text."""
        buttons = self.driver.find_elements(By.CSS_SELECTOR, "#faultleaf-call button")
        found = [button for button in buttons if text in button.text]
        assert found, f"no button '{text}' on: {self.text()}"
        self._and_wait(lambda: self.click(found[0]))

    def go(self, at: str) -> None:
        """Ask for a screen by its address."""
        script = f"location.hash = location.hash.split('&')[0] + '&at={at}'"
        self._and_wait(lambda: self.driver.execute_script(script))

    def back(self) -> None:
        """The browser's own button."""
        self._and_wait(self.driver.back)

    def unfold(self, title: str = "") -> None:
        """Open what is folded: of this title, or all."""
        script = "document.querySelectorAll('#faultleaf-call summary').forEach((each) => {" \
            "if (each.textContent.includes(arguments[0])) each.parentElement.open = true; })"  # fmt: skip
        self.driver.execute_script(script, title)

    def _and_wait(self, act: Callable[[], object]) -> None:
        self.driver.execute_script("document.querySelector('#faultleaf-call').firstElementChild.dataset.old = 'yes'")
        act()
        self.until("return document.querySelector('#faultleaf-call [data-old]') === null")

    def keys(self, *keys: str) -> None:
        """Type, and wait until the screen was built anew."""
        self._and_wait(lambda: self.driver.switch_to.active_element.send_keys(*keys))

    def make_safe(self) -> None:
        """Tick every caution, and go on."""
        for box in self.driver.find_elements(By.CSS_SELECTOR, "[data-safe]"):
            self.click(box)
        if self.find("safe"):
            self.press("safe")

    def arrive(self, asked: str, who: str = "licensed") -> None:
        """Arrive with an address, say who is there, and go on."""
        self.open(asked)
        self.press(f"who-{who}")
        self.press("go-on")

    def begin(self, asked: str, who: str = "licensed") -> None:
        """The same up to the first step: every caution read."""
        self.arrive(asked, who)
        self.make_safe()

    def repaired(self) -> None:
        """Tick what is to be proved before, and the repair is done."""
        for box in self.driver.find_elements(By.CSS_SELECTOR, ".fl-prove input"):
            self.click(box)
        self.press("repaired")

    def answer_until(self, answers: Mapping[str, str], wanted: str) -> list[str]:
        """Answer each test (by title, with the words of an outcome) until a control of this key is there."""
        seen: list[str] = []
        while self.find(wanted) is None:
            assert len(seen) < MOST_STEPS, seen
            seen.append(self.heading())
            self.press_text(answers[self.heading()])
        return seen

    def notice(self, title: str, outcome: str) -> None:
        """Enter an outcome of a test, chosen by its title, that nobody asked for."""
        self.press("noticed")
        self.press_text(title)
        self.press(f"outcome-{outcome}")

    def find_what_fits_no_card(self) -> None:
        """Findings of the small site that contradict each other, on a call that has begun there."""
        self.press("outcome-lies")
        for title, outcome in (("Hold with", "rises"), ("Listen", "heard"), ("Measure", "high")):
            self.notice(title, outcome)

    def tab_to(self, key: str) -> None:
        """Go to the control by the tabulator key alone; each stop on the way can be seen."""
        for _ in range(80):
            self.driver.switch_to.active_element.send_keys(Keys.TAB)
            focused = self.driver.switch_to.active_element
            assert self.driver.execute_script(IN_VIEW, focused), focused.get_attribute("outerHTML")
            if focused.get_attribute("data-key") == key:
                return
        raise AssertionError(f"no way to '{key}' by the tabulator key")

    def violations(self) -> list[str]:
        """What axe-core finds wrong with the page as it stands (WCAG 2.2 AA, best practice, contrast of 7 to 1)."""
        return axe.violations(self.driver)

    def stored(self) -> list[str]:
        """The keys of the jobs that the browser keeps."""
        script = "return Object.keys(localStorage).filter((key) => key.startsWith('faultleaf-job:')).sort()"
        found: list[str] = self.driver.execute_script(script)
        return found
