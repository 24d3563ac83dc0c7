"""Study: questions that the engine answers, ticks that stay, terms explained, the drawing by keyboard."""

from collections.abc import Mapping
from pathlib import Path

import pytest
from faultleaf.diagnosis import believe, rank_steps
from faultleaf.drawing import PLANT
from faultleaf.pages import Asked, WorkedSymptom
from faultleaf.pipeline.asked import CLEARLY_WORSE, QUESTIONS, ask_all
from faultleaf.pipeline.shelf import Kept
from selenium.webdriver import Chrome, Keys
from selenium.webdriver.common.by import By

from tests.browser.chromium import console_errors
from tests.site.sites import Site

SYMPTOM = "gauge-glass-misleading"


def test_questions_are_answered_as_a_call_would_be(worked: Mapping[str, WorkedSymptom], tmp_path: Path) -> None:
    some = {(SYMPTOM, variant.name): variant.problem for variant in worked[SYMPTOM].variants}
    asked = ask_all(some, Kept(tmp_path))
    assert ask_all(some, Kept(tmp_path)) == asked  # kept from the build before
    assert sum(map(len, asked.values())) > len(asked)
    problems = {variant.name: variant.problem for variant in worked[SYMPTOM].variants}
    seen: set[Asked] = set()
    for questions in asked.values():
        assert len({question.found for question in questions}) == len(questions) <= QUESTIONS
        for question in set(questions) - seen:
            seen.add(question)
            belief = believe(problems[question.variant], dict(question.found))
            minutes = {step.id: step.expected_minutes for step in rank_steps(problems[question.variant], belief)}
            assert not any(stop.caution for stop in belief.stops)
            assert next(iter(minutes)) == question.best
            assert question.best not in dict(question.others)
            for step, more in question.others:
                assert more == pytest.approx(minutes[step] - minutes[question.best])
                assert more >= CLEARLY_WORSE


def test_answers_are_folded_and_every_option_but_one_costs_more(site: Site) -> None:
    asked = [ask for path in site.below("faults") for ask in site.page(path).select(".fl-ask")]
    assert len(asked) >= 100
    for ask in asked:
        offered = [item.get_text() for item in ask.select(".fl-ask__offered > li")]
        answer = ask.select("details:not([open])")
        best = answer[0].select("strong")[0].get_text().removesuffix(".")
        assert best in offered
        assert len(answer[0].select("ul > li")) == len(offered) - 1 >= 1


def test_ticks_stay_and_lead_on(site: Site, desk: Chrome) -> None:
    reading = next(iter(site.library.readings.values()))
    url = (site.root / f"readings/{reading.id}.html").as_uri()
    desk.get(url)
    desk.find_element(By.CSS_SELECTOR, ".fl-reading .fl-read input").click()
    desk.get(url)
    said = desk.find_element(By.CSS_SELECTOR, ".fl-reading__done")
    assert said.text.startswith(f"1 of {len(reading.steps)} read")
    said.find_element(By.TAG_NAME, "a").click()
    assert reading.steps[1].read.rpartition("/")[2] in desk.current_url
    desk.execute_script("localStorage.clear()")
    assert console_errors(desk) == ()


def test_a_term_is_explained_on_focus_and_on_press_and_escape_ends_it(site: Site, desk: Chrome) -> None:
    desk.get((site.root / "faults/surging-water.html").as_uri())
    term, note = desk.find_element(By.CSS_SELECTOR, ".fl-term"), desk.find_element(By.ID, "fl-term-note")
    words = {name.lower() for card in site.library.terms.values() for name in (card.title, *card.also_called)}
    assert term.text.lower() in words
    assert not note.is_displayed()
    desk.execute_script("arguments[0].focus()", term)
    assert note.is_displayed()
    term.send_keys(Keys.ESCAPE)
    assert not note.is_displayed()
    term.click()
    assert note.is_displayed()


def test_every_part_with_a_card_is_reached_by_keyboard_and_pressed(site: Site, desk: Chrome) -> None:
    desk.get((site.root / "the-plant.html").as_uri())
    parts = [part for part in PLANT.parts if part.card in site.library.components]
    stops = desk.execute_script("return [...document.querySelectorAll('.fl-map a')].filter((a) => a.tabIndex === 0).map((a) => a.id)")
    assert sorted(stops) == sorted(f"part-{part.id}" for part in parts)
    for part in parts:
        link = desk.find_element(By.ID, f"part-{part.id}")
        desk.execute_script("arguments[0].focus()", link)
        assert desk.execute_script("return document.activeElement.id") == f"part-{part.id}"
        assert (link.get_dom_attribute("href") or "").endswith(f"components/{part.card}.html")
    link.send_keys(Keys.ENTER)
    assert desk.current_url.endswith(f"components/{parts[-1].card}.html")


def test_words_of_the_drawing_are_12_px_or_more_on_every_screen(site: Site, desk: Chrome) -> None:
    measure = """return [...document.querySelectorAll(".fl-plant")].map((svg) =>
        13.5 * svg.getBoundingClientRect().width / svg.viewBox.baseVal.width)"""
    try:
        for width in (360, 390, 768, 1280, 1920):
            desk.execute_cdp_cmd("Emulation.setDeviceMetricsOverride",
                                 {"width": width, "height": 844, "deviceScaleFactor": 1, "mobile": width < 700})  # fmt: skip
            for path in ("the-plant.html", "components/return-loop.html"):
                desk.get((site.root / path).as_uri())
                assert min(desk.execute_script(measure)) >= 12, (width, path)
    finally:
        desk.execute_cdp_cmd("Emulation.clearDeviceMetricsOverride", {})
