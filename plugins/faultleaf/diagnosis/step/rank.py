"""Every step that may be taken now, with its expected minutes and in data why it is worth taking."""

from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from faultleaf.diagnosis.model.problem import CURED, HAND_ON, STILL_THERE, Problem
from faultleaf.diagnosis.model.state import due_first, minutes_of_test
from faultleaf.diagnosis.step.belief import Belief
from faultleaf.diagnosis.step.leaf import round9
from faultleaf.diagnosis.step.look import step_spent
from faultleaf.diagnosis.step.policy import rolled_steps
from faultleaf.diagnosis.step.preference import preferred
from faultleaf.diagnosis.step.steps import Choice

Reason = Literal["first", "cheapest", "allowed", "emergency", "stop", "nothing-else"]
StepKind = Literal["test", "repair", "named", "hand-on"]
WORTH_NAMING = 0.02
MOST_NAMED = 5


@dataclass(frozen=True)
class Why:
    """What speaks for a step, for words to be made of.

    `apart`: the two likeliest causes, where the test most likely shows another outcome for each.
    `removes`: the share of calls that a repair ends. `opens`: ids of the steps that wait for this test.
    """

    apart: tuple[str, ...] = ()
    removes: float = 0.0
    opens: tuple[str, ...] = ()


@dataclass(frozen=True)
class ScoredStep:
    """A step that may be taken now, and what the call is expected to cost if it is.

    Kind "named" ends the call with the cause named: the repair `id` is above the rank at hand, or a job to
    quote. `expected_minutes` counts everything to a proved repair (or handing on, with what is owed then),
    `cost_minutes` this step alone. `outcomes` gives each outcome's share. `splits` says why: for a test,
    what each of the likeliest causes would most likely show, where they differ; for a repair, the causes it
    removes, likeliest first, with how it ends; for handing on, the likeliest cause, to be named.
    `cautions` are those of the stops found, for handing on.
    """

    kind: StepKind
    id: str
    expected_minutes: float
    cost_minutes: float
    outcomes: tuple[tuple[str, float], ...]
    splits: tuple[tuple[str, str], ...]
    reason: Reason
    why: Why = Why()
    cautions: tuple[str, ...] = ()


def rank_steps(problem: Problem, belief: Belief) -> tuple[ScoredStep, ...]:
    """Every step that may be taken now, in the order in which they are offered: minutes by rollout
    (`policy.py`), then a master's manner (`preference.py`).

    Only the due one while `first` tests wait; only handing on in an emergency or when the findings
    are impossible; after a stop only what it allows, and handing on; empty when nothing at all can be done.
    """
    if problem.emergency or belief.impossible:
        return _only_hand_on(problem, belief)
    reason: Reason = "allowed" if due_first(problem, belief.state) is None else "first"
    if any(stop.caution for stop in belief.stops):
        reason = "stop"
    rolled = rolled_steps(problem, belief.state)
    steps = [
        _scored(problem, belief, choice, minutes, reason)
        for minutes, choice in preferred(problem, belief.state, rolled)
    ]
    if reason == "allowed" and steps:
        steps[0] = replace(steps[0], reason="cheapest")
    return tuple(steps)


def next_step(problem: Problem, belief: Belief) -> ScoredStep | None:
    """The step to take now, or None when nothing can be done."""
    return next(iter(rank_steps(problem, belief)), None)


def _only_hand_on(problem: Problem, belief: Belief) -> tuple[ScoredStep, ...]:
    if problem.hand_on is None:
        return ()
    reason: Reason = "emergency" if problem.emergency else "nothing-else"
    return (_hand_on(belief, problem.hand_on, reason),)


def _scored(problem: Problem, belief: Belief, choice: Choice, expected: float, reason: Reason) -> ScoredStep:
    if choice.kind == "test":
        return _test(problem, belief, choice.place, expected, reason)
    if choice.kind == "repair":
        return _repair(problem, belief, choice, expected, reason)
    return _hand_on(belief, expected, reason)


def _hand_on(belief: Belief, minutes: float, reason: Reason) -> ScoredStep:
    likeliest = tuple((fault, HAND_ON) for fault, share in belief.ranked()[:1] if share > 0)
    cautions = tuple(dict.fromkeys(stop.caution for stop in belief.stops if stop.caution))
    return ScoredStep("hand-on", HAND_ON, minutes, minutes, (), likeliest, reason, cautions=cautions)


def _repair(problem: Problem, belief: Belief, choice: Choice, expected: float, reason: Reason) -> ScoredStep:
    card = problem.repairs[choice.place]
    cured = float(belief.probabilities @ card.fixes)
    shares = ((CURED, cured), (STILL_THERE, 1 - cured))
    removed = {problem.causes[row] for row in np.flatnonzero(card.fixes > 0)}
    fixed = tuple((fault, CURED) for fault, share in belief.ranked() if share > 0 and fault in removed)[:MOST_NAMED]
    own = step_spent(problem, belief.state, choice) / belief.state.total
    kind: StepKind = "named" if card.by_other else "repair"
    return ScoredStep(kind, card.id, expected, own, shares, fixed, reason, Why(removes=cured))


def _test(problem: Problem, belief: Belief, place: int, expected: float, reason: Reason) -> ScoredStep:
    card = problem.tests[place]
    shares = belief.probabilities @ card.table
    outcomes = tuple((name, float(share)) for name, share in zip(card.outcomes, shares, strict=True))
    splits = _splits(problem, belief, place)
    why = Why(apart=_apart(splits), opens=_opened_by(problem, belief, card.id))
    own = minutes_of_test(problem, belief.state, place)
    return ScoredStep("test", card.id, expected, own, outcomes, splits, reason, why)


def _apart(splits: tuple[tuple[str, str], ...]) -> tuple[str, ...]:
    two = splits[:2]
    return tuple(fault for fault, _ in two) if len({outcome for _, outcome in two}) > 1 else ()


def _opened_by(problem: Problem, belief: Belief, test: str) -> tuple[str, ...]:
    """The steps that may be worth taking and wait for a finding of this test."""
    waiting = [card.id for card in problem.tests if card.offered and test in card.needs]
    likely = belief.probabilities @ problem.fixes.T if problem.repairs else ()
    waiting += [
        card.id for card, cured in zip(problem.repairs, likely, strict=True) if test in card.needs and cured > 0
    ]
    return tuple(name for name in waiting if name not in belief.state.known and name not in belief.state.tried)


def _splits(problem: Problem, belief: Belief, test: int) -> tuple[tuple[str, str], ...]:
    card = problem.tests[test]
    likeliest = [fault for fault, share in belief.ranked()[:MOST_NAMED] if round9(share) >= WORTH_NAMING]
    shown = tuple((fault, card.outcomes[_mostly(problem, belief, test, fault)]) for fault in likeliest)
    return shown if len({outcome for _, outcome in shown}) > 1 else ()


def _mostly(problem: Problem, belief: Belief, test: int, cause: str) -> int:
    """The place of the outcome that this cause most likely shows now, over its ways of showing."""
    rows = list(problem.cause_rows[cause])
    return int((belief.probabilities[rows] @ problem.tests[test].table[rows]).argmax())
