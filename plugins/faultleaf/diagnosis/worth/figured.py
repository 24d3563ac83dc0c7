"""What the numbers of one problem are worth: the plans beside rules of thumb and a proved bound, how far the
first step hangs on the numbers, and whether findings that fit no card are noticed."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from faultleaf.diagnosis.chart.boxes import Plan
from faultleaf.diagnosis.chart.plan import plans
from faultleaf.diagnosis.model.problem import Problem, Repair, Test
from faultleaf.diagnosis.proof.solve import solve
from faultleaf.diagnosis.worth.heuristics import gain_per_cost, in_card_order, minutes_of, one_step, repairs_alone
from faultleaf.diagnosis.worth.misfit import Misfits, misfits
from faultleaf.diagnosis.worth.shake import Stability, stability

MET = 1e-9
"""A plan within this share of the minutes that none can beat is the best there is."""
FEW = 8
"""Findings of a call on which much was tested; rule 14 is tried after so many, and after all tests."""


@dataclass(frozen=True)
class Effort:
    """How much work the figures may take: states that the search for the bound opens (measured: the bound of
    the shipped library hardly rises after the first hundred), states that the outlook opens for the best plan
    (about 1 ms each), and shakings of the numbers."""

    states: int = 15
    outlook: int = 2000
    shakings: int = 8


USUAL = Effort()


@dataclass(frozen=True)
class Worth:
    """Expected minutes to a proved repair or to handing on, and how far they can be trusted.

    `unlimited`: the best plan found, however many boxes. `lower_bound`: what no plan can beat, `proved`
    where the two meet. The rules of thumb are those of `heuristics`. `curve`: boxes allowed → minutes of
    the best chart found, least boxes first. `misfits`: of rule 14 after few findings, and after all.
    """

    unlimited: float
    lower_bound: float
    proved: bool
    in_card_order: float
    repairs_alone: float
    gain_per_cost: float
    one_step: float
    curve: tuple[tuple[int, float], ...]
    stability: Stability
    misfits: tuple[Misfits, ...]

    @property
    def excess(self) -> float:
        """By what share of itself the best plan there is can at most be cheaper than the best one found."""
        return self.unlimited / self.lower_bound - 1 if self.lower_bound > 0 else float("inf")


@dataclass(frozen=True)
class Figured:
    """All that is costly to work out of a problem: its charts by the boxes allowed, and what they are worth;
    None where there is no chart."""

    plans: Mapping[int, Plan]
    worth: Worth | None


def figured(problem: Problem, budgets: Iterable[int], effort: Effort = USUAL) -> Figured:
    """The charts for these numbers of boxes, those too small left out, and the figures.

    Raises PlanError where no plan can be made (`plans`).
    """
    lean = without_idle_tests(problem)
    charts = dict(plans(lean, budgets))
    return Figured(charts, worth_of(lean, charts, effort) if charts else None)


def worth_of(problem: Problem, charts: Mapping[int, Plan], effort: Effort = USUAL) -> Worth:
    """The figures of a problem whose charts are these."""
    best = solve(problem, effort.states, effort.outlook)
    curve = tuple((boxes, chart.expected_minutes) for boxes, chart in sorted(charts.items()))
    unlimited = min([best.expected_minutes, *(minutes for _, minutes in curve)])
    return Worth(
        unlimited=unlimited,
        lower_bound=best.lower_bound,
        proved=unlimited <= best.lower_bound * (1 + MET),
        in_card_order=minutes_of(problem, in_card_order),
        repairs_alone=minutes_of(problem, repairs_alone),
        gain_per_cost=minutes_of(problem, gain_per_cost),
        one_step=minutes_of(problem, one_step),
        curve=curve,
        stability=stability(problem, effort.shakings),
        misfits=tuple(dict.fromkeys(misfits(problem, count) for count in (FEW, len(problem.tests)))),
    )


def without_idle_tests(problem: Problem) -> Problem:
    """The problem without tests that are never offered and that no step which may come looks at.

    They change no plan; without them a card that has nothing to do with a call cannot change its figures.
    """
    named = {name for repair in problem.repairs for name in repair.restore} | set(problem.first)
    waiting: list[Test | Repair] = [*(test for test in problem.tests if test.offered), *problem.repairs]
    while waiting:
        step = waiting.pop()
        looked_at = {*step.needs, *step.never_when} - named
        named |= looked_at
        waiting += [test for test in problem.tests if test.id in looked_at and not test.offered]
    return replace(problem, tests=tuple(test for test in problem.tests if test.offered or test.id in named))
