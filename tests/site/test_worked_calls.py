"""Whole calls drawn from the cards, worked on the built site by clicks: the very steps of Python's policy."""

import random

from tests.calls.played import draw_call

from tests.browser.call_page.page import CallPage
from tests.browser.chromium import console_errors, open_chromium, outside_urls
from tests.calls.clicking import PageTable
from tests.calls.deciding import in_python
from tests.calls.playing import play, play_all
from tests.calls.settings import WATER_SIDE, shipped_settings
from tests.counts import EVERYTHING, one_in
from tests.site.sites import Site

CALLS, SEED = 2 if EVERYTHING else 1, 20261125


def test_page_works_calls_as_python_does_to_their_end(site: Site) -> None:
    settings = {each.symptom: each for each in shipped_settings(site.library) if each.given["equipment"]}
    ends = set()
    with open_chromium(390, 844) as driver:
        page = CallPage(driver, site.root)
        others = [each for each in settings.values() if each.symptom not in WATER_SIDE]
        for setting in [*(settings[name] for name in WATER_SIDE), *one_in(3, others)]:
            draw, problem = random.Random(SEED), setting.problem
            calls = [draw_call(problem, draw) for _ in range(CALLS if setting.symptom in WATER_SIDE else 1)]
            wanted = play_all(problem, calls, in_python(problem), {})
            for call, here in zip(calls, wanted, strict=True):
                done = play(problem, call, PageTable(page, problem, setting.symptom, setting.variant))
                assert done.steps == here.steps
                ends.add(done.handed_on)
        assert console_errors(driver) == ()
        assert outside_urls(driver, site.root) == ()
    assert False in ends, "some of the calls are cured"
