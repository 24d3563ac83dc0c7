"""Whole calls in Chromium: the same steps and minutes as in Python, to the end. `make bench` plays a thousand."""

import random

import pytest
from faultleaf.cards import Library
from faultleaf.diagnosis import HAND_ON, STILL_THERE
from selenium.webdriver import Chrome

from tests.browser.call.playing import played_in_chromium
from tests.calls.deciding import in_python
from tests.calls.played import draw_call
from tests.calls.playing import play_all
from tests.calls.settings import shipped_settings
from tests.counts import EVERYTHING

FEW, FEWER, SEED = (8, 3, 20261125) if EVERYTHING else (5, 3, 20261125)
"""With many causes nearly every call comes to beliefs of its own, slow in Python."""
CALLS = {"gauge-glass-misleading": 5 * FEW, "boiler-overfills": FEW, "low-water-shutdown": FEW}
"""Calls of the symptoms whose variety is looked at; the others are played `FEWER` times."""


def test_calls_are_worked_as_in_python(engine: Chrome, library: Library) -> None:
    last = {each.symptom: each.problem for each in shipped_settings(library)}
    ends, failed = set(), 0
    for symptom, problem in last.items():
        draw = random.Random(SEED)
        calls = [draw_call(problem, draw) for _ in range(CALLS.get(symptom, FEWER))]
        found = played_in_chromium(engine, problem, calls)
        for done, here in zip(found, play_all(problem, calls, in_python(problem), {}), strict=True):
            assert done.steps == here.steps
            assert done.minutes == pytest.approx(here.minutes, rel=1e-9)
            ends.add(done.steps[-1][0] == HAND_ON)
            failed += any(outcome == STILL_THERE for _, outcome in done.steps)
        assert len({done.steps for done in found}) > (3 if symptom in CALLS else 1)
    assert ends == {True, False}
    assert failed > FEW
