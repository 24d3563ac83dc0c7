"""Worksheet pages on a phone and on paper: typed, switched, emptied, printed on one page with and without blanks."""

import base64
import io
from collections.abc import Iterator, Sequence
from pathlib import Path

import pytest
from pypdf import PdfReader
from selenium.webdriver import Chrome
from selenium.webdriver.common.by import By
from selenium.webdriver.support.select import Select

from tests.browser.chromium import console_errors, open_chromium, outside_urls
from tests.browser.worksheets.small_site import build_worksheet_site
from tests.counts import one_in

AXE = Path(__file__).parent.parent / "vendor/axe-core/axe.min.js"
PAPERS = {"letter": (8.5, 11.0), "a4": (8.27, 11.69)}
NIGHT = (("22:30", "2", "70"), ("6:30", "3 1/16", "21 C"))


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return build_worksheet_site(tmp_path_factory.mktemp("worksheets") / "home")


@pytest.fixture(scope="module")
def phone(site: Path) -> Iterator[Chrome]:
    with open_chromium(390, 844) as driver:
        yield driver
        assert console_errors(driver) == ()
        assert outside_urls(driver, site) == ()


def _open(phone: Chrome, site: Path, name: str) -> None:
    phone.get((site / f"worksheets/{name}.html").as_uri())


def _type(phone: Chrome, field: str, text: str, give: str = "") -> None:
    place = phone.find_element(By.CSS_SELECTOR, f'[data-input="{field}"]')
    for selector, typed in ((".fl-sum__value", text), (".fl-sum__give input", give)):
        box = place.find_element(By.CSS_SELECTOR, selector)
        box.clear()
        box.send_keys(typed)


def _unit(phone: Chrome, kind: str, name: str, unit: str) -> None:
    Select(phone.find_element(By.CSS_SELECTOR, f'[data-{kind}="{name}"] select.fl-sum__unit')).select_by_value(unit)


def _shown(phone: Chrome, result: str) -> str:
    return phone.find_element(By.CSS_SELECTOR, f'[data-result="{result}"] output').text


def _problem(phone: Chrome, field: str) -> str:
    return phone.find_element(By.ID, f"problem-{field}").text


def test_what_is_typed_is_worked_at_once(phone: Chrome, site: Path) -> None:
    _open(phone, site, "leak-rate")
    assert _shown(phone, "leak") == "0.15 ± 0.02"
    _type(phone, "rise", "1 1/4", "1/16")
    _type(phone, "time", "0,5")
    _type(phone, "per-inch", "1.2")
    assert _shown(phone, "leak") == "3.00 ± 0.15"
    assert _shown(phone, "full-in") == "2.40 ± 0.13"


def test_units_change_the_figures_and_never_the_water(phone: Chrome, site: Path) -> None:
    _open(phone, site, "leak-rate")
    before = {name: _shown(phone, name) for name in ("speed", "leak", "a-day", "full-in")}
    for unit in ("mm", "ft", "cm", "m", "in"):
        _unit(phone, "input", "rise", unit)
        _unit(phone, "input", "room", unit)
        _unit(phone, "input", "per-inch", "L/cm")
        _unit(phone, "input", "time", "min")
        assert {name: _shown(phone, name) for name in before} == before
    _unit(phone, "result", "leak", "L/h")
    assert _shown(phone, "leak") == "0.57 ± 0.09"


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("", "nothing is filled in"), ("a bit", "cannot be read"), ("1/0", "0 below its line"), ("NaN", "cannot be"),
        ("-2", "below what is sensible"), ("99", "above what is sensible"), ("1,250", "may mean 1250 or 1.25"),
        ("3 gal", "not a unit for this"), ("1e400", "not a unit"), ("<img src=x>", "cannot be read"),
    ],
)  # fmt: skip
def test_what_cannot_be_read_is_said_and_no_nan_is_shown(phone: Chrome, site: Path, typed: str, says: str) -> None:
    _open(phone, site, "leak-rate")
    _type(phone, "rise", "1")
    script = """
    const box = document.getElementById("in-rise");
    box.value = arguments[0];
    box.dispatchEvent(new Event("input", { bubbles: true }));
    """
    if typed == "1,250":  # both readings lie in the range of the length of a block, where none does for a rise
        _open(phone, site, "make-up-minerals")
        phone.execute_script(script.replace("in-rise", "in-make-up"), typed)
        assert says in _problem(phone, "make-up")
    else:
        phone.execute_script(script, typed)
        assert says in _problem(phone, "rise")
    text = phone.find_element(By.ID, "faultleaf-worksheet").text
    assert "NaN" not in text.replace("'NaN'", "")
    assert "undefined" not in text
    assert "Infinity" not in text


def test_choices_are_asked_for(phone: Chrome, site: Path) -> None:
    """The trap: a differential that is taken from the dial."""
    _open(phone, site, "pressure-control")
    assert _shown(phone, "cut-out").startswith("1.5")
    Select(phone.find_element(By.ID, "in-way")).select_by_visible_text("is taken from the main setting")
    assert _shown(phone, "cut-out").startswith("0.5")
    assert "never start again" in phone.find_element(By.CSS_SELECTOR, '[data-result="cut-in"] .fl-sum__says').text
    _type(phone, "dial", "24 oz")
    assert _shown(phone, "cut-out").startswith("1.5")


def test_emptied_and_set_back(phone: Chrome, site: Path) -> None:
    _open(phone, site, "leak-rate")
    phone.find_element(By.CSS_SELECTOR, '[data-do="empty"]').click()
    assert _shown(phone, "leak") == "cannot be worked out: 'Rise during the hold' is missing"
    phone.find_element(By.CSS_SELECTOR, '[data-do="first"]').click()
    assert _shown(phone, "leak") == "0.15 ± 0.02"


