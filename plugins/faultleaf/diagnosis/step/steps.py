"""Kinds of steps, how they are compared, and every test looked at one step ahead."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

from faultleaf.diagnosis.model.problem import Floats, Problem
from faultleaf.diagnosis.model.state import State, allowed_by_stops, doable, found_after, minutes_of_test, open_repairs
from faultleaf.diagnosis.step.leaf import Mask, leaf_values, round9

Kind = Literal["test", "repair", "hand-on"]
KIND_ORDER: tuple[Kind, ...] = ("test", "repair", "hand-on")


class Choice(NamedTuple):
    """A step: its kind, its place in the problem (-1 for handing on), and its id, which breaks ties."""

    kind: Kind
    place: int
    id: str

    def order(self, score: float) -> tuple[float, int, str]:
        """What steps are compared by (rule 13)."""
        return round9(score), KIND_ORDER.index(self.kind), self.id


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
    minutes = np.array([minutes_of_test(problem, state, index) for state, index in pairs])
    scores = minutes * before.sum(axis=1) + after.sum(axis=1)
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
        if card.id in problem.gating:
            for column, outcome in enumerate(card.outcomes):
                allowed[row, column] = gated_after(problem, state, allowed[row, column], index, outcome)
    return allowed


def gated_after(problem: Problem, state: State, free: Mask, test: int, outcome: str) -> Mask:
    """(R,): which repairs may be done after this outcome of a test, `free` being those that may be done now.

    Only the repairs that the test's finding can allow or forbid are looked at again. `test` is in `gating`.
    """
    card = problem.tests[test]
    known = found_after(state.known, card, (outcome,))
    stopped = allowed_by_stops(problem, known)
    after, places = free.copy(), problem.gates.get(card.id, ())
    if stopped is not None:
        after[:] = False
        places = tuple(problem.repair_index[name] for name in stopped if name in problem.repair_index)
    elif allowed_by_stops(problem, state.known) is not None:
        places = tuple(range(len(problem.repairs)))
    for place in places:
        repair = problem.repairs[place]
        after[place] = repair.id not in state.tried and doable(repair, known, stopped)
    return after
