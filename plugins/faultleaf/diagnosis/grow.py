"""A tree grown under a box budget: the move that saves most minutes per extra box, again and again.

Moves: put a test (or a test and a second one after some of its outcomes, so that a test is found which
pays only with the second) into a run of repairs; let one outcome of a group go its own way. When no
move fits any more, boxes that earn least are given up for better ones. Work is bounded by counted
moves; what a leaf can become is worked out once and kept for the length of one call.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field

import numpy as np

from faultleaf.diagnosis.leaf import round9
from faultleaf.diagnosis.problem import Problem
from faultleaf.diagnosis.state import State, Step, after_test, due_first, open_tests, start_state
from faultleaf.diagnosis.steps import look_ahead
from faultleaf.diagnosis.tree import (
    HAND_ON_KEY,
    Ask,
    Leaf,
    Node,
    Outcomes,
    ask,
    ask_each,
    ask_grouped,
    keys_of,
    leaf,
    regrown,
    replaced,
    run_spent,
    run_then,
    sprout,
    walk,
)  # fmt: skip

CUTS = (0, 1, 2, 3)
"""After how many repairs of a leaf's run a test may be put in (its end is tried as well)."""
BUILT = 4
"""How many of a leaf's tests are built out, by minutes saved per box and by minutes saved."""
SECOND_LOOK = 6
"""How many of the best tests are looked at two steps ahead."""
WORTH_SECOND_LOOK = 0.01
"""Share of the calls below which a leaf is looked at one step ahead only."""
ROUNDS = 12
"""How often boxes may be given up for better ones."""
LEAST_GAIN = 1e-9
"""Savings below this share of the whole are rounding, not savings."""


@dataclass
class Grower:
    """Grows trees for one problem; keeps what each leaf can become while one plan is made."""

    problem: Problem
    options: dict[tuple[Step, ...], tuple[Node, ...]] = field(default_factory=dict)

    def best_tree(self, boxes: int) -> Node:
        """The cheapest tree found with at most so many boxes (more if `first` tests take more).

        Tries every smaller budget too, so that more boxes are never worse.
        """
        base = sprout(self.problem, start_state(self.problem))
        best = base
        for budget in range(count_boxes(base), boxes + 1):
            for start in (base, best):
                tree = self.improved(self.grown(start, budget), budget)
                if round9(tree.cost) < round9(best.cost):
                    best = tree
        return best

    def grown(self, tree: Node, budget: int) -> Node:
        """The tree after the best moves that fit the budget."""
        while (bigger := self._best_move(tree, budget)) is not None:
            tree = bigger
        return tree

    def improved(self, tree: Node, budget: int) -> Node:
        """The tree after giving up boxes for better ones, as long as that helps."""
        for _ in range(ROUNDS):
            tries = (self.grown(smaller, budget) for smaller in _smaller(tree))
            better = min(tries, key=lambda node: round9(node.cost), default=tree)
            if round9(better.cost) >= round9(tree.cost):
                return tree
            tree = better
        return tree

    def _best_move(self, tree: Node, budget: int) -> Node | None:
        used = count_boxes(tree)
        moves = [
            (_rate(old, new), order, old, new)
            for order, (old, new) in enumerate(self._moves(tree))
            if old.cost - new.cost > LEAST_GAIN * tree.cost
        ]
        for _, _, old, new in sorted(moves, key=lambda move: (-move[0], move[1])):
            if used + min(_extra(old, new), 0) > budget:
                continue
            bigger = replaced(tree, old, new)
            if count_boxes(bigger) <= budget:
                return bigger
        return None

    def _moves(self, tree: Node) -> Iterator[tuple[Node, Node]]:
        for node in walk(tree):
            if isinstance(node, Leaf):
                yield from ((node, new) for new in self._expansions(node))
            elif isinstance(node, Ask):
                yield from ((node, new) for new in self._separations(node))

    def _expansions(self, node: Leaf) -> tuple[Node, ...]:
        """What a leaf can become: a test somewhere in its run of repairs."""
        path = node.state.path
        if path not in self.options:
            self.options[path] = tuple(self._worked_out(node))
        return self.options[path]

    def _worked_out(self, node: Leaf) -> Iterator[Node]:
        whole = float(self.problem.weights.sum())
        if due_first(self.problem, node.state) is not None or not node.state.total > 0:
            return
        for cut in sorted({*(cut for cut in CUTS if cut < len(node.run)), 0, len(node.run)}):
            before = node.run[:cut]
            spent, state = run_spent(self.problem, node.state, before)
            for test in _promising(self.problem, state, node.cost - spent, whole):
                yield run_then(self.problem, node.state, before, ask_each(self.problem, state, test))
        if node.state.total > WORTH_SECOND_LOOK * whole:
            yield from _second_looks(self.problem, node)

    def _separations(self, node: Ask) -> Iterator[Node]:
        """One outcome out of a group goes its own way, plainly or with the best test after it."""
        for index, (outcomes, child) in enumerate(node.groups):
            if len(outcomes) < 2:
                continue
            for outcome in outcomes:
                alone = (outcome,)
                rest = tuple(other for other in outcomes if other != outcome)
                here = sprout(self.problem, after_test(self.problem, node.state, node.test, alone))
                there = regrown(child, after_test(self.problem, node.state, node.test, rest))
                for own in (here, self._with_best(here)):
                    for remaining in (there, self._with_best(there)):
                        groups = [*node.groups]
                        groups[index : index + 1] = [(alone, own), (rest, remaining)]
                        yield ask(self.problem, node.state, node.test, tuple(groups))

    def _with_best(self, node: Node) -> Node:
        if not isinstance(node, Leaf):
            return node
        options = self._expansions(node)
        best = min(options, key=lambda new: round9(new.cost), default=node)
        return best if best.cost < node.cost else node


