"""The cheapest plan without a box budget, and a proof of how good it is.

An upper bound comes from an outlook (`policy.py`), the lower bound and what else can be saved from a search
(`search.py`); the better of their two plans is unfolded into boxes.
"""

from dataclasses import dataclass
from typing import TypeVar

from faultleaf.diagnosis.chart.boxes import Plan
from faultleaf.diagnosis.chart.drawn import drawn
from faultleaf.diagnosis.chart.tree import PlanError
from faultleaf.diagnosis.model.problem import Problem
from faultleaf.diagnosis.model.state import State, due_first, start_state
from faultleaf.diagnosis.proof.search import Search
from faultleaf.diagnosis.proof.spot import CLOSE, Spot
from faultleaf.diagnosis.proof.unfold import Holder, Unfolding
from faultleaf.diagnosis.step.look import after_outcome
from faultleaf.diagnosis.step.policy import Outlook
from faultleaf.diagnosis.step.steps import Choice

T = TypeVar("T")
STATES = 2000
"""How many states are opened at most, by the outlook and by the search each, unless told otherwise."""


@dataclass(frozen=True, eq=False)
class Solution:
    """`expected_minutes` of the best plan found, the minutes that none can beat, and whether they meet.

    `states` counts the states that the search opened. `plan` has a box for every test and every run of
    repairs, however many; None where only identifying was asked for, or where no plan was found
    (infinite minutes).
    """

    expected_minutes: float
    lower_bound: float
    proved_optimal: bool
    states: int
    plan: Plan | None


def solve(problem: Problem, states: int = STATES, outlook: int | None = None) -> Solution:
    """The cheapest plan that the opening of so many states finds, a few more at most.

    `outlook`: how many the outlook may open, which finds good plans sooner, where not as many as the search.

    Raises PlanError in an emergency and where no cause is possible.
    """
    if problem.emergency:
        raise PlanError("this is an emergency: make safe and hand on; no plan is computed")
    if not problem.weights.sum() > 0:
        raise PlanError("no cause is possible on this equipment")
    search = Search(problem)
    root = search.spot(start_state(problem))
    ahead = None if problem.identify else Outlook(problem)
    if ahead is not None:
        opened = ahead.open(root.state)
        ahead.compare(opened, states if outlook is None else outlook)
        root.tighten(root.low, opened.minutes() / root.state.total)
    while not root.solved and search.opened < states:
        search.trial(root)
    plan = _plan(search, root, ahead) if ahead is not None and root.high < float("inf") else None
    # A plan may pass through beliefs that the outlook also opened on another way: it is then cheaper still.
    minutes = root.high if plan is None else plan.expected_minutes
    return Solution(minutes, min(root.low, minutes), root.solved, search.opened, plan)


def _plan(search: Search, root: Spot, ahead: Outlook) -> Plan:
    """The plan at hand of the outlook where the search found none that is better."""
    if ahead.open(root.state).minutes() / root.state.total <= root.high * (1 + CLOSE):
        return _drawn(search.problem, OutlookPlan(ahead), root.state, root.low)
    return _drawn(search.problem, SearchPlan(search), root, root.low)


def _drawn(problem: Problem, holder: Holder[T], root: T, low: float) -> Plan:
    unfolding = Unfolding(problem, holder)
    return drawn(problem, tuple(unfolding.boxes(root)), unfolding.target(root) or "", low)


@dataclass(frozen=True, eq=False)
class OutlookPlan:
    """The plan at hand of an outlook: at beliefs that were not opened the best run of repairs ends the call."""

    ahead: Outlook

    def state(self, spot: State) -> State:
        """The spot itself."""
        return spot

    def choice(self, spot: State) -> Choice | None:
        """The best step at hand; what comes `first` is always opened."""
        if not self.ahead.opened(spot) and due_first(self.ahead.problem, spot) is None:
            return None
        return self.ahead.open(spot).best()

    def follow(self, spot: State, choice: Choice, column: int) -> State:
        """The state of the belief that was opened after this outcome, else a new one."""
        seen = self.ahead.open(spot).seen
        after = after_outcome(self.ahead.problem, seen, (seen.choices.index(choice), column))
        return self.ahead.open(after).seen.state if self.ahead.opened(after) else after


@dataclass(frozen=True, eq=False)
class SearchPlan:
    """The plan at hand of a search."""

    search: Search

    def state(self, spot: Spot) -> State:
        """The state that a spot keeps."""
        return spot.state

    def choice(self, spot: Spot) -> Choice | None:
        """The step of the plan; what comes `first` is always opened."""
        if spot.steps is None and spot.state.total > 0 and due_first(self.search.problem, spot.state) is not None:
            self.search.open(spot)
        return spot.chosen()

    def follow(self, spot: Spot, choice: Choice, column: int) -> Spot:
        """The spot after an outcome."""
        place = (spot.steps.choices.index(choice) if spot.steps else 0, column)
        return self.search.kid(spot, place)
