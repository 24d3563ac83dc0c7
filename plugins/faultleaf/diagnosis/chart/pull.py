"""Drafts with a box given up, and drafts with a repair done sooner: out of the runs further down."""

from collections.abc import Iterator

import numpy as np

from faultleaf.diagnosis.chart.draft import END, UNBOUNDED, Draft, Line, Station
from faultleaf.diagnosis.chart.extend import DIGITS
from faultleaf.diagnosis.chart.insert import Openings, along, openings


def without(draft: Draft, place: int) -> Draft | None:
    """The draft without a station: every line into it goes on where it loses least; None if it cannot."""
    found = draft
    for line in draft.lines():
        if line.target != place:
            continue
        shares, marks = along(draft, line)
        costs = np.round(draft.worth @ shares, DIGITS)
        free = (at for at in (*draft.order, END) if at != place and not marks & draft.refused[at])
        target = min(free, key=lambda at: (float(costs[at]), at), default=None)
        if target is None:
            return None
        found = found.redirected([line], target)
    return found.compact() if found.sound and found.cost < UNBOUNDED / 1e6 else None


def pulled_up(draft: Draft, count: int) -> list[Draft]:
    """The `count` drafts in which a repair comes sooner that promise most; not polished yet."""
    opened = openings(draft)
    if opened is None:
        return []
    ways = sorted(_ways(draft, opened), key=lambda way: (-round(way[0], DIGITS), way[1], way[2]))
    built = (_pulled(draft, opened.lines[place], step) for _, place, step in ways[:count])
    return [pulled for pulled in built if pulled.sound]


def _ways(draft: Draft, opened: Openings) -> Iterator[tuple[float, int, int]]:
    """What a repair that stands further down saves ahead of there, at least; the place, the repair."""
    actions = draft.actions
    below = _repairs_below(draft)
    for place, lines in enumerate(opened.lines):
        shares, marks = opened.stream.shares[place], opened.marks[place]
        gains = (shares * draft.worth[lines[0].target]) @ (1 - actions.chance[:, 0]).T - actions.spent @ shares
        for step in sorted(below[lines[0].target]):
            if not marks & actions.refuses[step]:
                yield float(gains[step]), place, step


def _repairs_below(draft: Draft) -> dict[int, frozenset[int]]:
    """The repairs at and after every station."""
    below = {END: frozenset[int]()}
    for place in reversed(draft.order):
        station = draft.stations[place]
        own = frozenset(step for step in station.steps if step >= draft.actions.tests)
        below[place] = own.union(*(below[target] for target in station.targets))
    return below


def _pulled(draft: Draft, lines: tuple[Line, ...], step: int) -> Draft:
    """The draft in which the repair stands on these lines and no more after them."""
    target = lines[0].target
    ahead = draft.redirected(lines, len(draft.stations), Station((step,), (target,)))
    stations, skipped = list(ahead.stations), dict[int, int]()
    for place in _reached(draft, target):
        station = stations[place]
        if step in station.steps:
            rest = tuple(other for other in station.steps if other != step)
            stations[place] = Station(rest or station.steps, station.targets)
            if not rest:
                skipped[place] = station.targets[0]
    kept = (Station(station.steps, tuple(skipped.get(to, to) for to in station.targets)) for station in stations)
    return Draft(draft.actions, tuple(kept), ahead.root).compact()


def _reached(draft: Draft, start: int) -> list[int]:
    found, waiting = dict[int, None](), [start]
    while waiting:
        place = waiting.pop()
        if place != END and place not in found:
            found[place] = None
            waiting.extend(draft.stations[place].targets)
    return list(found)
