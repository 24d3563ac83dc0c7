"""The best step for what goes along a line of a draft, where every outcome may go on at any station.

All places, steps, outcomes and targets are weighed at once: with γ what goes along the line and α_j the
worth of target j, an outcome o of step a costs min over j of Σ_f γ_f P_a(o | f) α_j(f), over the targets
that the marks allow. Minutes are rounded to 1e-6 before they are compared (rule 13: 9 digits of hundreds).
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from faultleaf.diagnosis.chart.draft import END, Draft, Station
from faultleaf.diagnosis.chart.marks import Actions, Words
from faultleaf.diagnosis.model.problem import Floats

Places = NDArray[np.int_]
DIGITS = 6


@dataclass(frozen=True, eq=False)
class Stream:
    """What goes along lines: (B, F) shares by fault, and the marks of their paths (B, W).

    `barred` is a station that each may not lead to: the one that is being replaced, if any (B,).
    """

    shares: Floats
    marks: Words
    barred: Places | None = None

    def rows(self, chosen: Places) -> "Stream":
        """Some of the lines."""
        return Stream(self.shares[chosen], self.marks[chosen], None if self.barred is None else self.barred[chosen])


@dataclass(frozen=True, eq=False)
class Exits:
    """For P pairs of a line and a step: `line`, `step`, cost of the step and all after it, and for every
    outcome its own cost and target, (P, O)."""

    line: Places
    step: Places
    cost: Floats
    parts: Floats
    targets: Places


def best_exits(draft: Draft, stream: Stream, steps: Places) -> Exits:
    """Every allowed pair of a line and a step, each with its best targets."""
    actions = draft.actions
    refused = (stream.marks[:, None, :] & actions.refused_words[steps]).any(axis=2)
    line, at = np.nonzero(~refused)
    step = steps[at]
    shares = stream.shares[line, None, :] * actions.chance[step]
    width = max((actions.widths[place] for place in steps), default=1)
    shares = shares[:, :width]
    ahead = np.round(shares @ draft.worth.T, DIGITS)
    clash = _clashes(draft, stream.marks[line], step, shares)
    if actions.problem.hand_on is None and len(steps) and steps[0] < actions.tests:
        clash[:, :, END] = True
    if stream.barred is not None:
        clash[np.arange(len(line)), :, stream.barred[line]] = True
    ahead[clash] = np.inf
    targets = ahead.argmin(axis=2)
    parts = np.where(actions.happens[step, :width], ahead.min(axis=2), 0.0)
    cost = (actions.spent[step] * stream.shares[line]).sum(axis=1) + parts.sum(axis=1)
    targets = np.where(targets == len(draft.stations), END, targets)
    return Exits(line, step, cost, parts, targets)


def _clashes(draft: Draft, marks: Words, step: Places, shares: Floats) -> NDArray[np.bool_]:
    """(P, O, N + 1): True where a target refuses the marks after the outcome."""
    actions, width = draft.actions, shares.shape[1]
    after = (marks[:, None, :] & actions.kept_words[step, :width]) | actions.set_words[step, :width]
    if actions.problem.hand_on is None:
        after = np.where(shares.any(axis=2, keepdims=True), after, after & actions.doing_words)
    refused = actions.packed(draft.refused)
    clash = np.zeros((*after.shape[:2], len(refused)), dtype=np.bool_)
    for word in range(actions.words):
        clash |= (after[:, :, None, word] & refused[:, word]) != 0
    return clash


def after_step(actions: Actions, stream: Stream, lines: Places, step: Places, outcome: Places) -> Stream:
    """What goes on along lines once a step showed an outcome, one of each for every line."""
    shares = stream.shares[lines] * actions.chance[step, outcome]
    marks = (stream.marks[lines] & actions.kept_words[step, outcome]) | actions.set_words[step, outcome]
    if actions.problem.hand_on is None:
        marks = np.where(shares.any(axis=1, keepdims=True), marks, marks & actions.doing_words)
    return Stream(shares, marks, None if stream.barred is None else stream.barred[lines])


@dataclass(frozen=True, eq=False)
class Runs:
    """The best run of repairs found for each of B lines: its cost with all after it (infinite where no
    repair helps), its steps and where it goes on."""

    cost: Floats
    steps: tuple[tuple[int, ...], ...]
    targets: Places


def best_runs(draft: Draft, stream: Stream) -> Runs:
    """A run of repairs for every line: each time the repair that saves most for its minutes, cut at the
    best prefix (stopping at the first that does not pay is not exact, see `leaf`)."""
    actions = draft.actions
    repairs = np.arange(actions.tests, len(actions.cards))
    count = len(stream.shares)
    limit = actions.problem.run_limit or len(repairs)
    cost, spent, best = np.full(count, np.inf), np.zeros(count), np.zeros(count, dtype=np.int_)
    steps, targets, live = np.full((count, limit), -1), np.full(count, END), np.arange(count)
    for length in range(limit if len(repairs) else 0):
        row, step = _next_repairs(draft, stream)
        if not len(row):
            break
        live, stream = live[row], stream.rows(row)
        steps[live, length] = step
        spent[live] += (actions.spent[step] * stream.shares).sum(axis=1)
        stream = after_step(actions, stream, np.arange(len(row)), step, np.zeros(len(row), dtype=np.int_))
        onward, target = _onward(draft, stream)
        better = np.round(spent[live] + onward - cost[live], DIGITS) < 0
        rows = live[better]
        cost[rows] = (spent[live] + onward)[better]
        targets[rows], best[rows] = target[better], length + 1
    runs = tuple(tuple(int(step) for step in row[:length]) for row, length in zip(steps, best, strict=True))
    return Runs(cost, runs, targets)


def _onward(draft: Draft, stream: Stream) -> tuple[Floats, Places]:
    """The cheapest target of every line and its cost."""
    refused = draft.actions.packed(draft.refused)
    clash = np.zeros((len(stream.shares), len(refused)), dtype=np.bool_)
    for word in range(draft.actions.words):
        clash |= (stream.marks[:, None, word] & refused[:, word]) != 0
    if stream.barred is not None:
        clash[np.arange(len(clash)), stream.barred] = True
    ahead = np.where(clash, np.inf, np.round(stream.shares @ draft.worth.T, DIGITS))
    target = ahead.argmin(axis=1)
    return ahead[np.arange(len(ahead)), target], np.where(target == len(draft.stations), END, target)


def _next_repairs(draft: Draft, stream: Stream) -> tuple[Places, Places]:
    """The lines on which a repair can save something, and for each the one that saves most for its minutes."""
    actions = draft.actions
    _, target = _onward(draft, stream)
    saved = (stream.shares * draft.worth[target]) @ (1 - actions.chance[actions.tests :, 0]).T
    paid = stream.shares @ actions.spent[actions.tests :].T
    refused = (stream.marks[:, None, :] & actions.refused_words[actions.tests :]).any(axis=2)
    rate = np.where(refused | ~(saved > 0), 0.0, np.round(saved / np.where(paid > 0, paid, 1.0), DIGITS + 2))
    step = rate.argmax(axis=1)
    row = np.flatnonzero(rate.max(axis=1, initial=0.0) > 0)
    return row, step[row] + actions.tests


def _first_best(line: Places, score: Floats, limit: float) -> Places:
    """For every line the place of its lowest score below the limit, the first of equals."""
    order = np.lexsort((np.arange(len(line)), score, line))
    firsts = np.ones(len(line), dtype=np.bool_)
    firsts[1:] = line[order][1:] != line[order][:-1]
    picked = order[firsts]
    return picked[score[picked] < limit]


def cheapest(found: Exits, lines: int) -> Places:
    """For every line the pair that costs least, the first of equals (tests and repairs stand by id);
    −1 where there is none."""
    best = np.full(lines, -1)
    pairs = _first_best(found.line, np.round(found.cost, DIGITS), np.inf)
    best[found.line[pairs]] = pairs
    return best


def station_of(actions: Actions, found: Exits, pair: int) -> Station:
    """The station that a pair stands for."""
    step = int(found.step[pair])
    return Station((step,), tuple(int(target) for target in found.targets[pair, : actions.widths[step]]))
