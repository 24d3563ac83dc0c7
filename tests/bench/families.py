"""Random families of problems, and how far policies and plans lie over what is proved on them.

`python -m tests.bench.families` prints the table; the recipe of the problems is at `drawn`.
"""

import math
import random
import sys
import time
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from faultleaf.diagnosis import Problem, parse_problem, solve
from faultleaf.diagnosis.worth.heuristics import Rule, gain_per_cost, minutes_of, one_step

from tests.bench.policies import estimate, ours


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


STATES = {"noisy 12x12x2": 8000, "noisy 30x40x2": 1500}
"""How many states the search for a proof may open; 20,000 in the other families."""
OUTLOOK = 8000
"""How many states the outlook for a plan may open."""
COUNTS = {"exact 30x40x2": 4, "noisy 12x12x2": 2, "noisy 30x40x2": 2, "E": 4, "F": 4}
"""Problems of a family; 12 of the others."""
NEGLIGIBLE = {"exact 30x40x2": 1e-4, "noisy 12x12x2": 1e-3, "noisy 30x40x2": 1e-3}
"""Where fewer of the calls come to, a policy ends with the best run of repairs; 1e-6 in the other families.
It only makes a policy dearer."""
POLICIES: Mapping[str, Rule] = {
    "next step": ours,
    "estimate": estimate,
    "one step": one_step,
    "gain/cost": gain_per_cost,
}
LOOPS = 300_000


@dataclass(frozen=True)
class Row:
    """A family: percent over the lower bound (the optimum where proved) by method, mean and worst; of the
    plans how many were proved, the most states opened, and seconds in all."""

    name: str
    over: Mapping[str, tuple[float, float]]
    proved: int
    count: int
    states: int
    seconds: float


def measured(name: str) -> Row:
    """The row of a family."""
    count = COUNTS.get(name, 12)
    over: dict[str, list[float]] = {"plan": []}
    proved, states, seconds = 0, 0, 0.0
    for seed in range(count):
        problem = drawn(FAMILIES[name], seed)
        start = time.perf_counter()
        found = solve(problem, STATES.get(name, 20_000), OUTLOOK)
        seconds += time.perf_counter() - start
        proved, states = proved + found.proved_optimal, max(states, found.states)
        costs = {"plan": found.expected_minutes}
        least = NEGLIGIBLE.get(name, 1e-6)
        costs |= {what: minutes_of(problem, policy, least) for what, policy in POLICIES.items()}
        for what, cost in costs.items():
            over.setdefault(what, []).append(100 * (cost / found.lower_bound - 1))
    spread = {what: (sum(each) / count, max(each)) for what, each in over.items()}
    return Row(name, spread, proved, count, states, seconds)


def reference_loop() -> float:
    """Seconds of a plain loop of additions, to compare machines by."""
    start, total = time.perf_counter(), 0.0
    for number in range(LOOPS):
        total += number * 0.5
    return time.perf_counter() - start


def print_table(names: Iterable[str] = tuple(FAMILIES)) -> None:
    """Print a row for each of these families."""
    print(f"a plain loop of {LOOPS} additions takes {reference_loop():.3f} s here")
    heads = ("plan", *POLICIES)
    print(
        f"{'percent over the bound, mean / worst':<36}"
        + "".join(f"{head:>16}" for head in heads)
        + "  proved  states  s"
    )
    for name in names:
        row = measured(name)
        cells = (f"{row.over[head][0]:.2f} / {row.over[head][1]:.2f}" if head in row.over else "" for head in heads)
        line = f"{name:<36}" + "".join(f"{cell:>16}" for cell in cells)
        print(f"{line}  {row.proved}/{row.count}  {row.states}  {row.seconds:.1f}", flush=True)


if __name__ == "__main__":
    print_table(sys.argv[1:] or FAMILIES)
