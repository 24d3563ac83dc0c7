"""Whole calls in Chromium: the same steps and minutes as in Python, to the end. `make bench` plays many more."""

import random

import pytest
from faultleaf.cards import Library
from faultleaf.diagnosis import compile_problem
from faultleaf.diagnosis.heuristics import bounded
from faultleaf.diagnosis.played import draw_call, play_call, remembering
from selenium.webdriver import Chrome

from tests.bench.policies import ours
from tests.browser.call.playing import played_in_chromium

SYMPTOM, VARIANT, CALLS, SEED = "gauge-glass-misleading", "automatic feeder", 40, 20261125


def test_calls_are_worked_as_in_python(engine: Chrome, library: Library) -> None:
    problem = compile_problem(library, [SYMPTOM], equipment=library.symptoms[SYMPTOM].variants[VARIANT])
    draw, rule = random.Random(SEED), remembering(bounded(problem, ours, 0.0))
    calls = [draw_call(problem, draw) for _ in range(CALLS)]
    found = played_in_chromium(engine, problem, calls)
    for call, done in zip(calls, found, strict=True):
        here = play_call(problem, call, rule)
        assert done.steps == here.steps
        assert done.minutes == pytest.approx(here.minutes, rel=1e-9)
    assert len({done.steps for done in found}) > 5
    assert {done.handed_on for done in found} == {True, False}
