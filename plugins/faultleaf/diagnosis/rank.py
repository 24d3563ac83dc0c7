"""Every step that may be taken now, with its expected minutes and in data why it is worth taking."""

from dataclasses import dataclass, replace
from typing import Literal

from faultleaf.diagnosis.belief import Belief
from faultleaf.diagnosis.leaf import round9
from faultleaf.diagnosis.look import step_minutes
from faultleaf.diagnosis.policy import rolled_steps
from faultleaf.diagnosis.problem import CURED, HAND_ON, STILL_THERE, Problem
from faultleaf.diagnosis.state import due_first
from faultleaf.diagnosis.steps import Choice, Kind

Reason = Literal["first", "cheapest", "allowed", "emergency", "nothing-else"]
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

    `expected_minutes` counts everything to a proved repair (or handing on), `cost_minutes` this step
    alone. `outcomes` gives each outcome's share. `splits` says why: for a test, what each of the
    likeliest causes would most likely show, where they differ; for a repair, the causes it removes,
    likeliest first, with how it ends; for handing on, the likeliest cause, to be named.
    """

    kind: Kind
    id: str
    expected_minutes: float
    cost_minutes: float
    outcomes: tuple[tuple[str, float], ...]
    splits: tuple[tuple[str, str], ...]
    reason: Reason
    why: Why = Why()


def rank_steps(problem: Problem, belief: Belief) -> tuple[ScoredStep, ...]:
    """Every step that may be taken now, best first (ties: rule 13), by rollout (`policy.py`).

    Only the due one while `first` tests wait; only handing on in an emergency or when the findings
    are impossible; empty when nothing at all can be done.
    """
    if problem.emergency or belief.impossible:
        return _only_hand_on(problem, belief)
    reason: Reason = "allowed" if due_first(problem, belief.state) is None else "first"
    total = belief.state.total
    steps = [
        _scored(problem, belief, choice, score / total, reason) for score, choice in rolled_steps(problem, belief.state)
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
        return _repair(problem, belief, choice.place, expected)
    return _hand_on(belief, step_minutes(problem, choice), reason)


def _hand_on(belief: Belief, minutes: float, reason: Reason) -> ScoredStep:
    likeliest = tuple((fault, HAND_ON) for fault, share in belief.ranked()[:1] if share > 0)
    return ScoredStep("hand-on", HAND_ON, minutes, minutes, (), likeliest, reason)


def _repair(problem: Problem, belief: Belief, place: int, expected: float) -> ScoredStep:
    card = problem.repairs[place]
    cured = float(belief.probabilities @ card.fixes)
    shares = ((CURED, cured), (STILL_THERE, 1 - cured))
    there = [fault for fault, share in belief.ranked() if share > 0]
    fixed = tuple((fault, CURED) for fault in there if card.fixes[problem.faults.index(fault)] > 0)[:MOST_NAMED]
    return ScoredStep("repair", card.id, expected, card.minutes, shares, fixed, "allowed", Why(removes=cured))


def _test(problem: Problem, belief: Belief, place: int, expected: float, reason: Reason) -> ScoredStep:
    card = problem.tests[place]
    shares = belief.probabilities @ card.table
    outcomes = tuple((name, float(share)) for name, share in zip(card.outcomes, shares, strict=True))
    splits = _splits(problem, belief, place)
    why = Why(apart=_apart(splits), opens=_opened_by(problem, belief, card.id))
    return ScoredStep("test", card.id, expected, card.minutes, outcomes, splits, reason, why)


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
    shown = tuple((fault, card.outcomes[int(card.table[problem.faults.index(fault)].argmax())]) for fault in likeliest)
    return shown if len({outcome for _, outcome in shown}) > 1 else ()