def test_every_worksheet_shows_without_scripts_what_it_shows_with_them(phone: Chrome, site: Path) -> None:
    """Python's figures stand in the page; the script's own must be the same."""
    for path in sorted((site / "worksheets").glob("*.html")):
        if path.stem == "index":
            continue
        phone.execute_cdp_cmd("Emulation.setScriptExecutionDisabled", {"value": True})
        phone.get(path.as_uri())
        phone.execute_cdp_cmd("Emulation.setScriptExecutionDisabled", {"value": False})
        still = phone.execute_script("return [...document.querySelectorAll('output')].map((each) => each.textContent)")
        phone.get(path.as_uri())
        live = phone.execute_script("return [...document.querySelectorAll('output')].map((each) => each.textContent)")
        assert live == still, path.stem
        assert still, path.stem


def test_nothing_hangs_over_and_axe_has_nothing_to_say(phone: Chrome, site: Path) -> None:
    axe = AXE.read_text(encoding="utf-8")
    for name in ("leak-rate", "riser-velocity", "pressure-control"):
        _open(phone, site, name)
        assert not phone.execute_script("return document.documentElement.scrollWidth > innerWidth"), name
        phone.execute_script(axe)
        found = phone.execute_async_script(
            "const done = arguments[0]; axe.run('#faultleaf-worksheet', { preload: false }).then(({ violations }) =>"
            " done(violations.map((each) => each.id + ': ' + each.nodes[0].html)))"
        )
        assert found == [], name


def _pages(phone: Chrome) -> dict[tuple[str, str], int]:
    """How many pages the open worksheet prints on: filled in or blank, on each paper."""
    found = {}
    for blank in ("", "fl-blank"):
        phone.execute_script("document.documentElement.classList.toggle('fl-blank', arguments[0])", bool(blank))
        for paper, (width, height) in PAPERS.items():
            size = {"paperWidth": width, "paperHeight": height}
            printed = phone.execute_cdp_cmd("Page.printToPDF", size)["data"]
            found[blank, paper] = len(PdfReader(io.BytesIO(base64.b64decode(printed))).pages)
    return found


def test_every_worksheet_prints_on_one_page_of_either_paper(phone: Chrome, site: Path) -> None:
    for path in one_in(2, sorted((site / "worksheets").glob("*.html"))):
        if path.stem == "index":
            continue
        phone.get(path.as_uri())
        assert set(_pages(phone).values()) == {1}, path.stem


def test_the_ledger_prints_on_one_page_whatever_it_says(phone: Chrome, site: Path) -> None:
    full = [(f"{hour}", f"{2 + hour / 8}", "70", f"{hour}", "0") for hour in range(8)]
    for looks in ((), NIGHT, full):
        _ledger(phone, site, looks)
        assert set(_pages(phone).values()) == {1}, looks


def _ledger(phone: Chrome, site: Path, looks: Sequence[tuple[str, ...]], **boiler: str) -> str:
    """What the ledger says of these looks: time, glass, temperature, counter, drained."""
    phone.get((site / "water-ledger.html").as_uri())
    phone.execute_script("localStorage.clear()")
    phone.refresh()
    script = """
    const box = document.getElementById(arguments[0]);
    box.value = arguments[1];
    box.dispatchEvent(new Event("input", { bubbles: true }));
    """
    for name, text in boiler.items():
        phone.execute_script(script, f"led-{name}", text)
    for row, look in enumerate(looks):
        for name, text in zip(("time", "at", "warm", "counted", "drained"), look, strict=False):
            phone.execute_script(script, f"look-{row}-{name}", text)
    return phone.find_element(By.CSS_SELECTOR, ".fl-ledger__says").text


def test_the_ledger_over_a_night(phone: Chrome, site: Path) -> None:
    said = _ledger(phone, site, NIGHT)
    assert said.startswith("Let in: 99 of 100")
    assert "gal an hour" in said
    phone.refresh()  # it is kept
    assert phone.find_element(By.CSS_SELECTOR, ".fl-ledger__says").text == said
    same = _ledger(phone, site, [("0", "2 in", "70 F"), ("8", "77.7875 mm", "69.8")])
    assert same == said


def test_the_ledger_says_when_it_cannot_tell_yet(phone: Chrome, site: Path) -> None:
    said = _ledger(phone, site, [("0", "2", "180"), ("1", "2 1/8", "175")], away="2", content="12")
    assert said.startswith("Cannot be told yet.")
    assert "stand until" in said
    counted = _ledger(phone, site, [("0", "2", "70"), ("4", "3", "70", "1.2")], feeder="counted")
    assert "Called in" in counted
    live = _ledger(phone, site, [("0", "2", "70"), ("8", "3", "70")])
    assert "not counted" not in live


@pytest.mark.parametrize(
    ("look", "says"),
    [
        (("25:00", "3", "70"), "no time of day"), (("1", "", "70"), "nothing is filled in"),
        (("1", "3", "hot"), "cannot be read"), (("22:00", "3", "70"), "all times as clock times"),
        (("0", "3", "70"), "not later"),
    ],
)  # fmt: skip
def test_a_look_that_cannot_be_read_is_said(phone: Chrome, site: Path, look: tuple[str, ...], says: str) -> None:
    said = _ledger(phone, site, [("0", "2", "70"), look])
    assert said == "Something above cannot be read."
    assert says in phone.find_element(By.CSS_SELECTOR, '[data-look="1"] .fl-sum__problem').text
