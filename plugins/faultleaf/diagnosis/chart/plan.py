"""The plan of a call under a box budget: the best graph found, drawn as boxes in reading order."""

from collections.abc import Iterable, Iterator, Mapping

from faultleaf.diagnosis.chart.boxes import Box, Exit, Plan
from faultleaf.diagnosis.chart.draft import END, Draft
from faultleaf.diagnosis.chart.drawn import drawn, rough_box
from faultleaf.diagnosis.chart.sketch import sketched
from faultleaf.diagnosis.chart.tree import Node, PlanError, sprout
from faultleaf.diagnosis.model.problem import CURED, HAND_ON, STILL_THERE, Problem, Test
from faultleaf.diagnosis.model.state import start_state


def plan(problem: Problem, boxes: int = 15) -> Plan:
    """The cheapest chart found with at most so many boxes.

    Raises PlanError in an emergency (make safe, then hand on), and where the budget is too small for
    the `first` tests or for a plan that finishes. Not proved optimal; `lower_bound` says how far off
    it can be at most.
    """
    start = _start(problem)
    *_, (_, sketcher) = sketched(problem, start, boxes)
    draft = sketcher.cheapest(boxes)
    if draft is None:
        raise PlanError(f"the smallest plan found takes {sketcher.smallest} boxes, {boxes} are allowed")
    return _plan(problem, draft)


def plans(problem: Problem, budgets: Iterable[int]) -> Mapping[int, Plan]:
    """For every budget the very plan that `plan` makes, by one search; budgets that are too small are
    left out. Raises PlanError where no plan can be made at all.

    >>> from faultleaf.diagnosis import parse_problem
    >>> one = parse_problem({"faults": [{"id": "a", "weight": 1}], "hand_on": {"minutes": 60},
    ...     "repairs": [{"id": "r", "minutes": 9, "fixes": {"a": 0.5}}]})
    >>> {boxes: found.expected_minutes for boxes, found in plans(one, range(4)).items()}
    {1: 60.0, 2: 39.0, 3: 39.0}
    """
    waiting = sorted(set(budgets))
    found: dict[int, Plan] = {}
    if not waiting:
        return found
    for most, sketcher in sketched(problem, _start(problem), waiting[-1]):
        for boxes in [budget for budget in waiting if budget <= most]:
            waiting.remove(boxes)
            draft = sketcher.cheapest(boxes)
            if draft is not None:
                found[boxes] = _plan(problem, draft)
    return found


def _start(problem: Problem) -> Node:
    """The smallest sensible tree."""
    if problem.emergency:
        raise PlanError("this is an emergency: make safe and hand on; no plan is computed")
    if not problem.weights.sum() > 0:
        raise PlanError("no cause is possible on this equipment")
    start = sprout(problem, start_state(problem))
    if not start.cost < float("inf"):
        raise PlanError("some fault can be neither repaired nor handed on")
    return start


def _plan(problem: Problem, draft: Draft) -> Plan:
    """The draft's stations as a plan of boxes."""
    if draft.root == END and problem.hand_on is None:
        raise PlanError("there is nothing to do in this problem")
    return drawn(problem, tuple(_boxes(draft)), _name(draft.root), lower_bound(problem))


def lower_bound(problem: Problem) -> float:
    """Minutes that no plan can beat, per call.

    Whatever the fault, the call ends with a repair that can fix it or with handing on, so that the
    cheaper of the two is always paid; so are `first` tests that nothing can stop.
    """
    present = problem.weights > 0
    bound = float(problem.weights[present] @ problem.floor[present] / problem.weights.sum())
    firsts = (problem.tests[problem.test_index[name]] for name in problem.first)
    return bound + sum(test.minutes for test in firsts if test.offered and not test.needs and not test.never_when)


def _name(place: int) -> str:
    return HAND_ON if place == END else f"k{place}"


def _boxes(draft: Draft) -> Iterator[Box]:
    """The boxes that the stations stand for, shares still to be filled in."""
    problem, cards = draft.actions.problem, draft.actions.cards
    for place in draft.order:
        station = draft.stations[place]
        steps = tuple(cards[step].id for step in station.steps)
        minutes = sum(cards[step].minutes for step in station.steps)
        card = cards[station.steps[0]]
        if isinstance(card, Test):
            ways = zip(card.outcomes, station.targets, strict=True)
            exits = tuple(Exit(outcome, 0.0, _name(target)) for outcome, target in ways)
            yield rough_box(_name(place), "test", steps, minutes, exits)
        else:
            over = station.targets[0] == END and problem.hand_on is None
            still = () if over else (Exit(STILL_THERE, 0.0, _name(station.targets[0])),)
            yield rough_box(_name(place), "repair", steps, minutes, (Exit(CURED, 0.0, None), *still))
    if problem.hand_on is not None and draft.boxes > len(draft.order):
        yield rough_box(HAND_ON, "hand-on", (), problem.hand_on, ())
