"""The job's record on the page: kept, saved and loaded as a file, refused, printed; also where nothing can be kept."""

import base64
import json
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from pypdf import PdfReader
from selenium.webdriver.common.by import By

from tests.browser.call_page.page import CallPage
from tests.browser.call_page.test_access import WIDER
from tests.browser.call_page.test_calls import ON_SHEET

BLOCKED = """
Object.defineProperty(window, "localStorage", {get() { throw new DOMException("no", "SecurityError"); }});
"""
FULL = """Storage.prototype.setItem = () => { throw new DOMException("full", "QuotaExceededError"); };"""


@pytest.fixture
def downloads(page: CallPage, tmp_path: Path) -> Path:
    """Where the browser puts what it saves."""
    page.driver.execute_cdp_cmd("Browser.setDownloadBehavior", {"behavior": "allow", "downloadPath": str(tmp_path)})
    return tmp_path


@pytest.fixture
def no_storage(page: CallPage, request: pytest.FixtureRequest) -> Iterator[CallPage]:
    """The page in a browser that keeps nothing."""
    script = {"source": request.param}
    made = page.driver.execute_cdp_cmd("Page.addScriptToEvaluateOnNewDocument", script)
    yield page
    page.driver.execute_cdp_cmd("Page.removeScriptToEvaluateOnNewDocument", made)
    page.driver.get_log("browser")  # type: ignore[no-untyped-call]  # the theme complains of the storage too


def _saved(folder: Path) -> Path:
    for _ in range(200):
        if found := list(folder.glob("*.json")):
            return found[0]
        time.sleep(0.02)
    raise AssertionError("nothing was saved")


def _load(page: CallPage, file: Path) -> None:
    page.open("#at=jobs")
    page.driver.find_element(By.ID, "fl-file").send_keys(str(file))
    page.until("return document.querySelector('.fl-load [role=alert]') !== null || location.hash.includes('job=')")


def test_job_survives_closing_and_several_stand_side_by_side(page: CallPage) -> None:
    page.begin(ON_SHEET)
    page.press("outcome-true")
    here = page.heading()
    page.begin("#say=starves")
    page.open()
    jobs = page.driver.find_elements(By.CSS_SELECTOR, "[data-job]")
    assert len(jobs) == 2
    assert "Burner stops" in jobs[0].text, "the latest stands first"
    page.press_text("Boiler floods\nOpen")
    assert page.heading() == here


def test_arriving_alone_keeps_no_job(page: CallPage) -> None:
    page.open(ON_SHEET)
    page.open(ON_SHEET)
    assert page.stored() == []


def test_saved_file_loads_on_another_device_with_its_names(page: CallPage, downloads: Path) -> None:
    page.begin(ON_SHEET)
    page.press("outcome-true")
    here = page.heading()
    page.unfold("This job")
    page.press("about")
    page.driver.find_element(By.ID, "fl-about-customer").send_keys("<b>Ms Example</b>")
    page.press("keep")
    page.unfold("This job")
    page.click(page.control("save"))
    file = _saved(downloads)
    page.driver.execute_script("localStorage.clear()")
    _load(page, file)
    page.until(f"return document.querySelector('#fl-call-title').textContent === {here!r}")
    page.unfold("This job")
    page.press("report")
    assert "<b>Ms Example</b>" in page.text()
    assert "Blow down the glass: Back at once" in page.text()
    assert "with a feeder" not in page.text()


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("no json", "it is not JSON"),
        ("{}", "not a job record"),
        ('{"format": "faultleaf-job", "version": 99}', "newer site"),
        ('"' + "x" * 2_100_000 + '"', "over 2 MB"),
    ],
    ids=["no-json", "foreign", "later", "huge"],
)
def test_file_that_is_no_record_is_refused_and_nothing_is_lost(
    page: CallPage, tmp_path: Path, text: str, reason: str
) -> None:
    page.begin(ON_SHEET)
    before = page.stored()
    (tmp_path / "bad.json").write_text(text, encoding="utf-8")
    _load(page, tmp_path / "bad.json")
    alert = page.driver.find_element(By.CSS_SELECTOR, ".fl-load [role=alert]").text
    assert reason in alert
    assert "Nothing that is kept here was touched" in alert
    assert page.stored() == before


def test_hostile_words_in_a_record_stay_words(page: CallPage, downloads: Path) -> None:
    page.begin(ON_SHEET)
    page.unfold("This job")
    page.click(page.control("save"))
    file = _saved(downloads)
    job = json.loads(file.read_text(encoding="utf-8"))
    evil = "<img src=x onerror='window.broken=1'>"
    job["about"] = dict.fromkeys(job["about"], evil)
    job["log"].append({"at": job["opened"], "what": "note", "text": evil})
    file.write_text(json.dumps(job), encoding="utf-8")
    page.driver.execute_script("localStorage.clear()")
    _load(page, file)
    page.until("return location.hash.includes('job=')")
    for screen in ("report", "customer", "about", "jobs"):
        page.go(screen)
        assert page.driver.find_elements(By.CSS_SELECTOR, "#faultleaf-call img") == []


