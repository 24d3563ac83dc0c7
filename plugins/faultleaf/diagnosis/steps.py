"""The next step by expected minutes, looking one step ahead.

Score of a test: its minutes plus, over its outcomes, the best run of repairs after each. Score of a
repair: its minutes plus the best run if it does not cure. Score of handing on: its minutes. All are
exact for a call that goes on like that, so the least score is an upper bound of the best policy.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from faultleaf.diagnosis.belief import Belief
from faultleaf.diagnosis.leaf import Mask, best_run, leaf_values, round9
from faultleaf.diagnosis.problem import CURED, HAND_ON, STILL_THERE, Floats, Problem
from faultleaf.diagnosis.state import State, after_failed, due_first, open_repairs, open_tests, permitted

Kind = Literal["test", "repair", "hand-on"]
Reason = Literal["first", "cheapest", "allowed", "emergency", "nothing-else"]
KIND_ORDER: tuple[Kind, ...] = ("test", "repair", "hand-on")
WORTH_NAMING = 0.02
MOST_NAMED = 5


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


def rank_steps(problem: Problem, belief: Belief) -> tuple[ScoredStep, ...]:
    """Every step that may be taken now, best first (ties: rule 13).

    Only the due one while `first` tests wait; only handing on in an emergency or when the findings
    are impossible; empty when nothing at all can be done.
    """
    if problem.emergency or belief.impossible:
        return _only_hand_on(problem, belief)
    due = due_first(problem, belief.state)
    if due is not None:
        return tuple(_score_tests(problem, belief, [due], "first"))
    steps = [
        *_score_tests(problem, belief, open_tests(problem, belief.state), "allowed"),
        *_score_repairs(problem, belief),
        *_hand_on(problem, belief, "allowed"),
    ]
    ordered = sorted(steps, key=_rule_13)
    return tuple(_with_reason(step, "cheapest") if index == 0 else step for index, step in enumerate(ordered))


def next_step(problem: Problem, belief: Belief) -> ScoredStep | None:
    """The step to take now, or None when nothing can be done."""
    return next(iter(rank_steps(problem, belief)), None)


def _rule_13(step: ScoredStep) -> tuple[float, int, str]:
    return round9(step.expected_minutes), KIND_ORDER.index(step.kind), step.id


def _with_reason(step: ScoredStep, reason: Reason) -> ScoredStep:
    return ScoredStep(step.kind, step.id, step.expected_minutes, step.cost_minutes, step.outcomes, step.splits, reason)


def _only_hand_on(problem: Problem, belief: Belief) -> tuple[ScoredStep, ...]:
    return tuple(_hand_on(problem, belief, "emergency" if problem.emergency else "nothing-else"))


def _hand_on(problem: Problem, belief: Belief, reason: Reason) -> list[ScoredStep]:
    if problem.hand_on is None:
        return []
    likeliest = tuple((fault, HAND_ON) for fault, share in belief.ranked()[:1] if share > 0)
    return [ScoredStep("hand-on", HAND_ON, problem.hand_on, problem.hand_on, (), likeliest, reason)]


def _score_repairs(problem: Problem, belief: Belief) -> list[ScoredStep]:
    state, total = belief.state, belief.state.total
    steps = []
    for index in open_repairs(problem, state):
        card = problem.repairs[index]
        cured = float(belief.probabilities @ card.fixes)
        if cured <= 0:
            continue
        _, rest = best_run(problem, after_failed(problem, state, index))
        shares = ((CURED, cured), (STILL_THERE, 1 - cured))
        removed = [fault for fault, share in belief.ranked() if share > 0]
        fixed = tuple((fault, CURED) for fault in removed if card.fixes[problem.faults.index(fault)] > 0)[:MOST_NAMED]
        expected = card.minutes + rest / total
        steps.append(ScoredStep("repair", card.id, expected, card.minutes, shares, fixed, "allowed"))
    return steps


def _score_tests(problem: Problem, belief: Belief, tests: list[int], reason: Reason) -> list[ScoredStep]:
    total = belief.state.total
    if not tests or not total > 0:
        return []
    look = look_ahead(problem, [(belief.state, test) for test in tests])
    steps = []
    for row, index in enumerate(tests):
        card = problem.tests[index]
        shares = belief.probabilities @ card.table
        steps.append(
            ScoredStep(
                "test",
                card.id,
                float(look.scores[row]) / total,
                card.minutes,
                tuple((name, float(share)) for name, share in zip(card.outcomes, shares, strict=True)),
                _splits(problem, belief, index),
                reason,
            )
        )
    return steps


def _splits(problem: Problem, belief: Belief, test: int) -> tuple[tuple[str, str], ...]:
    card = problem.tests[test]
    likeliest = [fault for fault, share in belief.ranked()[:MOST_NAMED] if share >= WORTH_NAMING]
    shown = tuple((fault, card.outcomes[int(card.table[problem.faults.index(fault)].argmax())]) for fault in likeliest)
    return shown if len({outcome for _, outcome in shown}) > 1 else ()


@dataclass(frozen=True, eq=False)
class LookAhead:
    """One step ahead for N pairs of a state and a test: scores (N,), and of the runs after each outcome
    the minutes (N, O) and the lengths (N, O)."""

    scores: Floats
    values: Floats
    lengths: NDArray[np.int_]


def look_ahead(problem: Problem, pairs: Sequence[tuple[State, int]]) -> LookAhead:
    """What each test leads to from its state when only repairs follow; minutes are not normalised.

    All pairs are worked out at once; O(N·O) runs of repairs.
    """
    tests = [test for _, test in pairs]
    before = np.stack([state.weights for state, _ in pairs])
    weights = before[:, None, :] * problem.tables[tests]
    count, width, faults = weights.shape
    allowed = _allowed_after(problem, pairs, width).reshape(count * width, len(problem.repairs))
    values, lengths = leaf_values(problem, weights.reshape(count * width, faults), allowed)
    after = values.reshape(count, width)
    scores = problem.test_minutes[tests] * before.sum(axis=1) + after.sum(axis=1)
    return LookAhead(scores, after, lengths.reshape(count, width))


def _allowed_after(problem: Problem, pairs: Sequence[tuple[State, int]], width: int) -> Mask:
    """(N, O, R): which repairs may be done once the test showed the outcome."""
    now: dict[int, Mask] = {}
    allowed = np.empty((len(pairs), width, len(problem.repairs)), dtype=np.bool_)
    for row, (state, index) in enumerate(pairs):
        if id(state) not in now:
            now[id(state)] = np.isin(np.arange(len(problem.repairs)), open_repairs(problem, state))
        allowed[row] = now[id(state)]
        card = problem.tests[index]
        for repair in problem.gates.get(card.id, ()):
            gated = problem.repairs[repair]
            for column, outcome in enumerate(card.outcomes):
                known = {**state.known, card.id: frozenset([outcome])}
                allowed[row, column, repair] = gated.id not in state.tried and permitted(gated, known)
    return allowed
