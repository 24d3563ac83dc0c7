"""The usual rules of thumb, and what a call costs by them: what a plan is measured against.

A rule looks at where a call stands and names the next test, or None where it stops testing: then the best
run of repairs ends the call. Every rule does what comes `first`, and keeps needs and `never_when`. Minutes
are exact over all outcomes. References: gain per cost, W. R. Simpson and J. W. Sheppard, "System Test and
Diagnosis" (1994), chapter 8, from memory; one step ahead and repairs by probability over cost, D. Heckerman,
J. Breese and K. Rommelse, "Decision-theoretic troubleshooting", Communications of the ACM 38 (1995) no. 3.
"""

from collections.abc import Callable, Hashable
from dataclasses import dataclass

import numpy as np

from faultleaf.diagnosis.model.problem import Floats, Problem
from faultleaf.diagnosis.model.state import State, after_failed, due_first, open_tests, start_state
from faultleaf.diagnosis.step.leaf import best_run
from faultleaf.diagnosis.step.look import bits, followers, step_spent
from faultleaf.diagnosis.step.steps import Choice, look_ahead

NEGLIGIBLE = 2e-3
"""Where a smaller share of the calls comes to, testing ends: what comes `first` and the best run of repairs
go on, so that the minutes stay those of a real plan."""
SURE = 0.9
"""One cause is sure enough to be repaired when it is as likely as this (common practice, no source)."""
TELLING = 1e-9
"""A test whose rows differ by less between the causes still in question tells nothing."""

Rule = Callable[[Problem, State], Choice | None]


@dataclass(frozen=True)
class Expected:
    """What a call comes to by a rule: minutes to a proved repair or to handing on, and the share handed on."""

    minutes: float
    handed_on: float


def minutes_of(problem: Problem, rule: Rule, negligible: float = NEGLIGIBLE) -> float:
    """Expected minutes of a call by this rule; infinite where it can leave a fault that nobody takes on."""
    return expected(problem, rule, negligible).minutes


def expected(problem: Problem, rule: Rule, negligible: float = NEGLIGIBLE) -> Expected:
    """Minutes and share handed on, exact over all outcomes.

    O(states that a share of at least `negligible` of the calls comes to).
    """
    start = start_state(problem)
    minutes, handed_on = _expected(problem, start, bounded(problem, rule, negligible), {}) / start.total
    return Expected(float(minutes), float(handed_on))


def bounded(problem: Problem, rule: Rule, negligible: float = NEGLIGIBLE) -> Rule:
    """The rule as it is measured: what comes `first` comes first, and it ends where few calls come to."""
    least = negligible * start_state(problem).total

    def chosen(problem: Problem, state: State) -> Choice | None:
        due = due_first(problem, state)
        if due is not None:
            return _test(problem, due)
        return rule(problem, state) if state.total > least else None

    return chosen


def _expected(problem: Problem, state: State, rule: Rule, known: dict[object, Floats]) -> Floats:
    """(minutes, handing on), each times weight, from this state on."""
    key = state_key(state)
    if key not in known:
        choice = rule(problem, state)
        if choice is None:
            known[key] = _last_run(problem, state)
        else:
            own = (step_spent(problem, state, choice), state.total * (choice.kind == "hand-on"))
            after = [_expected(problem, each, rule, known) for each in followers(problem, state, choice)]
            known[key] = np.array(own) + sum(after)
    return known[key]


def state_key(state: State) -> Hashable:
    """Alike for states in which the same is believed, known and tried, however they were reached."""
    return state.weights.tobytes(), frozenset(state.known.items()), state.tried


def _last_run(problem: Problem, state: State) -> Floats:
    """(minutes, handing on), each times weight, of the best run of repairs."""
    run, minutes = best_run(problem, state)
    left = state
    for repair in run:
        left = after_failed(problem, left, repair)
    return np.array([minutes, left.total if problem.hand_on is not None else 0.0])


def repairs_alone(problem: Problem, state: State) -> Choice | None:  # noqa: ARG001
    """No test at all: repairs by probability over minutes."""
    return None


def in_card_order(problem: Problem, state: State) -> Choice | None:
    """The tests one after the other, as the cards stand, until one cause is sure; those that can tell nothing
    any more are left out."""
    if state.weights.max() >= SURE * state.total:
        return None
    alive = state.weights > 0
    for place in open_tests(problem, state):
        if np.ptp(problem.tests[place].table[alive], axis=0).max() > TELLING:
            return _test(problem, place)
    return None


def gain_per_cost(problem: Problem, state: State) -> Choice | None:
    """The test that tells most bits for its minutes, until one cause is sure."""
    tests = open_tests(problem, state)
    if not tests or state.weights.max() >= SURE * state.total:
        return None
    told = bits(state.weights) - bits(state.weights * problem.tables[tests]).sum(axis=1)
    rates = told / np.maximum(problem.test_minutes[tests], 1e-9)
    best = int(rates.argmax())
    return _test(problem, tests[best]) if told[best] > TELLING * state.total else None


def one_step(problem: Problem, state: State) -> Choice | None:
    """The test after which the best run of repairs costs least, while that is less than without it."""
    tests = open_tests(problem, state)
    if not tests:
        return None
    scores = look_ahead(problem, [(state, test) for test in tests]).scores
    best = int(scores.argmin())
    return _test(problem, tests[best]) if scores[best] < best_run(problem, state)[1] else None


def _test(problem: Problem, place: int) -> Choice:
    return Choice("test", place, problem.tests[place].id)
