"""What a leaf of a tree can become: a test somewhere in its run of repairs, scored before it is built."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from faultleaf.diagnosis.chart.tree import (
    Leaf,
    Node,
    ask,
    ask_each,
    leaf,
    run_spent,
    run_then,
)  # fmt: skip
from faultleaf.diagnosis.model.problem import Floats, Problem
from faultleaf.diagnosis.model.state import State, after_test, due_first, minutes_of_test, open_tests
from faultleaf.diagnosis.step.leaf import round9, rounded
from faultleaf.diagnosis.step.steps import LookAhead, look_ahead

CUTS = 3
"""A test may be put in after fewer than so many repairs of a leaf's run; its end is tried as well."""
KEPT = 5
"""How many options are kept of each leaf, by minutes saved per box and by minutes saved."""
SECOND_LOOK = 4
"""How many of the best tests are looked at two steps ahead."""
WORTH_SECOND_LOOK = 0.02
"""Share of the calls below which a leaf is looked at one step ahead only."""


@dataclass(frozen=True)
class Option:
    """A test after the first `cut` repairs of a leaf, and second tests after some of its outcomes.

    `gain` in weight × minutes, `extra` boxes if nothing is shared with the rest of the tree.
    """

    cut: int
    test: int
    seconds: tuple[tuple[int, int], ...]
    gain: float
    extra: int

    @property
    def rate(self) -> float:
        """Minutes saved per extra box."""
        return self.gain / max(self.extra, 1)


def built(node: Node, option: Option) -> Node:
    """The node that the leaf becomes."""
    if not isinstance(node, Leaf):
        raise TypeError("only a leaf has options")
    problem, before = node.problem, node.run[: option.cut]
    _, state = run_spent(problem, node.state, before)
    first = ask_each(problem, state, option.test)
    seconds = dict(option.seconds)
    groups = tuple(
        (outcomes, ask_each(problem, child.state, seconds[outcomes[0]]))
        if outcomes[0] in seconds and isinstance(child, Leaf)
        else (outcomes, child)
        for outcomes, child in first.groups
    )
    return run_then(problem, node.state, before, ask(problem, state, option.test, groups))


def options_of(node: Leaf) -> tuple[Option, ...]:
    """The best options of a leaf: by minutes saved per box, and by minutes saved."""
    problem, total = node.problem, node.state.total
    if not total > 0 or due_first(problem, node.state) is not None:
        return ()
    found = list(_single(node))
    if total > WORTH_SECOND_LOOK * problem.weights.sum():
        found.extend(_double(node))
    ids = [test.id for test in problem.tests]
    by_rate = sorted(found, key=lambda option: (-round9(option.rate), ids[option.test], option.cut))
    by_gain = sorted(found, key=lambda option: (-round9(option.gain), ids[option.test], option.cut))
    return tuple(dict.fromkeys([*by_rate[:KEPT], *by_gain[:KEPT]]))


def _run_boxes(problem: Problem, lengths: NDArray[np.int_]) -> NDArray[np.int_]:
    size = problem.run_limit or max(len(problem.repairs), 1)
    return -(-lengths // size)


def _single(node: Leaf) -> Iterator[Option]:
    problem = node.problem
    cuts = sorted({0, *range(1, min(CUTS, len(node.run))), len(node.run)})
    before = {cut: run_spent(problem, node.state, node.run[:cut]) for cut in cuts}
    rows = [(cut, test) for cut in cuts if before[cut][1].total > 0 for test in open_tests(problem, before[cut][1])]
    if not rows:
        return
    look = look_ahead(problem, [(before[cut][1], test) for cut, test in rows])
    gains = node.cost - np.array([before[cut][0] for cut, _ in rows]) - look.scores
    ahead = _run_boxes(problem, np.array([cut for cut, _ in rows]))
    extras = 1 + ahead + _run_boxes(problem, look.lengths).sum(axis=1) - _run_boxes(problem, np.array(len(node.run)))
    for row in np.flatnonzero(gains > 0):
        yield Option(*rows[row], (), float(gains[row]), int(extras[row]))


def _double(node: Leaf) -> Iterator[Option]:
    """Two tests in a row, worked out for the tests that look best one step ahead."""
    problem, state = node.problem, node.state
    tests = open_tests(problem, state)
    if not tests:
        return
    look = look_ahead(problem, [(state, test) for test in tests])
    ids = [problem.tests[test].id for test in tests]
    order = sorted(range(len(tests)), key=lambda row: (float(rounded(look.scores)[row]), ids[row]))
    children: dict[tuple[int, int], State] = {}
    for row in order[:SECOND_LOOK]:
        for outcome in range(len(problem.tests[tests[row]].outcomes)):
            child = after_test(problem, state, tests[row], (outcome,))
            if child.total > 0:
                children[tests[row], outcome] = child
    best = _best_seconds(problem, children)
    for row in order[:SECOND_LOOK]:
        option = _double_option(node, tests[row], children, best)
        if option is not None:
            yield option


Seconds = dict[tuple[int, int], tuple[int, float, int]]
"""(test, outcome) → the best second test, its score, and its boxes."""


def _best_seconds(problem: Problem, children: dict[tuple[int, int], State]) -> Seconds:
    rows = [(place, test) for place, child in children.items() for test in open_tests(problem, child)]
    if not rows:
        return {}
    look: LookAhead = look_ahead(problem, [(children[place], test) for place, test in rows])
    scores: Floats = rounded(look.scores)
    boxes = 1 + _run_boxes(problem, look.lengths).sum(axis=1)
    best: Seconds = {}
    for row, (place, test) in enumerate(rows):
        rival = best.get(place)
        mine = (scores[row], problem.tests[test].id)
        if rival is None or mine < (round9(rival[1]), problem.tests[rival[0]].id):
            best[place] = (test, float(look.scores[row]), int(boxes[row]))
    return best


def _double_option(node: Leaf, test: int, children: dict[tuple[int, int], State], best: Seconds) -> Option | None:
    problem = node.problem
    cost, boxes, seconds = minutes_of_test(problem, node.state, test) * node.state.total, 1, []
    for outcome in range(len(problem.tests[test].outcomes)):
        if (test, outcome) not in children:
            continue
        plain = leaf(problem, children[test, outcome])
        second = best.get((test, outcome))
        if second is not None and second[1] < plain.cost:
            seconds.append((outcome, second[0]))
            cost, boxes = cost + second[1], boxes + second[2]
        else:
            cost += plain.cost
            boxes += int(_run_boxes(problem, np.array(len(plain.run))))
    extra = boxes - int(_run_boxes(problem, np.array(len(node.run))))
    gain = node.cost - cost
    return Option(0, test, tuple(seconds), gain, extra) if seconds and gain > 0 else None
