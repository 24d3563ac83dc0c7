"""A chart while it is being drawn: stations that lead to later stations, what reaches each and what it is worth.

A *station* is one box: a test, or a run of repairs. Its minutes from there on are linear in what reaches it,
so that every station has one row `worth[f]`, the expected minutes from there if the fault is f, and one row
`arriving[f]`, the share of calls that come there with fault f. A change at one station costs exactly
arriving · (new worth − old worth), whatever else the chart does: charts are improved by that figure.
Such graphs are the finite-state controllers of E. A. Hansen, "Solving POMDPs by searching in policy
space", Uncertainty in Artificial Intelligence 14 (1998), without circles and with a known start.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from faultleaf.diagnosis.chart.marks import Actions
from faultleaf.diagnosis.model.problem import Floats

END = -1
"""Where a chart ends: handing on, or nothing where everything is repaired."""
UNBOUNDED = 1e12
"""Minutes of ending with something unrepaired where nobody can be handed on to: no sound chart pays them."""


@dataclass(frozen=True)
class Station:
    """A test or a run of repairs (places in `Actions`) and where each outcome goes on."""

    steps: tuple[int, ...]
    targets: tuple[int, ...]


@dataclass(frozen=True)
class Line:
    """A way into a station: from a station by one of its outcomes (from −1: the start)."""

    source: int
    outcome: int
    target: int


@dataclass(frozen=True, eq=False)
class Draft:
    """A chart being drawn. Stations that nothing leads to do not count.

    Positions say nothing about order; `order` does. `sound` tells whether the chart may stand.
    """

    actions: Actions
    stations: tuple[Station, ...]
    root: int

    @cached_property
    def order(self) -> tuple[int, ...]:
        """The stations that can be reached, each before all that it leads to."""
        return self._walk[0]

    @cached_property
    def _walk(self) -> tuple[tuple[int, ...], bool]:
        """The order of the stations, and whether there is one: False where the chart goes in a circle."""
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
                stack.extend((target, False) for target in dict.fromkeys(self.stations[place].targets))
            elif not done[place]:
                return (), False
        return tuple(reversed(order)), True

    @cached_property
    def boxes(self) -> int:
        """How many boxes it takes: its stations, and handing on where something leads there."""
        hands_on = self.root == END or any(END in self.stations[place].targets for place in self.order)
        return len(self.order) + (hands_on and self.actions.problem.hand_on is not None)

    @cached_property
    def arriving(self) -> Floats:
        """(N, F): the share of all calls that come to each station with each fault."""
        problem = self.actions.problem
        found = np.zeros((len(self.stations) + 1, len(problem.faults)))
        found[self.root] = problem.weights / problem.weights.sum()
        for place in self.order:
            out = self.leaving(place, found[place])
            for outcome, target in enumerate(self.stations[place].targets):
                found[target] += out[outcome]
        return found

    def leaving(self, place: int, arriving: Floats) -> Floats:
        """(O, F): what leaves a station by each outcome when this arrives."""
        steps = self.stations[place].steps
        out: Floats = arriving * self.actions.chance[steps[0]]
        for step in steps[1:]:
            out = out[:1] * self.actions.chance[step, :1]
        return out

    @cached_property
    def worth(self) -> Floats:
        """(N + 1, F): expected minutes from each station on, by fault; the last row is the end."""
        problem = self.actions.problem
        found = np.zeros((len(self.stations) + 1, len(problem.faults)))
        found[END] = UNBOUNDED if problem.hand_on is None else problem.ending
        for place in reversed(self.order):
            found[place] = worth_of(self.actions, self.stations[place], found)
        return found

    @cached_property
    def cost(self) -> float:
        """Expected minutes of a call, exactly."""
        weights = self.actions.problem.weights
        return float(weights @ self.worth[self.root] / weights.sum()) if self._walk[1] else float("inf")

    @cached_property
    def marks(self) -> tuple[int, ...]:
        """The marks of the paths into each station, together; 0 where no path leads."""
        found = [0] * (len(self.stations) + 1)
        found[self.root] = self.actions.start
        for place in self.order:
            for outcome, target in enumerate(self.stations[place].targets):
                found[target] |= self.marks_after(place, outcome, found[place])
        return tuple(found)

    def marks_after(self, place: int, outcome: int, marks: int) -> int:
        """The marks of the paths that leave a station by an outcome."""
        for step in self.stations[place].steps:
            marks = self.actions.effects[step][outcome].after(marks)
        return marks if self._possible(place)[outcome] else marks & self.actions.doings

    def _possible(self, place: int) -> Sequence[bool]:
        """Which outcomes to reckon with. Where nobody can be handed on to, what cannot be seen must lead
        somewhere all the same: then what was done counts, what would be seen does not."""
        if self.actions.problem.hand_on is not None:
            return [True] * len(self.stations[place].targets)
        return [bool(row.any()) for row in self.leaving(place, self.arriving[place])]

    @cached_property
    def refused(self) -> tuple[int, ...]:
        """The marks that a station and all after it refuse; the last is the end's. Not reached: all of them."""
        found = [(1 << 64 * self.actions.words) - 1] * len(self.stations) + [self.actions.due]
        for place in reversed(self.order):
            found[place] = refused_by(self.actions, self.stations[place], found, self._possible(place))
        return tuple(found)

    @cached_property
    def sound(self) -> bool:
        """True where no path takes a step that it may not take, or takes one twice."""
        return self._walk[1] and not self.actions.start & self.refused[self.root]

    def lines(self) -> Iterator[Line]:
        """Every way into a station or to the end, in reading order."""
        yield Line(-1, 0, self.root)
        for place in self.order:
            for outcome, target in enumerate(self.stations[place].targets):
                yield Line(place, outcome, target)

    def with_station(self, place: int, station: Station) -> "Draft":
        """The same with one station exchanged."""
        stations = list(self.stations)
        stations[place] = station
        return Draft(self.actions, tuple(stations), self.root)

    def redirected(self, lines: Sequence[Line], target: int, *new: Station) -> "Draft":
        """The same with these ways leading elsewhere, and new stations at the end."""
        stations, root = [*self.stations, *new], self.root
        for line in lines:
            if line.source < 0:
                root = target
                continue
            targets = list(stations[line.source].targets)
            targets[line.outcome] = target
            stations[line.source] = Station(stations[line.source].steps, tuple(targets))
        return Draft(self.actions, tuple(stations), root)

    def compact(self) -> "Draft":
        """The same without the stations that nothing leads to, in order."""
        if len(self.order) == len(self.stations):
            return self
        number = {place: index for index, place in enumerate(self.order)} | {END: END}
        kept = (self.stations[place] for place in self.order)
        renumbered = (Station(old.steps, tuple(number[target] for target in old.targets)) for old in kept)
        return Draft(self.actions, tuple(renumbered), number[self.root])


def worth_of(actions: Actions, station: Station, worth: Floats) -> Floats:
    """(F,): expected minutes from a station on, when its targets are worth this."""
    if station.steps[0] < actions.tests:
        ahead = worth[list(station.targets)]
        step = station.steps[0]
        return np.asarray(actions.spent[step] + (actions.chance[step, : len(ahead)] * ahead).sum(axis=0))
    value: Floats = worth[station.targets[0]]
    for step in reversed(station.steps):
        value = actions.spent[step] + actions.chance[step, 0] * value
    return value


def refused_by(actions: Actions, station: Station, refused: Sequence[int], possible: Sequence[bool]) -> int:
    """The marks that a station refuses, when its targets refuse these."""
    if station.steps[0] < actions.tests:
        step = station.steps[0]
        found = actions.refuses[step]
        for effect, target, seen in zip(actions.effects[step], station.targets, possible, strict=True):
            found |= effect.before(refused[target] if seen else refused[target] & actions.doings)
        return found
    found = refused[station.targets[0]]
    for step in reversed(station.steps):
        found = actions.refuses[step] | actions.effects[step][0].before(found)
    return found
