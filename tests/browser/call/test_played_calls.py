"""Whole calls in Chromium: the same steps and minutes as in Python, to the end. `make bench` plays many more."""

import random

import pytest
from faultleaf.cards import Library
from faultleaf.diagnosis import compile_problem
from faultleaf.diagnosis.played import draw_call
from selenium.webdriver import Chrome

from tests.browser.call.playing import played_in_chromium, played_in_python

SYMPTOM, VARIANT, CALLS, SEED = "gauge-glass-misleading", "automatic feeder", 40, 20261125


def test_calls_are_worked_as_in_python(engine: Chrome, library: Library) -> None:
    problem = compile_problem(library, [SYMPTOM], equipment=library.symptoms[SYMPTOM].variants[VARIANT])
    draw = random.Random(SEED)
    calls = [draw_call(problem, draw) for _ in range(CALLS)]
    found = played_in_chromium(engine, problem, calls)
    for call, done in zip(calls, found, strict=True):
        here = played_in_python(problem, call)
        assert done.steps == here.steps
        assert done.minutes == pytest.approx(here.minutes, rel=1e-9)
    assert len({done.steps for done in found}) > 5
    assert {done.handed_on for done in found} == {True, False}
