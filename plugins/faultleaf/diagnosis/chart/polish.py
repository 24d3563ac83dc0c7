"""Every box of a draft made as good as it can be for what reaches it, no box more.

One station at a time is exchanged: another test, other targets, another run, or its run with a repair put
in, taken out, exchanged or moved up. What a station saves is known exactly from what arrives and what the
targets are worth, so that every exchange lowers the cost of the whole.
"""

from collections.abc import Iterator

import numpy as np

from faultleaf.diagnosis.chart.draft import Draft, Station, refused_by, worth_of
from faultleaf.diagnosis.chart.extend import DIGITS, Stream, best_exits, best_runs, cheapest, station_of
from faultleaf.diagnosis.chart.insert import run_station
from faultleaf.diagnosis.model.problem import Floats

ROUNDS = 12
"""How often all stations are gone through at most."""
LEAST = 10.0**-DIGITS


def polished(draft: Draft, budget: int) -> Draft:
    """The draft after exchanges of single stations, as long as one helps and the boxes stay in the budget."""
    for _ in range(ROUNDS):
        better = _exchanged(draft, budget)
        if better is None:
            return draft
        draft = better
    return draft


def _exchanged(draft: Draft, budget: int) -> Draft | None:
    """The draft after the exchanges that help, best first; None where none does."""
    ways = sorted(_exchanges(draft), key=lambda way: (-round(way[0], DIGITS), way[1]))
    start = draft
    for _, place, station in ways:
        changed = draft.with_station(place, station)
        if changed.sound and changed.cost < draft.cost - LEAST and changed.boxes <= budget:
            draft = changed
    return None if draft is start else draft.compact()


def _exchanges(draft: Draft) -> Iterator[tuple[float, int, Station]]:
    """Savings, stations, and what they could be instead."""
    actions, order = draft.actions, draft.order
    if not order:
        return
    places = np.array(order)
    marks = actions.packed([draft.marks[place] for place in order])
    stream = Stream(draft.arriving[places], marks, places)
    now = (draft.arriving[places] * draft.worth[places]).sum(axis=1)
    tests = best_exits(draft, stream, np.arange(actions.tests))
    best, runs = cheapest(tests, len(order)), best_runs(draft, stream)
    for row, place in enumerate(order):
        if best[row] >= 0 and tests.cost[best[row]] < now[row] - LEAST:
            yield float(now[row] - tests.cost[best[row]]), place, station_of(actions, tests, int(best[row]))
        if runs.cost[row] < now[row] - LEAST:
            yield float(now[row] - runs.cost[row]), place, run_station(runs, row)
        if draft.stations[place].steps[0] >= actions.tests:
            yield from _changed_run(draft, place)


def _changed_run(draft: Draft, place: int) -> Iterator[tuple[float, int, Station]]:
    """The best change of one step of a run that the marks allow."""
    station = draft.stations[place]
    ways = [(gain, steps) for gain, steps in _near_runs(draft, place) if gain > LEAST]
    for gain, steps in sorted(ways, key=lambda way: (-round(way[0], DIGITS), way[1])):
        changed = Station(steps, station.targets)
        if not draft.marks[place] & refused_by(draft.actions, changed, draft.refused, (True,)):
            yield gain, place, changed
            return


def _near_runs(draft: Draft, place: int) -> Iterator[tuple[float, tuple[int, ...]]]:
    """The run with a repair put in, exchanged, taken out or moved up by one, and what that saves."""
    actions, steps = draft.actions, draft.stations[place].steps
    before, after = _along_run(draft, place)
    for at in range(len(steps)):
        if len(steps) > 1:
            yield float(before[at] @ (after[at] - after[at + 1])), steps[:at] + steps[at + 1 :]
        if at:
            moved = worth_of(actions, Station((steps[at], steps[at - 1]), (0,)), after[at + 1 : at + 2])
            yield (
                float(before[at - 1] @ (after[at - 1] - moved)),
                (*steps[: at - 1], steps[at], steps[at - 1], *steps[at + 1 :]),
            )
    failing, spent = actions.chance[actions.tests :, 0], actions.spent[actions.tests :]
    exchanged = (before[:-1] * after[:-1]).sum(axis=1)[:, None] - before[:-1] @ spent.T
    exchanged = exchanged - (before[:-1] * after[1:]) @ failing.T
    for at, row in zip(*np.nonzero(exchanged > LEAST), strict=True):
        if (step := int(row) + actions.tests) not in steps:
            yield float(exchanged[at, row]), (*steps[:at], step, *steps[at + 1 :])
    if len(steps) < (actions.problem.run_limit or len(actions.cards)):
        put_in = (before * after) @ (1 - failing).T - before @ spent.T
        for at, row in zip(*np.nonzero(put_in > LEAST), strict=True):
            if (step := int(row) + actions.tests) not in steps:
                yield float(put_in[at, row]), (*steps[:at], step, *steps[at:])


def _along_run(draft: Draft, place: int) -> tuple[Floats, Floats]:
    """What comes to every step of a run and to its end, and what it is worth from there on, (steps + 1, F)."""
    actions, station = draft.actions, draft.stations[place]
    before, after = [draft.arriving[place]], [draft.worth[station.targets[0]]]
    for step in station.steps:
        before.append(before[-1] * actions.chance[step, 0])
    for step in reversed(station.steps):
        after.append(actions.spent[step] + actions.chance[step, 0] * after[-1])
    return np.array(before), np.array(after[::-1])
