"""A plan as an acyclic graph of boxes, and what any such graph costs exactly.

A box may be entered from several places; it then acts on the mixture of the beliefs that reach it
(weights add up), so its minutes are exact over all paths (MODEL.md, rule 12).
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from faultleaf.diagnosis.chart.tree import PlanError
from faultleaf.diagnosis.model.problem import CURED, HAND_ON, STILL_THERE, Floats, Problem
from faultleaf.diagnosis.step.steps import Kind

LOST = 1e-9
"""A share of calls below this may lead nowhere: it is rounding."""


@dataclass(frozen=True)
class Exit:
    """One way out of a box: the outcome, its share of the calls that are in the box, where it goes.

    `target` None: finished, cured and proved.
    """

    outcome: str
    share: float
    target: str | None


@dataclass(frozen=True)
class Box:
    """One box: a test, a run of repairs in order, or handing on.

    `minutes` is the cost of the step (the sum for a run), `reach` the share of calls that come here,
    `likely` the likeliest causes on arrival with their probabilities.
    """

    id: str
    kind: Kind
    steps: tuple[str, ...]
    minutes: float
    reach: float
    exits: tuple[Exit, ...]
    likely: tuple[tuple[str, float], ...]


@dataclass(frozen=True)
class Plan:
    """Boxes in reading order, the root first; every exit leads to a later box.

    `expected_minutes` to a proved repair or to handing on, `lower_bound` what no plan can beat.
    """

    boxes: tuple[Box, ...]
    root: str
    expected_minutes: float
    lower_bound: float


@dataclass(frozen=True, eq=False)
class Passage:
    """What goes through a box: weights arriving, weights leaving by each outcome, minutes spent."""

    arriving: Floats
    leaving: Mapping[str, Floats]
    spent: float


def evaluate_plan(problem: Problem, plan: Plan) -> float:
    """Expected minutes of any acyclic plan graph, exactly; only boxes, steps and targets are looked at.

    Raises PlanError for a cycle, an unknown box or step, an outcome that leads nowhere, or a path
    that takes a step twice. O(boxes × outcomes × faults).
    """
    return sum(passage.spent for passage in passages(problem, plan.boxes, plan.root).values())


def passages(problem: Problem, boxes: tuple[Box, ...], root: str) -> dict[str, Passage]:
    """What goes through every box that can be reached, in an order that entries come before exits."""
    by_id = {box.id: box for box in boxes}
    order = entry_order(by_id, root)
    _refuse_repeats(by_id, order)
    arriving = {name: np.zeros(len(problem.faults)) for name in order}
    arriving[root] = problem.weights / problem.weights.sum()
    found: dict[str, Passage] = {}
    for name in order:
        found[name] = _pass_through(problem, by_id[name], arriving[name])
        targets = {exit_.outcome: exit_.target for exit_ in by_id[name].exits}
        for outcome, weights in found[name].leaving.items():
            target = targets.get(outcome)
            if target is not None:
                arriving[target] = arriving[target] + weights
            elif outcome != CURED and weights.sum() > LOST:
                raise PlanError(f"box {name}: '{outcome}' leads nowhere")
    return found


def entry_order(boxes: Mapping[str, Box], root: str) -> list[str]:
    """The ids of the boxes that can be reached, each before all that it leads to, first exits first.

    Raises PlanError for a circle or a target that does not exist. O(boxes + exits).
    """
    order: list[str] = []
    open_, done = set[str](), set[str]()
    stack = [(root, False)]
    while stack:
        name, left = stack.pop()
        if left:
            done.add(name)
            order.append(name)
        elif name not in boxes:
            raise PlanError(f"there is no box '{name}'")
        elif name in open_ and name not in done:
            raise PlanError(f"box {name}: the plan goes round in a circle")
        elif name not in done:
            open_.add(name)
            stack.append((name, True))
            targets = dict.fromkeys(exit_.target for exit_ in boxes[name].exits)
            # The last one pushed is finished first and so stands last: first exits read first.
            stack.extend((target, False) for target in targets if target is not None)
    return order[::-1]


def _refuse_repeats(boxes: Mapping[str, Box], order: list[str]) -> None:
    below: dict[str, frozenset[str]] = {}
    for name in reversed(order):
        box = boxes[name]
        later: set[str] = set()
        for exit_ in box.exits:
            later |= below[exit_.target] if exit_.target is not None else frozenset()
        if again := sorted(later & set(box.steps)):
            raise PlanError(f"box {name}: a path takes '{again[0]}' twice")
        below[name] = frozenset(later | set(box.steps))


def _pass_through(problem: Problem, box: Box, weights: Floats) -> Passage:
    here = float(weights.sum())
    if box.kind == HAND_ON:
        if problem.hand_on is None:
            raise PlanError(f"box {box.id}: nobody can be handed on to in this problem")
        return Passage(weights, {}, float(weights @ problem.ending))
    if box.kind == "test":
        test = problem.tests[_place(problem.test_index, box.steps[0])]
        leaving = {name: weights * test.table[:, place] for place, name in enumerate(test.outcomes)}
        return Passage(weights, leaving, test.minutes * here)
    spent, live = 0.0, weights
    for step in box.steps:
        place = _place(problem.repair_index, step)
        spent += float(problem.repair_spent[place] @ live)
        live = live * (1 - problem.fixes[place])
    return Passage(weights, {CURED: weights - live, STILL_THERE: live}, spent)


def _place(index: Mapping[str, int], name: str) -> int:
    if name not in index:
        raise PlanError(f"there is no step '{name}' in this problem")
    return index[name]