def test_a_very_long_word_makes_no_screen_scroll_sideways(page: CallPage, downloads: Path) -> None:
    page.begin(ON_SHEET)
    page.unfold("This job")
    page.click(page.control("save"))
    file = _saved(downloads)
    job = json.loads(file.read_text(encoding="utf-8"))
    job["about"] = dict.fromkeys(job["about"], "x" * 300)
    job["log"].append({"at": job["opened"], "what": "note", "text": "x" * 300})
    job["log"].append({"at": job["opened"], "what": "handed-on", "to": "x" * 300})
    file.write_text(json.dumps(job), encoding="utf-8")
    page.driver.execute_script("localStorage.clear()")
    _load(page, file)
    page.until("return location.hash.includes('job=')")
    for screen in ("", "report", "customer", "about", "jobs"):
        page.go(screen)
        page.unfold()
        assert page.driver.execute_script(WIDER) == 0, screen


def test_delete_asks_once_more(page: CallPage) -> None:
    page.begin(ON_SHEET)
    page.open("#at=jobs")
    button = page.driver.find_element(By.CSS_SELECTOR, '[data-key^="delete-"]')
    button.click()
    assert len(page.stored()) == 1
    page.press(str(button.get_attribute("data-key")))
    assert page.stored() == []


@pytest.mark.parametrize("no_storage", [BLOCKED, FULL], ids=["blocked", "full"], indirect=True)
def test_without_storage_the_call_goes_on_and_is_saved_as_a_file(no_storage: CallPage, downloads: Path) -> None:
    page = no_storage
    page.begin(ON_SHEET)
    page.press("outcome-true")
    assert "Save the job as a file" in page.text()
    page.unfold("This job")
    page.click(page.control("save"))
    assert "outcome" in _saved(downloads).read_text(encoding="utf-8")


def test_report_prints_on_one_page_with_readings_and_notices(page: CallPage, tmp_path: Path) -> None:
    page.begin(ON_SHEET)
    page.press("outcome-true")
    page.press("noticed")
    page.press_text("Measure the probe")
    page.driver.find_element(By.ID, "fl-reading").send_keys("12")
    page.press("reading")
    page.unfold("This job")
    page.press("report")
    for name, width, height in (("a4", 8.27, 11.69), ("letter", 8.5, 11)):
        paper = {"paperWidth": width, "paperHeight": height, "preferCSSPageSize": False}
        printed = page.driver.execute_cdp_cmd("Page.printToPDF", paper)
        file = tmp_path / f"{name}.pdf"
        file.write_bytes(base64.b64decode(printed["data"]))
        pages = PdfReader(file).pages
        assert len(pages) == 1, name
        text = pages[0].extract_text()
        assert "12 ohm" in text
        assert "The warden looks first." in text
        assert "Invented Boilers" in text
        assert "Take back" not in text


def test_missing_file_of_the_site_is_said_and_nothing_is_lost(page: CallPage) -> None:
    page.begin(ON_SHEET)
    page.driver.execute_cdp_cmd("Network.enable", {})
    page.driver.execute_cdp_cmd("Network.setBlockedURLs", {"urls": ["*call-words/symptoms/floods.js"]})
    page.open("#" + str(page.driver.execute_script("return location.hash")).removeprefix("#"))
    assert page.heading() == "This call cannot be shown"
    assert "call-words/symptoms/floods.js" in page.text()
    page.driver.execute_cdp_cmd("Network.setBlockedURLs", {"urls": []})
    page.driver.get_log("browser")  # type: ignore[no-untyped-call]  # the browser complains too, and rightly
    page.driver.refresh()
    page.until("return document.querySelector('#fl-call-title') !== null")
    assert page.heading() == "Blow down the glass"


def test_damaged_job_is_said_and_left_as_it_is(page: CallPage) -> None:
    page.driver.execute_script("localStorage.setItem('faultleaf-job:broken', '{half')")
    page.open("#at=jobs")
    assert "cannot be read" in page.text()
    page.begin(ON_SHEET)
    assert page.driver.execute_script("return localStorage.getItem('faultleaf-job:broken')") == "{half"


def test_next_job_knows_the_names_and_asks_anew_who_is_there(page: CallPage) -> None:
    page.begin(ON_SHEET, "technician")
    page.unfold("This job")
    page.press("about")
    page.driver.find_element(By.ID, "fl-about-technician").send_keys("A. Example")
    page.press("keep")
    page.open("#say=starves")
    chosen = page.driver.find_elements(By.CSS_SELECTOR, '[data-key^="who-"][aria-pressed="true"]')
    assert chosen == []
    page.go("about")
    assert page.driver.find_element(By.ID, "fl-about-technician").get_attribute("value") == "A. Example"


def test_older_record_loads_and_says_what_changed(page: CallPage, downloads: Path) -> None:
    page.begin(ON_SHEET)
    page.press("outcome-true")
    page.unfold("This job")
    page.click(page.control("save"))
    file = _saved(downloads)
    text = (
        file.read_text(encoding="utf-8")
        .replace('"floods"', '"overflows"')
        .replace('"fingerprint": "', '"fingerprint": "old')
    )
    file.write_text(text, encoding="utf-8")
    page.driver.execute_script("localStorage.clear()")
    _load(page, file)
    page.until("return document.querySelector('[role=alert]') !== null")
    assert "overflows is called floods now." in page.text()
    assert "numbers may differ" in page.text()
    assert "Written down: Blow down the glass: Back at once" in page.text()
