"""How well the rule "fits no card" (model, rule 14) tells calls of the cards from senseless findings."""

import random
from collections.abc import Callable
from dataclasses import dataclass

from faultleaf.diagnosis.model.problem import UNLISTED, Problem, Test
from faultleaf.diagnosis.step.belief import believe

SEED = 20261125
CALLS = 400
"""Calls drawn of either kind: a share of 5 % is then known to about one percent."""


@dataclass(frozen=True)
class Misfits:
    """Shares of the drawn calls whose findings fit no card: of calls whose outcomes are `drawn` from the cards,
    and of calls with uniformly `random` outcomes, when so many tests were done."""

    findings: int
    calls: int
    drawn: float
    random: float


def misfits(problem: Problem, findings: int, calls: int = CALLS) -> Misfits:
    """The shares after so many findings of the tests usable here, at most all; O(calls · findings).

    A fault is drawn by weight (never the unlisted cause), which tests were done uniformly, their outcomes
    from the fault's rows. What equipment is there is no sign of a fault and is not asked.
    """
    tests = [test for test in problem.tests if test.offered and not test.equipment]
    named = [place for place, name in enumerate(problem.faults) if name != UNLISTED and problem.weights[place] > 0]
    count = min(findings, len(tests))
    if not named or not count:
        return Misfits(count, 0, 0.0, 0.0)
    weights = [float(problem.weights[place]) for place in named]
    draw = random.Random(SEED)

    def of_cards() -> dict[str, str]:
        (fault,) = draw.choices(named, weights)
        return {test.id: _shown(draw, test, fault) for test in draw.sample(tests, count)}

    def senseless() -> dict[str, str]:
        return {test.id: draw.choice(test.outcomes) for test in draw.sample(tests, count)}

    return Misfits(count, calls, _share(problem, of_cards, calls), _share(problem, senseless, calls))


def _shown(draw: random.Random, test: Test, fault: int) -> str:
    (outcome,) = draw.choices(test.outcomes, test.table[fault].tolist())
    return outcome


def _share(problem: Problem, call: Callable[[], dict[str, str]], calls: int) -> float:
    return sum(not believe(problem, call()).fits for _ in range(calls)) / calls
