"""The top of an outlook's plan as a tree: where most calls come, as far as so many boxes reach.

Starts of the search for charts (`sketch.py`) that see further ahead than a tree that grows greedily.
"""

import heapq
from collections.abc import Mapping
from dataclasses import dataclass, field

from faultleaf.diagnosis.chart.tree import Node, ask, count_boxes, leaf, run_then, sprout
from faultleaf.diagnosis.model.problem import Problem
from faultleaf.diagnosis.model.state import State, after_failed, after_test, start_state
from faultleaf.diagnosis.step.look import followers
from faultleaf.diagnosis.step.policy import Outlook
from faultleaf.diagnosis.step.steps import Choice

OPENED = 400
"""How many beliefs are opened for the plan whose top is drawn."""
BEYOND = 6
"""A tree may take so many boxes too many on the way: the next steps may be shared with others."""


@dataclass(frozen=True, eq=False)
class Crown:
    """The steps of an outlook's plan at the states that are drawn so far; all others are sprouts."""

    problem: Problem
    steps: dict[State, Choice] = field(default_factory=dict)

    def tree(self, state: State) -> Node:
        """The tree from a state on."""
        choice = self.steps.get(state)
        if choice is None or not state.total > 0:
            return sprout(self.problem, state)
        if choice.kind == "hand-on":
            return leaf(self.problem, state)
        if choice.kind == "repair":
            after = after_failed(self.problem, state, choice.place)
            return run_then(self.problem, state, (choice.place,), self.tree(after))
        outcomes = range(len(self.problem.tests[choice.place].outcomes))
        groups = (((o,), self.tree(after_test(self.problem, state, choice.place, (o,)))) for o in outcomes)
        return ask(self.problem, state, choice.place, tuple(groups))


def crowns(problem: Problem, most: int) -> Mapping[int, Node]:
    """The best tops found of every number of boxes up to `most`, some left out."""
    start = start_state(problem)
    ahead, crown = Outlook(problem), Crown(problem)
    ahead.compare(ahead.open(start), OPENED)
    found: dict[int, Node] = {}
    number, waiting = 0, [(-start.total, 0, start)]
    while waiting:
        state = heapq.heappop(waiting)[2]
        choice = ahead.open(state).best() if ahead.opened(state) else None
        if choice is None:
            continue
        crown.steps[state] = choice
        tree = crown.tree(start)
        boxes = count_boxes(tree)
        if boxes > most + BEYOND:
            break
        if boxes <= most and (boxes not in found or tree.cost < found[boxes].cost):
            found[boxes] = tree
        for after in followers(problem, state, choice):
            number += 1
            heapq.heappush(waiting, (-after.total, number, after))
    return found
