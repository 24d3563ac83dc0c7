"""How calls end by the page's own policy, cause by cause: the policy's tree walked instead of calls drawn one by one.

Wherever at least one of the N calls comes, all outcomes are followed with their exact shares. Below that one call
in proportion goes on and stands for the others, so that no share is biased and the work is that of N drawn calls.
Every end is counted for each row of the problem by the share of its calls that came there, and a part of the calls
(EQUALLY) goes to all causes alike: no luck of the draw decides how a rare one fares.
"""

import random
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

import numpy as np
from faultleaf.diagnosis import STILL_THERE, Problem, believe, next_step, not_cured
from faultleaf.diagnosis.model.problem import Floats
from faultleaf.diagnosis.model.state import minutes_of_test
from faultleaf.diagnosis.step.rank import ScoredStep

ENDS = ("first", "second", "later", "named", "misnamed", "handed on", "stopped")
"""Cured by the first, the second or a later repair; the cause named, rightly or wrongly, for others to repair; handed
on without a name; ended by a stop. Mending an instrument counts as no repair."""
MOST_STEPS = 400
EQUALLY = 0.3
"""Share of the calls that are given to the rows alike, the others by weight."""

Decide = Callable[[Problem, Mapping[str, str]], ScoredStep | None]


@dataclass(frozen=True, eq=False)
class Endings:
    """Of the calls with each row's cause: `shares[end]` (F,) that end so, and their mean `minutes` (F,).

    `states`: beliefs that a step was chosen for.
    """

    problem: Problem
    shares: Mapping[str, Floats]
    minutes: Floats
    states: int

    def of(self, rows: list[int]) -> tuple[float, dict[str, float], float]:
        """The share of all calls that these rows have, the share of theirs that end in each way, and their minutes."""
        prior = self.problem.weights[rows] / self.problem.weights.sum()
        whole = float(prior.sum())
        part = prior / whole if whole else prior
        return (
            whole,
            {end: float(part @ share[rows]) for end, share in self.shares.items()},
            float(part @ self.minutes[rows]),
        )


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
    """How so many calls end; O(calls × steps) choices of a step at most, fewer where calls go alike."""
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
        waiting += _thinned(after, sent, draw)
    # Each cause by what came of its own calls: how many calls the draws made of it does not count.
    came = np.maximum(sum(shares.values(), np.zeros(count)), 1e-300)
    return Endings(problem, {end: share / came for end, share in shares.items()}, minutes / came, states)


def _thinned(ways: list[Waiting], sent: Floats, draw: random.Random) -> list[Waiting]:
    """The ways that a call or more goes; of the others as many as calls go there, each in place of all of them.

    `sent` (F,): how many calls go out for a whole share of each row. Drawn with even gaps, so that chance decides
    which way the calls go and never how many.
    """
    due = [float(way.weights @ sent) for way in ways]
    kept = [way for way, calls in zip(ways, due, strict=True) if calls >= 1]
    passed, mark = 0.0, draw.random()
    for way, calls in zip(ways, due, strict=True):
        if 0 < calls < 1:
            passed += calls
            if passed > mark:
                kept.append(replace(way, weights=way.weights / calls))
                mark += 1
    return kept


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
