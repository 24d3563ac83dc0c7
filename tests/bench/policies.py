"""Whole policies and what they cost: ours, one step, and the usual shortcuts to compare with."""

from collections.abc import Callable

import numpy as np
from faultleaf.diagnosis import Problem
from faultleaf.diagnosis.look import bits, followers, look, run_minutes, step_minutes
from faultleaf.diagnosis.policy import rolled_steps
from faultleaf.diagnosis.state import State, open_tests, start_state
from faultleaf.diagnosis.steps import Choice, look_ahead

NEGLIGIBLE = 1e-6
"""Where fewer of the calls come to, the best run of repairs goes on: the minutes stay those of a real plan."""
SURE = 0.9
"""Gain per cost stops testing once one cause is as likely as this."""

Policy = Callable[[Problem, State], Choice | None]


def minutes_of(problem: Problem, choose: Policy) -> float:
    """Expected minutes of a policy; where it chooses nothing, the best run of repairs ends the call."""
    start = start_state(problem)
    return _value(problem, start, choose, NEGLIGIBLE * start.total, {}) / start.total


def _value(problem: Problem, state: State, choose: Policy, least: float, known: dict[bytes, float]) -> float:
    if not state.total > least:
        return run_minutes(problem, state) if state.total > 0 else 0.0
    key = state.weights.tobytes() + repr((sorted(state.known), sorted(state.tried))).encode()
    if key not in known:
        choice = choose(problem, state)
        if choice is None:
            known[key] = run_minutes(problem, state)
        else:
            after = followers(problem, state, choice)
            rest = sum(_value(problem, each, choose, least, known) for each in after)
            known[key] = step_minutes(problem, choice) * state.total + rest
    return known[key]


def ours(problem: Problem, state: State) -> Choice | None:
    """The next step as the command and the page choose it."""
    return next((choice for _, choice in rolled_steps(problem, state)), None)


def estimate(problem: Problem, state: State) -> Choice | None:
    """One step with our estimate after it."""
    seen = look(problem, state)
    row = seen.best(1.0)
    return None if row is None else seen.choices[row]


def looked_ahead(problem: Problem, state: State) -> Choice | None:
    """One step with the best run of repairs after it."""
    tests = open_tests(problem, state)
    if not tests:
        return None
    scores = look_ahead(problem, [(state, test) for test in tests]).scores
    best = int(scores.argmin())
    return _test(problem, tests[best]) if scores[best] < run_minutes(problem, state) else None


def gain_per_cost(problem: Problem, state: State) -> Choice | None:
    """The test that tells most bits for its minutes, until one cause is nearly sure."""
    tests = open_tests(problem, state)
    if not tests or state.weights.max() >= SURE * state.total:
        return None
    told = bits(state.weights) - bits(state.weights * problem.tables[tests]).sum(axis=1)
    rates = told / np.maximum(problem.test_minutes[tests], 1e-9)
    best = int(rates.argmax())
    return _test(problem, tests[best]) if told[best] > 1e-9 * state.total else None


def _test(problem: Problem, place: int) -> Choice:
    return Choice("test", place, problem.tests[place].id)
