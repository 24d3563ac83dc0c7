"""The cheapest plan without a box budget, and a proof of how good it is."""

from dataclasses import dataclass

from faultleaf.diagnosis.boxes import Plan
from faultleaf.diagnosis.drawn import drawn
from faultleaf.diagnosis.policy import TRUSTS
from faultleaf.diagnosis.problem import Problem
from faultleaf.diagnosis.search import Search
from faultleaf.diagnosis.spot import Spot
from faultleaf.diagnosis.state import start_state
from faultleaf.diagnosis.tree import PlanError
from faultleaf.diagnosis.unfold import Unfolding

STATES = 2000
"""How many states are opened at most, unless told otherwise."""
SEEDED = 0.2
"""The share of them that the policy may open, for each of its prices, before the search itself."""


@dataclass(frozen=True, eq=False)
class Solution:
    """`expected_minutes` of the best plan found, the minutes that none can beat, and whether they meet.

    `states` counts the states opened. `plan` has a box for every test and every run of repairs, however
    many; None where only identifying was asked for, or where no plan was found (infinite minutes).
    """

    expected_minutes: float
    lower_bound: float
    proved_optimal: bool
    states: int
    plan: Plan | None


def solve(problem: Problem, states: int = STATES) -> Solution:
    """The cheapest plan that the opening of so many states finds, a few more at most.

    Raises PlanError in an emergency and where no cause is possible.
    """
    if problem.emergency:
        raise PlanError("this is an emergency: make safe and hand on; no plan is computed")
    if not problem.weights.sum() > 0:
        raise PlanError("no cause is possible on this equipment")
    search = Search(problem)
    root = search.spot(start_state(problem))
    for trust in TRUSTS if not problem.identify else ():
        search.seed(root, trust, int(SEEDED * states))
    while not root.solved and search.opened < states:
        search.trial(root)
    return Solution(root.high, root.low, root.solved, search.opened, _plan(problem, search, root))


def _plan(problem: Problem, search: Search, root: Spot) -> Plan | None:
    if problem.identify or not root.high < float("inf"):
        return None
    unfolding = Unfolding(problem, search)
    return drawn(problem, tuple(unfolding.boxes(root)), unfolding.target(root) or "", root.low)
