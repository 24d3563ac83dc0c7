"""Random families of problems for the benchmark of the search; the recipe is in `family` itself."""

import math
import random
from dataclasses import dataclass
from typing import Any

from faultleaf.diagnosis import Problem, parse_problem


@dataclass(frozen=True)
class Family:
    """Sizes, ranges of minutes, and whether tests show a wrong outcome now and then."""

    faults: int
    tests: int
    outcomes: int
    test_minutes: tuple[float, float]
    repair_minutes: tuple[float, float]
    noisy: bool = False


CHEAP, DEAR, LONG, SHORT = (1.0, 30.0), (10.0, 60.0), (5.0, 200.0), (5.0, 60.0)
FAMILIES = {
    "A": Family(12, 12, 3, CHEAP, LONG),
    "B": Family(12, 12, 2, CHEAP, LONG),
    "C": Family(12, 5, 2, CHEAP, LONG),
    "D": Family(12, 12, 2, DEAR, SHORT),
    "E": Family(8, 8, 2, CHEAP, LONG, noisy=True),
    "F": Family(7, 6, 3, CHEAP, LONG, noisy=True),
    "G": Family(8, 8, 2, DEAR, SHORT, noisy=True),
    "exact 30x40x2": Family(30, 40, 2, CHEAP, LONG),
    "noisy 12x12x2": Family(12, 12, 2, CHEAP, LONG, noisy=True),
    "noisy 30x40x2": Family(30, 40, 2, CHEAP, LONG, noisy=True),
}


def drawn(family: Family, seed: int) -> Problem:
    """One problem of the family.

    Weights exponential(1); minutes log-uniform in the range, to 0.1; each test shows a non-zero outcome
    (uniform over 1 … k−1) for a share of the faults drawn uniformly from .15 to .55; noisy tests show
    their outcome with 1 − e and the others with e/(k−1), e uniform in .02 … .15. Every repair fixes its
    own fault for certain.
    """
    draw = random.Random(seed)
    count = family.faults
    faults = [{"id": f"f{i:02}", "weight": draw.expovariate(1)} for i in range(count)]
    repairs = [
        {"id": f"r{i:02}", "minutes": _minutes(draw, family.repair_minutes), "fixes": {f"f{i:02}": 1.0}}
        for i in range(count)
    ]
    tests = [_test(draw, family, f"t{i:02}") for i in range(family.tests)]
    return parse_problem({"faults": faults, "repairs": repairs, "tests": tests})


def _minutes(draw: random.Random, span: tuple[float, float]) -> float:
    return round(math.exp(draw.uniform(math.log(span[0]), math.log(span[1]))), 1)


def _test(draw: random.Random, family: Family, name: str) -> dict[str, Any]:
    minutes, share = _minutes(draw, family.test_minutes), draw.uniform(0.15, 0.55)
    error = draw.uniform(0.02, 0.15) if family.noisy else 0.0
    given = {}
    for fault in range(family.faults):
        shown = draw.randint(1, family.outcomes - 1) if draw.random() < share else 0
        row = [error / (family.outcomes - 1)] * family.outcomes
        row[shown] = 1 - error
        given[f"f{fault:02}"] = row
    outcomes = [f"o{place}" for place in range(family.outcomes)]
    return {"id": name, "minutes": minutes, "outcomes": outcomes, "given": given}
