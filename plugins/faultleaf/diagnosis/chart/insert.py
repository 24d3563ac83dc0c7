"""New boxes in a draft: what a test, or a run of repairs, saves on a line or before a station.

A test is also tried together with new boxes after some of its outcomes: a test and the repair it points
to (then back to the line), or a test that pays only with a second one.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import reduce
from operator import or_

import numpy as np

from faultleaf.diagnosis.chart.draft import Draft, Line, Station
from faultleaf.diagnosis.chart.extend import (
    DIGITS,
    Exits,
    Runs,
    Stream,
    after_step,
    best_exits,
    best_runs,
    cheapest,
    station_of,
)

TRAFFIC = 1e-4
"""Lines along which a smaller share of calls goes are not looked at."""
SECOND_LOOK = 16
"""How many pairs of a line and a test are looked at with new boxes after the test."""
SECONDS = 3
"""At most so many new boxes come after a new test at once."""


@dataclass(frozen=True)
class Option:
    """New stations on some lines, the first of them the one the lines lead to.

    `after` maps an outcome of the first to the place in `stations` of the new station it goes on at.
    `gain` in minutes per call; `boxes` if nothing is freed.
    """

    lines: tuple[Line, ...]
    stations: tuple[Station, ...]
    gain: float

    @property
    def rate(self) -> float:
        """Minutes saved per new box."""
        return self.gain / len(self.stations)


@dataclass(frozen=True, eq=False)
class Openings:
    """Where something could be put in: groups of lines to one target, what goes along them together."""

    lines: tuple[tuple[Line, ...], ...]
    marks: tuple[int, ...]
    stream: Stream
    costs: tuple[float, ...]


def insertions(draft: Draft, most: int, count: int) -> list[Draft]:
    """The best `count` drafts with up to `most` more boxes by minutes saved per box, and as many by
    minutes saved; not polished yet."""
    opened = openings(draft)
    if most <= 0 or opened is None:
        return []
    found = (option for option in _options(draft, opened) if len(option.stations) <= most)
    options = [option for option in found if option.gain > 10.0**-DIGITS]
    by_rate = sorted(options, key=lambda option: -round(option.rate, DIGITS))
    by_gain = sorted(options, key=lambda option: -round(option.gain, DIGITS))
    built = (_built(draft, option) for option in dict.fromkeys([*by_rate[:count], *by_gain[:count]]))
    return [bigger.compact() for bigger in built if bigger.sound and bigger.boxes <= draft.boxes + most]


def openings(draft: Draft) -> Openings | None:
    """Every line by itself, and all lines to one station together; None where there is none."""
    into: dict[int, list[Line]] = {}
    groups: list[tuple[Line, ...]] = []
    for line in draft.lines():
        into.setdefault(line.target, []).append(line)
        groups.append((line,))
    groups += [tuple(lines) for _, lines in sorted(into.items()) if len(lines) > 1]
    flows = {line: along(draft, line) for lines in into.values() for line in lines}
    kept, shares, marks = [], [], []
    for group in groups:
        together = np.sum([flows[line][0] for line in group], axis=0)
        if together.sum() > TRAFFIC:
            kept.append(group)
            shares.append(together)
            marks.append(reduce(or_, (flows[line][1] for line in group)))
    if not kept:
        return None
    costs = tuple(float(s @ draft.worth[group[0].target]) for s, group in zip(shares, kept, strict=True))
    return Openings(tuple(kept), tuple(marks), Stream(np.array(shares), draft.actions.packed(marks)), costs)


def along(draft: Draft, line: Line) -> tuple[np.ndarray, int]:
    """The weights that go along a line of the draft, and the marks of what was done before it."""
    if line.source < 0:
        return draft.arriving[draft.root], draft.actions.start
    out = draft.leaving(line.source, draft.arriving[line.source])[line.outcome]
    return out, draft.marks_after(line.source, line.outcome, draft.marks[line.source])


def _options(draft: Draft, opened: Openings) -> Iterator[Option]:
    actions = draft.actions
    runs = best_runs(draft, opened.stream)
    for place, lines in enumerate(opened.lines):
        if runs.cost[place] < opened.costs[place]:
            yield Option(lines, (run_station(runs, place),), float(opened.costs[place] - runs.cost[place]))
    found = best_exits(draft, opened.stream, np.arange(actions.tests))
    gains = np.array(opened.costs)[found.line] - found.cost
    for pair in np.flatnonzero(gains > 0):
        yield Option(opened.lines[found.line[pair]], (station_of(actions, found, int(pair)),), float(gains[pair]))
    yield from _with_seconds(draft, opened, found, _promising(found, gains))


def _promising(found: Exits, gains: np.ndarray) -> list[int]:
    """The pairs that look best, few of each line so that more than one line is looked at."""
    chosen: list[int] = []
    of_a_line = max(2, SECOND_LOOK // len(set(found.line.tolist()) or {0}))
    seen: dict[int, int] = {}
    for pair in np.argsort(-np.round(gains, DIGITS), kind="stable"):
        line = int(found.line[pair])
        if gains[pair] > -np.inf and seen.get(line, 0) < of_a_line:
            seen[line] = seen.get(line, 0) + 1
            chosen.append(int(pair))
        if len(chosen) == SECOND_LOOK:
            break
    return chosen


def _with_seconds(draft: Draft, opened: Openings, found: Exits, pairs: Sequence[int]) -> Iterator[Option]:
    """Options of the pairs with one, two … new stations after the outcomes where these save most."""
    actions = draft.actions
    ways = [(pair, outcome) for pair in pairs for outcome in range(actions.widths[found.step[pair]])]
    if not ways:
        return
    rows, outcomes = np.array([pair for pair, _ in ways]), np.array([outcome for _, outcome in ways])
    stream = after_step(actions, opened.stream, found.line[rows], found.step[rows], outcomes)
    tests = best_exits(draft, stream, np.arange(actions.tests))
    best, runs = cheapest(tests, len(ways)), best_runs(draft, stream)
    seconds: dict[int, list[tuple[float, int, Station]]] = {}
    for row, (pair, outcome) in enumerate(ways):
        own = found.parts[pair, outcome]
        choices = [(float(own - runs.cost[row]), run_station(runs, row))] if runs.cost[row] < own else []
        if best[row] >= 0 and tests.cost[best[row]] < own:
            choices.append((float(own - tests.cost[best[row]]), station_of(actions, tests, int(best[row]))))
        if choices:
            saved, station = max(choices, key=lambda choice: round(choice[0], DIGITS))
            seconds.setdefault(pair, []).append((saved, outcome, station))
    for pair, after in seconds.items():
        gain = float(opened.costs[found.line[pair]] - found.cost[pair])
        yield from _together(draft, opened.lines[found.line[pair]], station_of(actions, found, pair), gain, after)


def _together(
    draft: Draft, lines: tuple[Line, ...], first: Station, gain: float, after: list[tuple[float, int, Station]]
) -> Iterator[Option]:
    order = sorted(after, key=lambda second: (-round(second[0], DIGITS), second[1]))
    targets, stations = list(first.targets), list[Station]()
    for saved, outcome, station in order[:SECONDS]:
        gain += saved
        stations.append(station)
        targets[outcome] = len(draft.stations) + len(stations)
        yield Option(lines, (Station(first.steps, tuple(targets)), *stations), gain)


def run_station(runs: Runs, row: int) -> Station:
    """The station of a run."""
    return Station(runs.steps[row], (int(runs.targets[row]),))


def _built(draft: Draft, option: Option) -> Draft:
    return draft.redirected(option.lines, len(draft.stations), *option.stations)
