"""New boxes in a draft: what a test, or a run of repairs, saves on a line or before a spot.

A test is also tried together with new boxes after some of its outcomes: a test and the repair it points
to (then back to the line), or a test that pays only with a second one.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import reduce
from operator import or_

import numpy as np

from faultleaf.diagnosis.draft import Draft, Line, Spot
from faultleaf.diagnosis.extend import (
    DIGITS,
    Exits,
    Runs,
    Stream,
    after_step,
    best_exits,
    best_runs,
    cheapest,
    spot_of,
)

TRAFFIC = 1e-4
"""Lines along which a smaller share of calls goes are not looked at."""
SECOND_LOOK = 16
"""How many pairs of a line and a test are looked at with new boxes after the test."""
SECONDS = 3
"""At most so many new boxes come after a new test at once."""
TRIED = 6
"""How many of the best options are built before giving up."""


@dataclass(frozen=True)
class Option:
    """New spots on some lines, the first of them the one the lines lead to.

    `after` maps an outcome of the first to the place in `spots` of the new spot it goes on at.
    `gain` in minutes per call; `boxes` if nothing is freed.
    """

    lines: tuple[Line, ...]
    spots: tuple[Spot, ...]
    gain: float

    @property
    def rate(self) -> float:
        """Minutes saved per new box."""
        return self.gain / len(self.spots)


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
    options = [option for option in _options(draft, opened) if option.gain > 10.0**-DIGITS and len(option.spots) <= most]
    by_rate = sorted(options, key=lambda option: -round(option.rate, DIGITS))
    by_gain = sorted(options, key=lambda option: -round(option.gain, DIGITS))
    built = (_built(draft, option) for option in dict.fromkeys([*by_rate[:count], *by_gain[:count]]))
    return [bigger.compact() for bigger in built if bigger.sound and bigger.boxes <= draft.boxes + most]


def openings(draft: Draft) -> Openings | None:
    """Every line by itself, and all lines to one spot together; None where there is none."""
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
    if line.source < 0:
        return draft.arriving[draft.root], draft.actions.start
    out = draft.leaving(line.source, draft.arriving[line.source])[line.outcome]
    return out, draft.marks_after(line.source, line.outcome, draft.marks[line.source])


def _options(draft: Draft, opened: Openings) -> Iterator[Option]:
    actions = draft.actions
    runs = best_runs(draft, opened.stream)
    for place, lines in enumerate(opened.lines):
        if runs.cost[place] < opened.costs[place]:
            yield Option(lines, (run_spot(runs, place),), float(opened.costs[place] - runs.cost[place]))
    found = best_exits(draft, opened.stream, np.arange(actions.tests))
    gains = np.array(opened.costs)[found.line] - found.cost
    for pair in np.flatnonzero(gains > 0):
        yield Option(opened.lines[found.line[pair]], (spot_of(actions, found, int(pair)),), float(gains[pair]))
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
    """Options of the pairs with one, two … new spots after the outcomes where these save most."""
    actions = draft.actions
    ways = [(pair, outcome) for pair in pairs for outcome in range(actions.widths[found.step[pair]])]
    if not ways:
        return
    rows, outcomes = np.array([pair for pair, _ in ways]), np.array([outcome for _, outcome in ways])
    stream = after_step(actions, opened.stream, found.line[rows], found.step[rows], outcomes)
    tests = best_exits(draft, stream, np.arange(actions.tests))
    best, runs = cheapest(tests, len(ways)), best_runs(draft, stream)
    seconds: dict[int, list[tuple[float, int, Spot]]] = {}
    for row, (pair, outcome) in enumerate(ways):
        own = found.parts[pair, outcome]
        choices = [(float(own - runs.cost[row]), run_spot(runs, row))] if runs.cost[row] < own else []
        if best[row] >= 0 and tests.cost[best[row]] < own:
            choices.append((float(own - tests.cost[best[row]]), spot_of(actions, tests, int(best[row]))))
        if choices:
            saved, spot = max(choices, key=lambda choice: round(choice[0], DIGITS))
            seconds.setdefault(pair, []).append((saved, outcome, spot))
    for pair, after in seconds.items():
        gain = float(opened.costs[found.line[pair]] - found.cost[pair])
        yield from _together(draft, opened.lines[found.line[pair]], spot_of(actions, found, pair), gain, after)


def _together(
    draft: Draft, lines: tuple[Line, ...], first: Spot, gain: float, after: list[tuple[float, int, Spot]]
) -> Iterator[Option]:
    order = sorted(after, key=lambda second: (-round(second[0], DIGITS), second[1]))
    targets, spots = list(first.targets), list[Spot]()
    for saved, outcome, spot in order[:SECONDS]:
        gain += saved
        spots.append(spot)
        targets[outcome] = len(draft.spots) + len(spots)
        yield Option(lines, (Spot(first.steps, tuple(targets)), *spots), gain)


def run_spot(runs: Runs, row: int) -> Spot:
    """The spot of a run."""
    return Spot(runs.steps[row], (int(runs.targets[row]),))


def _built(draft: Draft, option: Option) -> Draft:
    return draft.redirected(option.lines, len(draft.spots), *option.spots)
