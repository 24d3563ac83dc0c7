"""The plan of a call under a box budget: the best tree found, drawn as boxes in reading order."""

from dataclasses import replace

from faultleaf.diagnosis.boxes import Box, Exit, Passage, Plan, entry_order, passages
from faultleaf.diagnosis.grow import Grower
from faultleaf.diagnosis.problem import CURED, STILL_THERE, Problem
from faultleaf.diagnosis.steps import Kind
from faultleaf.diagnosis.tree import Key, Node, PlanError, count_boxes, keys_of

LIKELY = 4
"""How many of the likeliest causes on arrival a box names."""


def plan(problem: Problem, boxes: int = 15) -> Plan:
    """The cheapest chart found with at most so many boxes.

    Raises PlanError in an emergency (make safe, then hand on), and where the budget is too small for
    the `first` tests or for a plan that finishes. Not proved optimal; `lower_bound` says how far off
    it can be at most.
    """
    if problem.emergency:
        raise PlanError("this is an emergency: make safe and hand on; no plan is computed")
    if not problem.weights.sum() > 0:
        raise PlanError("no cause is possible on this equipment")
    tree = Grower(problem).best_tree(boxes)
    if not tree.cost < float("inf"):
        raise PlanError("some fault can be neither repaired nor handed on")
    if (needed := count_boxes(tree)) > boxes:
        raise PlanError(f"the smallest plan found takes {needed} boxes, {boxes} are allowed")
    drawn, root, minutes = _drawn(problem, tree)
    return Plan(drawn, root, minutes, lower_bound(problem))


def lower_bound(problem: Problem) -> float:
    """Minutes that no plan can beat, per call.

    Whatever the fault, the call ends with a repair that can fix it or with handing on, so that the
    cheaper of the two is always paid; so are `first` tests that nothing can stop.
    """
    present = problem.weights > 0
    bound = float(problem.weights[present] @ problem.floor[present] / problem.weights.sum())
    firsts = (problem.tests[problem.test_index[name]] for name in problem.first)
    return bound + sum(test.minutes for test in firsts if test.offered and not test.needs and not test.never_when)


def _drawn(problem: Problem, tree: Node) -> tuple[tuple[Box, ...], str, float]:
    """The tree's distinct places as boxes in reading order, the root's id, and the expected minutes."""
    names = {key: f"k{number}" for number, key in enumerate(keys_of(tree))}
    if tree.key is None:
        raise PlanError("there is nothing to do in this problem")
    rough = tuple(_box(problem, key, names) for key in names)
    flow = passages(problem, rough, names[tree.key])
    filled = {box.id: _filled(problem, box, flow[box.id]) for box in rough}
    # Likelier exits are read first, so that the main line goes straight down.
    by_share = {
        name: replace(box, exits=tuple(sorted(box.exits, key=lambda exit_: -exit_.share)))
        for name, box in filled.items()
    }
    order = entry_order(by_share, names[tree.key])
    final = {name: f"b{number}" for number, name in enumerate(order, 1)}
    boxes = tuple(_renamed(filled[name], final) for name in order)
    return boxes, boxes[0].id, sum(passage.spent for passage in flow.values())


def _box(problem: Problem, key: Key, names: dict[Key, str]) -> Box:
    """The box that does what the key says, shares still to be filled in."""
    targets = [None if exit_ is None else names[exit_] for exit_ in key.exits]
    if key.kind == "test":
        test = problem.tests[key.steps[0]]
        ways = zip(test.outcomes, targets, strict=True)
        exits = tuple(Exit(outcome, 0.0, target) for outcome, target in ways)
        return _make(names[key], "test", (test.id,), test.minutes, exits)
    if key.kind == "repair":
        cards = [problem.repairs[step] for step in key.steps]
        exits = (Exit(CURED, 0.0, None), *(Exit(STILL_THERE, 0.0, t) for t in targets if t is not None))
        steps = tuple(card.id for card in cards)
        return _make(names[key], "repair", steps, sum(card.minutes for card in cards), exits)
    return _make(names[key], "hand-on", (), problem.hand_on or 0.0, ())


def _make(name: str, kind: Kind, steps: tuple[str, ...], minutes: float, exits: tuple[Exit, ...]) -> Box:
    return Box(name, kind, steps, minutes, 0.0, exits, ())


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