def count_boxes(tree: Node) -> int:
    """How many boxes a chart of this tree takes; what does the same from there on is one box."""
    return len(keys_of(tree))


def _extra(old: Node, new: Node) -> int:
    """Boxes that the new node takes beyond the old one; handing on is one box of the whole chart."""
    return sum(key is not HAND_ON_KEY for key in keys_of(new)) - sum(key is not HAND_ON_KEY for key in keys_of(old))


def _rate(old: Node, new: Node) -> float:
    """Minutes saved per extra box; boundless where none is needed."""
    extra = _extra(old, new)
    return round9((old.cost - new.cost) / extra) if extra > 0 else float("inf")


def _promising(problem: Problem, state: State, cost: float, whole: float) -> list[int]:
    """The tests worth building out after this state, one step ahead: best per box, and best outright."""
    tests = open_tests(problem, state)
    if not tests:
        return []
    look = look_ahead(problem, state, tests)
    size = problem.run_limit or max(len(problem.repairs), 1)
    boxes = 1 + np.ceil(look.lengths / size).sum(axis=1)
    gains = cost - look.scores
    useful = [row for row in range(len(tests)) if gains[row] > LEAST_GAIN * whole]
    by_rate = sorted(useful, key=lambda row: (-round9(float(gains[row] / boxes[row])), problem.tests[tests[row]].id))
    outright = sorted(useful, key=lambda row: (-round9(float(gains[row])), problem.tests[tests[row]].id))
    rows = dict.fromkeys([*by_rate[:BUILT], *outright[:BUILT]])
    return [tests[row] for row in rows]


def _second_looks(problem: Problem, node: Leaf) -> Iterator[Node]:
    """Tests with a second test after those outcomes where it pays."""
    tests = open_tests(problem, node.state)
    if not tests:
        return
    scores = look_ahead(problem, node.state, tests).scores
    order = sorted(range(len(tests)), key=lambda row: (round9(float(scores[row])), problem.tests[tests[row]].id))
    for row in order[:SECOND_LOOK]:
        first = ask_each(problem, node.state, tests[row])
        groups = tuple((outcomes, _with_second(problem, child)) for outcomes, child in first.groups)
        if any(new is not old for (_, new), (_, old) in zip(groups, first.groups, strict=True)):
            yield ask(problem, node.state, tests[row], groups)


def _with_second(problem: Problem, node: Node) -> Node:
    tests = open_tests(problem, node.state) if isinstance(node, Leaf) and node.state.total > 0 else []
    if not tests:
        return node
    scores = look_ahead(problem, node.state, tests).scores
    best = min(range(len(tests)), key=lambda row: (round9(float(scores[row])), problem.tests[tests[row]].id))
    return ask_each(problem, node.state, tests[best]) if scores[best] < node.cost else node


def _smaller(tree: Node) -> Iterator[Node]:
    """The tree with a few boxes fewer: a test given up, or two outcomes that go on together."""
    for node in walk(tree):
        if not isinstance(node, Ask):
            continue
        problem = node.problem
        if due_first(problem, node.state) is None:
            shrunk = leaf(problem, node.state)
            if shrunk.cost < float("inf"):
                yield replaced(tree, node, shrunk)
        for groups in _joined(node):
            yield replaced(tree, node, groups)


def _joined(node: Ask) -> Iterator[Node]:
    leaves = [index for index, (_, child) in enumerate(node.groups) if isinstance(child, Leaf)]
    for place, left in enumerate(leaves):
        for right in leaves[place + 1 :]:
            together: Outcomes = tuple(sorted(node.groups[left][0] + node.groups[right][0]))
            both = ask_grouped(node.problem, node.state, node.test, (together,)).groups
            kept = tuple(group for index, group in enumerate(node.groups) if index not in (left, right))
            yield ask(node.problem, node.state, node.test, (*kept, *both))
