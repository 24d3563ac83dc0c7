"""A chart while it is being drawn: spots that lead to later spots, what reaches each and what it is worth.

A *spot* is one box: a test, or a run of repairs. Its minutes from there on are linear in what reaches it,
so that every spot has one row `worth[f]`, the expected minutes from there if the fault is f, and one row
`arriving[f]`, the share of calls that come there with fault f. A change at one spot costs exactly
arriving · (new worth − old worth), whatever else the chart does: charts are improved by that figure.
Such graphs are the finite-state controllers of E. A. Hansen, "Solving POMDPs by searching in policy
space", Uncertainty in Artificial Intelligence 14 (1998), without circles and with a known start.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from faultleaf.diagnosis.marks import Actions
from faultleaf.diagnosis.problem import Floats

END = -1
"""Where a chart ends: handing on, or nothing where everything is repaired."""
UNBOUNDED = 1e9
"""Minutes of ending with something unrepaired where nobody can be handed on to: no sound chart pays them."""


@dataclass(frozen=True)
class Spot:
    """A test or a run of repairs (places in `Actions`) and where each outcome goes on."""

    steps: tuple[int, ...]
    targets: tuple[int, ...]


@dataclass(frozen=True)
class Line:
    """A way into a spot: from a spot by one of its outcomes (from −1: the start)."""

    source: int
    outcome: int
    target: int


@dataclass(frozen=True, eq=False)
class Draft:
    """A chart being drawn. Spots that nothing leads to do not count; ends may be shared.

    Positions say nothing about order; `order` does. Raises nothing: `sound` tells whether it may stand.
    """

    actions: Actions
    spots: tuple[Spot, ...]
    root: int

    @cached_property
    def order(self) -> tuple[int, ...]:
        """The spots that can be reached, each before all that it leads to."""
        return self._walk[0]

    @cached_property
    def _walk(self) -> tuple[tuple[int, ...], bool]:
        """The order of the spots, and whether there is one: False where the chart goes in a circle."""
        order: list[int] = []
        done: dict[int, bool] = {END: True}
        stack = [(self.root, False)]
        while stack:
            place, left = stack.pop()
            if left:
                done[place] = True
                order.append(place)
            elif place not in done:
                done[place] = False
                stack.append((place, True))
                stack.extend((target, False) for target in dict.fromkeys(self.spots[place].targets))
            elif not done[place]:
                return (), False
        return tuple(reversed(order)), True

    @cached_property
    def boxes(self) -> int:
        """How many boxes it takes: its spots, and handing on where something leads there."""
        hands_on = self.root == END or any(END in self.spots[place].targets for place in self.order)
        return len(self.order) + (hands_on and self.actions.problem.hand_on is not None)

    @cached_property
    def arriving(self) -> Floats:
        """(N, F): the share of all calls that come to each spot with each fault."""
        problem = self.actions.problem
        found = np.zeros((len(self.spots) + 1, len(problem.faults)))
        found[self.root] = problem.weights / problem.weights.sum()
        for place in self.order:
            out = self.leaving(place, found[place])
            for outcome, target in enumerate(self.spots[place].targets):
                found[target] += out[outcome]
        return found

    def leaving(self, place: int, arriving: Floats) -> Floats:
        """(O, F): what leaves a spot by each outcome when this arrives."""
        steps = self.spots[place].steps
        out: Floats = arriving * self.actions.chance[steps[0]]
        for step in steps[1:]:
            out = out[:1] * self.actions.chance[step, :1]
        return out

    @cached_property
    def worth(self) -> Floats:
        """(N + 1, F): expected minutes from each spot on, by fault; the last row is the end."""
        price = self.actions.problem.hand_on
        found = np.zeros((len(self.spots) + 1, len(self.actions.problem.faults)))
        found[END] = UNBOUNDED if price is None else price
        for place in reversed(self.order):
            found[place] = worth_of(self.actions, self.spots[place], found)
        return found

    @cached_property
    def cost(self) -> float:
        """Expected minutes of a call, exactly."""
        weights = self.actions.problem.weights
        return float(weights @ self.worth[self.root] / weights.sum()) if self._walk[1] else float("inf")

    @cached_property
    def marks(self) -> tuple[int, ...]:
        """The marks of the paths into each spot, together; 0 where no path leads."""
        found = [0] * (len(self.spots) + 1)
        found[self.root] = self.actions.start
        for place in self.order:
            for outcome, target in enumerate(self.spots[place].targets):
                found[target] |= self.marks_after(place, outcome, found[place])
        return tuple(found)

    def marks_after(self, place: int, outcome: int, marks: int) -> int:
        """The marks of the paths that leave a spot by an outcome."""
        for step in self.spots[place].steps:
            marks = self.actions.effects[step][outcome].after(marks)
        return marks if self._possible(place)[outcome] else marks & self.actions.doings

    def _possible(self, place: int) -> Sequence[bool]:
        """Which outcomes to reckon with. Where nobody can be handed on to, what cannot be seen must lead
        somewhere all the same: then what was done counts, what would be seen does not."""
        if self.actions.problem.hand_on is not None:
            return [True] * len(self.spots[place].targets)
        return [bool(seen) for seen in self.leaving(place, self.arriving[place]).any(axis=1)]

    @cached_property
    def refused(self) -> tuple[int, ...]:
        """The marks that a spot and all after it refuse; the last is the end's. Not reached: all of them."""
        found = [(1 << 64 * self.actions.words) - 1] * len(self.spots) + [self.actions.due]
        for place in reversed(self.order):
            found[place] = refused_by(self.actions, self.spots[place], found, self._possible(place))
        return tuple(found)

    @cached_property
    def sound(self) -> bool:
        """True where no path takes a step that it may not take, or takes one twice."""
        return self._walk[1] and not self.actions.start & self.refused[self.root]

    def lines(self) -> Iterator[Line]:
        """Every way into a spot or to the end, in reading order."""
        yield Line(-1, 0, self.root)
        for place in self.order:
            for outcome, target in enumerate(self.spots[place].targets):
                yield Line(place, outcome, target)

    def with_spot(self, place: int, spot: Spot) -> "Draft":
        """The same with one spot exchanged."""
        spots = list(self.spots)
        spots[place] = spot
        return Draft(self.actions, tuple(spots), self.root)

    def redirected(self, lines: Sequence[Line], target: int, *new: Spot) -> "Draft":
        """The same with these ways leading elsewhere, and new spots at the end."""
        spots, root = [*self.spots, *new], self.root
        for line in lines:
            if line.source < 0:
                root = target
                continue
            targets = list(spots[line.source].targets)
            targets[line.outcome] = target
            spots[line.source] = Spot(spots[line.source].steps, tuple(targets))
        return Draft(self.actions, tuple(spots), root)

    def compact(self) -> "Draft":
        """The same without the spots that nothing leads to, in order."""
        if len(self.order) == len(self.spots):
            return self
        number = {place: index for index, place in enumerate(self.order)} | {END: END}
        spots = (self.spots[place] for place in self.order)
        kept = tuple(Spot(spot.steps, tuple(number[target] for target in spot.targets)) for spot in spots)
        return Draft(self.actions, kept, number[self.root])


def worth_of(actions: Actions, spot: Spot, worth: Floats) -> Floats:
    """(F,): expected minutes from a spot on, when its targets are worth this."""
    if spot.steps[0] < actions.tests:
        ahead = worth[list(spot.targets)]
        step = spot.steps[0]
        return np.asarray(actions.minutes[step] + (actions.chance[step, : len(ahead)] * ahead).sum(axis=0))
    value = worth[spot.targets[0]]
    for step in reversed(spot.steps):
        value = actions.minutes[step] + actions.chance[step, 0] * value
    return value


def refused_by(actions: Actions, spot: Spot, refused: Sequence[int], possible: Sequence[bool]) -> int:
    """The marks that a spot refuses, when its targets refuse these."""
    if spot.steps[0] < actions.tests:
        step = spot.steps[0]
        found = actions.refuses[step]
        for effect, target, seen in zip(actions.effects[step], spot.targets, possible, strict=True):
            found |= effect.before(refused[target] if seen else refused[target] & actions.doings)
        return found
    found = refused[spot.targets[0]]
    for step in reversed(spot.steps):
        found = actions.refuses[step] | actions.effects[step][0].before(found)
    return found
