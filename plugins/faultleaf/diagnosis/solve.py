"""The cheapest plan without a box budget, and a proof of how good it is."""

from dataclasses import dataclass

from faultleaf.diagnosis.problem import Problem
from faultleaf.diagnosis.search import Search
from faultleaf.diagnosis.spot import CLOSE
from faultleaf.diagnosis.state import start_state

STATES = 2000
"""How many states are opened at most, unless told otherwise."""


@dataclass(frozen=True, eq=False)
class Solution:
    """`expected_minutes` of the best plan found, the minutes that none can beat, and whether they meet.

    `states` counts the states opened.
    """

    expected_minutes: float
    lower_bound: float
    proved_optimal: bool
    states: int


def solve(problem: Problem, states: int = STATES) -> Solution:
    """The cheapest plan that the opening of so many states finds."""
    search = Search(problem)
    root = search.spot(start_state(problem))
    while not root.solved and search.opened < states:
        search.trial(root)
    return Solution(root.high, root.low, root.high - root.low <= CLOSE * max(root.high, 1.0), search.opened)
