"""Boxes with steps and targets alone → boxes with shares, in reading order."""

from dataclasses import replace

from faultleaf.diagnosis.chart.boxes import Box, Exit, Passage, Plan, entry_order, passages
from faultleaf.diagnosis.model.problem import Problem
from faultleaf.diagnosis.step.steps import Kind

LIKELY = 4
"""How many of the likeliest causes on arrival a box names."""


def rough_box(name: str, kind: Kind, steps: tuple[str, ...], minutes: float, exits: tuple[Exit, ...]) -> Box:
    """A box whose shares are still to be filled in."""
    return Box(name, kind, steps, minutes, 0.0, exits, ())


def drawn(problem: Problem, rough: tuple[Box, ...], root: str, lower_bound: float) -> Plan:
    """The plan of these boxes, shares filled in, numbered b1, b2 … in reading order.

    Raises PlanError where they are no plan (`evaluate_plan`).
    """
    flow = passages(problem, rough, root)
    filled = {box.id: _filled(problem, box, flow[box.id]) for box in rough if box.id in flow}
    # Likelier exits are read first, so that the main line goes straight down.
    by_share = {
        name: replace(box, exits=tuple(sorted(box.exits, key=lambda exit_: -exit_.share)))
        for name, box in filled.items()
    }
    order = entry_order(by_share, root)
    final = {name: f"b{number}" for number, name in enumerate(order, 1)}
    boxes = tuple(_renamed(filled[name], final) for name in order)
    return Plan(boxes, boxes[0].id, sum(passage.spent for passage in flow.values()), lower_bound)


def _filled(problem: Problem, box: Box, passage: Passage) -> Box:
    """The box with its shares: of all calls, of its exits, of the causes on arrival."""
    reach = float(passage.arriving.sum())
    scale = reach if reach > 0 else 1.0
    exits = tuple(replace(exit_, share=float(passage.leaving[exit_.outcome].sum()) / scale) for exit_ in box.exits)
    shares = sorted(
        (-float(weight) / scale, fault) for weight, fault in zip(passage.arriving, problem.faults, strict=True)
    )
    likely = tuple((fault, -share) for share, fault in shares[:LIKELY] if share < 0)
    return replace(box, reach=reach, exits=exits, likely=likely)


def _renamed(box: Box, final: dict[str, str]) -> Box:
    exits = tuple(replace(exit_, target=None if exit_.target is None else final[exit_.target]) for exit_ in box.exits)
    return replace(box, id=final[box.id], exits=exits)
