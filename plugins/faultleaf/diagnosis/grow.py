"""A tree grown under a box budget: the move that saves most minutes per extra box, again and again.

Moves: put a test (or a test and a second one after some of its outcomes, so that a test is found which
pays only with the second) into a run of repairs; let one outcome of a group go its own way; put repairs
before a test. When no move fits any more, boxes that earn least are given up for better ones. Work is
bounded by counted moves; what a leaf can become is worked out once and kept while one plan is made.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import islice

from faultleaf.diagnosis.leaf import repair_order, round9
from faultleaf.diagnosis.moves import Option, built, options_of
from faultleaf.diagnosis.problem import Problem
from faultleaf.diagnosis.state import Step, after_test, due_first, start_state
from faultleaf.diagnosis.tree import (
    HAND_ON_KEY,
    Ask,
    Leaf,
    Node,
    ask,
    ask_grouped,
    count_boxes,
    keys_of,
    leaf,
    regrown,
    replaced,
    run_spent,
    run_then,
    sprout,
    walk,
)  # fmt: skip

ROUNDS = 3
"""How often boxes may be given up for better ones, for each budget."""
GIVEN_UP = 4
"""How many ways of giving up boxes are tried in a round, those that lose least per box."""
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

    def best_tree(self, boxes: int) -> Node:
        """The cheapest tree found with at most so many boxes (more only if the smallest takes more).

        Goes through every smaller budget on the way, so that more boxes are never worse.
        """
        base = best = sprout(self.problem, start_state(self.problem))
        for budget in range(count_boxes(base), boxes + 1):
            fresh = self.grown(base, budget)
            further = self.improved(self.grown(best, budget), budget)
            best = min(best, further, fresh, key=lambda tree: round9(tree.cost))
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


def _smaller(tree: Node) -> list[Node]:
    """The tree with a few boxes fewer, in the ways that lose least per box."""
    used = count_boxes(tree)
    found: list[tuple[float, int, Node]] = []
    for node in walk(tree):
        for new in _shrunk(node):
            smaller = replaced(tree, node, new)
            freed = used - count_boxes(smaller)
            if freed > 0:
                found.append((round9((smaller.cost - tree.cost) / freed), len(found), smaller))
    return [smaller for _, _, smaller in sorted(found, key=lambda way: way[:2])[:GIVEN_UP]]


def _shrunk(node: Node) -> Iterator[Node]:
    """A test given up, or two of its outcomes that go on together."""
    if not isinstance(node, Ask):
        return
    if due_first(node.problem, node.state) is None:
        plain = leaf(node.problem, node.state)
        if plain.cost < float("inf"):
            yield plain
    leaves = [index for index, (_, child) in enumerate(node.groups) if isinstance(child, Leaf)]
    for place, left in enumerate(leaves):
        for right in leaves[place + 1 :]:
            together = tuple(sorted(node.groups[left][0] + node.groups[right][0]))
            both = ask_grouped(node.problem, node.state, node.test, (together,)).groups
            kept = tuple(group for index, group in enumerate(node.groups) if index not in (left, right))
            yield ask(node.problem, node.state, node.test, (*kept, *both))
