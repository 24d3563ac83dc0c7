"""The tree that a plan grows as: frozen nodes that know their minutes and their boxes.

A *leaf* is a run of repairs and then handing on (or the end). A *run* is repairs and then a test. An
*ask* is a test whose outcomes are grouped: the outcomes of a group go on at the same box, which then
acts on the mixture of what they say. Minutes are weight × minutes, not normalised.

Two places of the tree that do the same from there on are one box of the chart; `Node.key` says what a
place does, so that boxes are the distinct keys.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from faultleaf.diagnosis.model.problem import DiagnosisError, Problem
from faultleaf.diagnosis.model.state import (
    State,
    after_failed,
    after_test,
    due_first,
    first_ways,
    minutes_of_test,
    open_repairs,
    permitted,
    way_to,
)  # fmt: skip
from faultleaf.diagnosis.step.leaf import best_run

Outcomes = tuple[int, ...]


class PlanError(DiagnosisError):
    """A plan that cannot be made, and why."""


@dataclass(frozen=True)
class Key:
    """What a box does: `kind`, the places of its test or repairs, and the keys its exits go to."""

    kind: str
    steps: tuple[int, ...]
    exits: tuple["Key | None", ...]

    @cached_property
    def _hash(self) -> int:
        return hash((self.kind, self.steps, self.exits))

    def __hash__(self) -> int:
        return self._hash


HAND_ON_KEY = Key("hand-on", (), ())


@dataclass(frozen=True, eq=False)
class Leaf:
    """A run of repairs, then handing on where there is that."""

    problem: Problem
    state: State
    run: tuple[int, ...]
    cost: float

    @cached_property
    def key(self) -> Key | None:
        """What this place does; None where everything is repaired and nothing comes after."""
        end = HAND_ON_KEY if self.problem.hand_on is not None else None
        return _run_key(self.problem, self.run, end)


@dataclass(frozen=True, eq=False)
class Run:
    """Repairs that come before a test."""

    problem: Problem
    state: State
    repairs: tuple[int, ...]
    then: "Ask"
    cost: float

    @cached_property
    def key(self) -> Key | None:
        """What this place does."""
        return _run_key(self.problem, self.repairs, self.then.key)


@dataclass(frozen=True, eq=False)
class Ask:
    """A test; `groups` are its outcomes (by their places) with where they go on, together all of them."""

    problem: Problem
    state: State
    test: int
    groups: tuple[tuple[Outcomes, "Node"], ...]
    cost: float

    @cached_property
    def key(self) -> Key:
        """What this place does."""
        exits = {outcome: node.key for outcomes, node in self.groups for outcome in outcomes}
        return Key("test", (self.test,), tuple(exits[outcome] for outcome in sorted(exits)))


Node = Leaf | Run | Ask


def _run_key(problem: Problem, run: tuple[int, ...], end: Key | None) -> Key | None:
    size = problem.run_limit or max(len(run), 1)
    for start in reversed(range(0, len(run), size)):
        end = Key("repair", run[start : start + size], (end,))
    return end


def keys_of(node: Node) -> dict[Key, None]:
    """The distinct boxes at and below a place, in no order that means anything."""
    found: dict[Key, None] = {}
    waiting = [node.key]
    while waiting:
        key = waiting.pop()
        if key is not None and key not in found:
            found[key] = None
            waiting.extend(key.exits)
    return found


def count_boxes(tree: Node) -> int:
    """How many boxes a chart of this tree takes; places that do the same from there on are one box."""
    return len(keys_of(tree))


def walk(node: Node) -> Iterator[Node]:
    """The node and all below it, each before what it leads to."""
    yield node
    if isinstance(node, Run):
        yield from walk(node.then)
    elif isinstance(node, Ask):
        for _, child in node.groups:
            yield from walk(child)


def replaced(node: Node, old: Node, new: Node) -> Node:
    """The tree with one node (the very object `old`) exchanged."""
    if node is old:
        return new
    if isinstance(node, Run):
        then = replaced(node.then, old, new)
        return node if then is node.then else run_then(node.problem, node.state, node.repairs, then)
    if isinstance(node, Ask):
        groups = tuple((outcomes, replaced(child, old, new)) for outcomes, child in node.groups)
        if all(new_[1] is old_[1] for new_, old_ in zip(groups, node.groups, strict=True)):
            return node
        return ask(node.problem, node.state, node.test, groups)
    return node


def leaf(problem: Problem, state: State) -> Leaf:
    """The best run of repairs from here, an instrument mended before it where that opens a better one (rule 17)."""
    run, cost = best_run(problem, state)
    for mender in open_repairs(problem, state) if problem.mending.any() and state.total > 0 else ():
        if problem.mending[mender]:
            spent, after = run_spent(problem, state, (mender,))
            then, rest = best_run(problem, after)
            if spent + rest < cost:
                run, cost = (mender, *then), spent + rest
    return Leaf(problem, state, run, cost)


def ask(problem: Problem, state: State, test: int, groups: tuple[tuple[Outcomes, Node], ...]) -> Ask:
    """A test node over nodes that stand already."""
    cost = minutes_of_test(problem, state, test) * state.total + sum(child.cost for _, child in groups)
    return Ask(problem, state, test, groups, cost)


def run_then(problem: Problem, state: State, repairs: tuple[int, ...], then: Node) -> Node:
    """Repairs and then a node that stands already; where only repairs follow, the best run is
    chosen afresh."""
    if not repairs:
        return then
    spent, _ = run_spent(problem, state, repairs)
    if isinstance(then, Leaf):
        return leaf(problem, state)
    if isinstance(then, Run):
        return Run(problem, state, (*repairs, *then.repairs), then.then, spent + then.cost)
    return Run(problem, state, repairs, then, spent + then.cost)


def run_spent(problem: Problem, state: State, repairs: tuple[int, ...]) -> tuple[float, State]:
    """Minutes of doing these repairs until one cures, and the state when none did."""
    spent = 0.0
    for repair in repairs:
        spent += float(problem.repair_spent[repair] @ state.weights)
        state = after_failed(problem, state, repair)
    return spent, state


def sprout(problem: Problem, state: State) -> Node:
    """The smallest sensible node: waiting `first` tests, then the best run of repairs.

    Outcomes of a `first` test go on together unless they differ in what of `first` may follow. Where
    there is no handing on and a repair still waits for a finding, its test comes first.
    """
    due = due_first(problem, state) if state.total > 0 else None
    if due is not None:
        return ask_grouped(problem, state, due, _groups_of_first(problem, state, due))
    here = leaf(problem, state)
    if here.cost < float("inf"):
        return here
    needed = _test_that_frees(problem, state)
    return here if needed is None else ask_each(problem, state, needed)


def ask_grouped(problem: Problem, state: State, test: int, groups: tuple[Outcomes, ...]) -> Ask:
    """A test node whose groups of outcomes each sprout."""
    nodes = ((outcomes, sprout(problem, after_test(problem, state, test, outcomes))) for outcomes in groups)
    return ask(problem, state, test, tuple(nodes))


def ask_each(problem: Problem, state: State, test: int) -> Ask:
    """A test node in which every outcome goes its own way."""
    singles = tuple((outcome,) for outcome in range(len(problem.tests[test].outcomes)))
    return ask_grouped(problem, state, test, _joined_impossible(problem, state, test, singles))


def _groups_of_first(problem: Problem, state: State, test: int) -> tuple[Outcomes, ...]:
    groups: dict[tuple[str | None, ...], list[int]] = {}
    for outcome in range(len(problem.tests[test].outcomes)):
        ways = first_ways(problem, after_test(problem, state, test, (outcome,)))
        groups.setdefault(ways, []).append(outcome)
    return _joined_impossible(problem, state, test, tuple(tuple(group) for group in groups.values()))


def _joined_impossible(problem: Problem, state: State, test: int, groups: tuple[Outcomes, ...]) -> tuple[Outcomes, ...]:
    """Outcomes that cannot be seen go on with the likeliest ones where nobody can be handed to."""
    shares = [after_test(problem, state, test, outcomes).total for outcomes in groups]
    if problem.hand_on is not None or all(share > 0 for share in shares):
        return groups
    main = shares.index(max(shares))
    lost = [o for outcomes, share in zip(groups, shares, strict=True) if share <= 0 for o in outcomes]
    return tuple(
        tuple(sorted([*outcomes, *lost])) if index == main else outcomes
        for index, outcomes in enumerate(groups)
        if index == main or shares[index] > 0
    )


def _test_that_frees(problem: Problem, state: State) -> int | None:
    """A test on the way to a repair that is still needed and may not be done yet."""
    for repair in problem.repairs:
        if repair.id in state.tried or not (state.weights @ repair.fixes) > 0:
            continue
        way = way_to(problem, state, repair)
        if way is not None and way != repair.id:
            return problem.test_index[way]
    return None


def regrown(node: Node, state: State) -> Node:
    """The same shape from another state; runs at its leaves are chosen afresh.

    What may not be done from there is left out: a repair already tried, a step forbidden by a finding.
    """
    problem = node.problem
    if isinstance(node, Leaf):
        return sprout(problem, state)
    if isinstance(node, Run):
        allowed = set(open_repairs(problem, state))
        repairs = tuple(repair for repair in node.repairs if repair in allowed)
        _, after = run_spent(problem, state, repairs)
        return run_then(problem, state, repairs, regrown(node.then, after))
    card = problem.tests[node.test]
    if card.id in state.known or not permitted(card, state.known):
        return sprout(problem, state)
    groups = (
        (outcomes, regrown(child, after_test(problem, state, node.test, outcomes))) for outcomes, child in node.groups
    )
    return ask(problem, state, node.test, tuple(groups))
