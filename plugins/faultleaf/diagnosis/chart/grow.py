"""A tree grown under a box budget: the move that saves most minutes per extra box, again and again.

Moves: put a test (or a test and a second one after some of its outcomes, so that a test is found which
pays only with the second) into a run of repairs; let one outcome of a group go its own way; put repairs
before a test. What a leaf can become is worked out once and kept while one plan is made. Grown trees are
starts of the search for better graphs (`sketch.py`), and what these are measured against.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import islice

from faultleaf.diagnosis.chart.moves import Option, built, options_of
from faultleaf.diagnosis.chart.tree import (
    HAND_ON_KEY,
    Ask,
    Leaf,
    Node,
    ask,
    count_boxes,
    keys_of,
    regrown,
    replaced,
    run_spent,
    run_then,
    sprout,
    walk,
)  # fmt: skip
from faultleaf.diagnosis.model.problem import Problem
from faultleaf.diagnosis.model.state import Step, after_test, due_first
from faultleaf.diagnosis.step.leaf import repair_order, round9

AHEAD = 2
"""At most so many repairs are put before a test that stands already."""
LEAST_GAIN = 1e-9
"""Savings below this share of the whole are rounding, not savings."""


@dataclass(frozen=True, eq=False)
class Move:
    """One node of a tree may become another: minutes saved and boxes taken, before it is built."""

    old: Node
    new: Node | Option
    gain: float
    extra: int

    @property
    def rate(self) -> float:
        """Minutes saved per extra box; boundless where none is needed."""
        return self.gain / self.extra if self.extra > 0 else float("inf")


@dataclass
class Grower:
    """Grows trees for one problem and keeps what leaves and groups can become while it does."""

    problem: Problem
    options: dict[tuple[Step, ...], tuple[Option, ...]] = field(default_factory=dict)
    expanded: dict[tuple[tuple[Step, ...], Option], Node] = field(default_factory=dict)
    separations: dict[Ask, tuple[Node, ...]] = field(default_factory=dict)

    def grown(self, tree: Node, budget: int) -> Node:
        """The tree after the best moves that fit the budget."""
        while (bigger := self._best_move(tree, budget)) is not None:
            tree = bigger
        return tree

    def _best_move(self, tree: Node, budget: int) -> Node | None:
        """The tree after the best move that fits; repairs go before a test only if nothing else helps."""
        return self._best_of(self._moves(tree), tree, budget) or self._best_of(_repairs_ahead(tree), tree, budget)

    def _best_of(self, offered: Iterator[Move], tree: Node, budget: int) -> Node | None:
        used = count_boxes(tree)
        least = LEAST_GAIN * self.problem.weights.sum()
        moves = [move for move in offered if move.gain > least]
        for move in sorted(moves, key=lambda move: -move.rate):
            # What does the same as another place may take no box of its own: only the count tells.
            if used + move.extra > budget + 2:
                continue
            bigger = replaced(tree, move.old, self._built(move.old, move.new))
            if tree.cost - bigger.cost > least and count_boxes(bigger) <= budget:
                return bigger
        return None

    def _moves(self, tree: Node) -> Iterator[Move]:
        for node in walk(tree):
            if isinstance(node, Leaf):
                for option in self._options(node):
                    yield Move(node, option, option.gain, option.extra)
            elif isinstance(node, Ask):
                for new in self._separated(node):
                    yield Move(node, new, round9(node.cost - new.cost), _extra(node, new))

    def _options(self, node: Leaf) -> tuple[Option, ...]:
        if node.state.path not in self.options:
            self.options[node.state.path] = options_of(node)
        return self.options[node.state.path]

    def _separated(self, node: Ask) -> tuple[Node, ...]:
        if node not in self.separations:
            self.separations[node] = tuple(self._separations(node))
        return self.separations[node]

    def _separations(self, node: Ask) -> Iterator[Node]:
        """One outcome out of a group goes its own way, plainly or with the best test after it."""
        for index, (outcomes, child) in enumerate(node.groups):
            if len(outcomes) < 2:
                continue
            for outcome in outcomes:
                alone, rest = (outcome,), tuple(other for other in outcomes if other != outcome)
                here = sprout(self.problem, after_test(self.problem, node.state, node.test, alone))
                there = regrown(child, after_test(self.problem, node.state, node.test, rest))
                for own, remaining in ((here, there), (self._with_best(here), self._with_best(there))):
                    groups = [*node.groups]
                    groups[index : index + 1] = [(alone, own), (rest, remaining)]
                    yield ask(self.problem, node.state, node.test, tuple(groups))

    def _with_best(self, node: Node) -> Node:
        options = self._options(node) if isinstance(node, Leaf) else ()
        best = max(options, key=lambda option: option.gain, default=None)
        return node if best is None else self._built(node, best)

    def _built(self, old: Node, new: Node | Option) -> Node:
        if not isinstance(new, Option):
            return new
        place = (old.state.path, new)
        if place not in self.expanded:
            self.expanded[place] = built(old, new)
        return self.expanded[place]


def _repairs_ahead(tree: Node) -> Iterator[Move]:
    """The likeliest repairs for their minutes done before a test that stands already."""
    for node in walk(tree):
        problem, state = node.problem, node.state
        if not isinstance(node, Ask) or not state.total > 0 or due_first(problem, state) is not None:
            continue
        order = tuple(repair for repair, _ in islice(repair_order(problem, state), AHEAD))
        for count in range(1, len(order) + 1):
            _, after = run_spent(problem, state, order[:count])
            new = run_then(problem, state, order[:count], regrown(node, after))
            yield Move(node, new, round9(node.cost - new.cost), _extra(node, new))


def _extra(old: Node, new: Node) -> int:
    """Boxes that the new node takes beyond the old one; handing on is one box of the whole chart."""
    sizes = [sum(key is not HAND_ON_KEY for key in keys_of(node)) for node in (new, old)]
    return sizes[0] - sizes[1]
