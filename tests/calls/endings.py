"""How calls end by the page's own policy, cause by cause: the policy's tree walked instead of calls drawn one by one.

Wherever at least one of the N calls comes, all outcomes are followed with their exact shares. Below that one call
in proportion goes on and stands for the others, so that no share is biased and the work is that of N drawn calls.
Every end is counted for each row of the problem by the share of its calls that came there, and a part of the calls
(EQUALLY) goes to all causes alike: no luck of the draw decides how a rare one fares.
"""

import random
from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
from faultleaf.diagnosis import STILL_THERE, Problem, believe, next_step, not_cured
from faultleaf.diagnosis.problem import Floats
from faultleaf.diagnosis.rank import ScoredStep
from faultleaf.diagnosis.state import minutes_of_test

ENDS = ("first", "second", "later", "named", "misnamed", "handed on", "stopped")
"""Cured by the first, the second or a later repair; the cause named, rightly or wrongly, for others to repair; handed
on without a name; ended by a stop. Mending an instrument counts as no repair."""
MOST_STEPS = 400
EQUALLY = 0.3
"""Share of the calls that are given to the rows alike, the others by weight."""

Decide = Callable[[Problem, Mapping[str, str]], ScoredStep | None]


@dataclass(frozen=True, eq=False)
class Endings:
    """`shares[end]` (F,): the share of all calls that have this row's cause and end so; `minutes` (F,) share × minutes.

    `states`: beliefs that a step was chosen for.
    """

    problem: Problem
    shares: Mapping[str, Floats]
    minutes: Floats
    states: int

    def of(self, rows: list[int]) -> tuple[float, dict[str, float], float]:
        """Share of the calls that these rows have, the share of them that end in each way, and their minutes."""
        whole = float(sum(share[rows].sum() for share in self.shares.values()))
        ends = {end: float(share[rows].sum()) / whole if whole else 0.0 for end, share in self.shares.items()}
        return whole, ends, float(self.minutes[rows].sum()) / whole if whole else 0.0


@dataclass(frozen=True, eq=False)
class Waiting:
    """Where calls stand: what was found, the share of all calls here by row (F,), repairs tried without cure."""

    findings: Mapping[str, str]
    weights: Floats
    repairs: int = 0


def as_paged(problem: Problem, findings: Mapping[str, str]) -> ScoredStep | None:
    """The step that the page and the command show after these findings."""
    return next_step(problem, believe(problem, findings))


def walk(problem: Problem, calls: int, seed: object, decide: Decide = as_paged) -> Endings:
    """All ways of so many calls; O(calls × steps) choices of a step at most, fewer where calls go alike."""
    draw, count = random.Random(f"{seed}"), len(problem.faults)
    shares, minutes, states = {end: np.zeros(count) for end in ENDS}, np.zeros(count), 0
    prior = problem.weights / problem.weights.sum()
    sent = calls * (1 - EQUALLY + EQUALLY / (count * np.maximum(prior, 1e-300)))
    waiting = [Waiting({}, prior)]
    while waiting:
        here = waiting.pop()
        states += 1
        assert len(here.findings) < MOST_STEPS, f"a call goes round in a circle: {list(here.findings)[-8:]}"
        step = decide(problem, here.findings)
        spent, ended, after = _taken(problem, here, step)
        minutes += spent * here.weights
        for end, weights in ended:
            shares[end] += weights
        waiting += [kept for each in after if (kept := _thinned(each, sent, draw)) is not None]
    return Endings(problem, shares, minutes, states)


def _thinned(there: Waiting, sent: Floats, draw: random.Random) -> Waiting | None:
    """The same where a call or more comes; else, with the chance that one does, one call in place of the others.

    `sent` (F,): how many calls go out for a whole share of each row.
    """
    due = float(there.weights @ sent)
    if due >= 1:
        return there
    return Waiting(there.findings, there.weights / due, there.repairs) if draw.random() < due else None


Ended = list[tuple[str, Floats]]


def _taken(problem: Problem, here: Waiting, step: ScoredStep | None) -> tuple[Floats, Ended, list[Waiting]]:
    """Minutes by row of the step, what ends with it, and where the others then stand."""
    belief = believe(problem, here.findings)
    if step is None or step.kind == "hand-on":
        end = "stopped" if any(stop.caution for stop in belief.stops) else "handed on"
        return problem.ending, [(end, here.weights)], []
    if step.kind == "test":
        place = problem.test_index[step.id]
        spent = np.full(len(problem.faults), minutes_of_test(problem, belief.state, place))
        card = problem.tests[place]
        ways = [({**here.findings, step.id: seen}, card.table[:, column]) for column, seen in enumerate(card.outcomes)]
        return spent, [], [Waiting(found, here.weights * chance, here.repairs) for found, chance in ways]
    place = problem.repair_index[step.id]
    fixes, spent = problem.fixes[place], problem.repair_spent[place]
    if step.kind == "named":
        named = fixes > 0
        return spent, [("named", here.weights * named), ("misnamed", here.weights * ~named)], []
    number = here.repairs + bool(fixes.any())
    cured = (ENDS[min(number, 3) - 1] if number else "later", here.weights * fixes)
    found = not_cured(problem, here.findings, step.id)
    assert found[step.id] == STILL_THERE
    return spent, [cured], [Waiting(found, here.weights * (1 - fixes), number)]
