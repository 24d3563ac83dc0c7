"""Chooses among all arrangements of a chart the one that a reader with wet hands reads best."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from math import inf

from faultleaf.layout.chart import Chart, ChartBox, ChartExit
from faultleaf.layout.exits import Goals
from faultleaf.layout.fold import Fold, Room, fold
from faultleaf.layout.metrics import MM_PER_PT, Rulers
from faultleaf.layout.order import Place, reading_order
from faultleaf.layout.shapes import EDGE, PlacedBox, PlacedChart
from faultleaf.layout.stack import Stack
from faultleaf.layout.style import Style

AIM_PT = 12.0  # with questions at 14 pt: their small letters are then 2.65 mm tall (STANDARDS: 2.54 mm)
FLOOR_PT = 10.0  # CAP 676 issue 3, at second hand: body text never below
QUESTION = 14 / 12  # size of questions against other text, where there is room for it
STEP_PT = 0.25
LEAST_PT = 2.0
TOP_STEP = round((AIM_PT - LEAST_PT) / STEP_PT)
FLOOR_STEP = round((FLOOR_PT - LEAST_PT) / STEP_PT)
GUTTER = 0.9  # sizes of type between columns
WIDTHS = tuple(map(float, range(11, 28)))  # of columns, in sizes of type: room for a hazard to some 55 letters
START = ""  # id of the start terminal, which no box can have


class DoesNotFit(ValueError):
    """No arrangement fits the frame, at any size of type."""


@dataclass(frozen=True)
class Frame:
    """The room for a chart on paper (mm)."""

    width_mm: float
    height_mm: float


@dataclass(frozen=True)
class Content:
    """What stands on a sheet: the places, what their exits say, and what measures them.

    A drawing in larger type is the same drawing in a smaller frame. So everything is measured in sizes of type,
    once for all sizes and all frames that are tried.
    """

    places: Sequence[Place]
    goals: Goals
    rulers: Rulers
    _stacks: dict[float, Stack] = field(default_factory=dict)

    def measured(self, question: float) -> Stack:
        """The boxes with questions so many times as large as other text, to be measured in sizes of type."""
        if question not in self._stacks:
            style = Style(self.rulers, 1.0, question, drawn=False)
            self._stacks[question] = Stack(style, self.goals, self.places)
        return self._stacks[question]

    def set(self, body: float, question: float) -> Stack:
        """The boxes in type of this size (mm)."""
        return Stack(Style(self.rulers, body, body * question), self.goals, self.places)


@dataclass(frozen=True)
class Job:
    """What stays the same over all arrangements of one sheet.

    The places from `start` up to `end` stand on it; `width` and `height` are those of the frame inside
    its edge (mm).
    """

    content: Content
    start: int
    end: int
    width: float
    height: float

    @property
    def places(self) -> Sequence[Place]:
        """All places, those on other sheets too."""
        return self.content.places

    def room(self, type_pt: float) -> Room:
        """The frame in sizes of type."""
        body = type_pt * MM_PER_PT
        return Room(WIDTHS, GUTTER, self.width / body, self.height / body)


@dataclass(frozen=True)
class Result:
    """An arrangement that fits."""

    question: float
    type_pt: float
    fold: Fold
    cut_words: int

    @property
    def merit(self) -> tuple[float, ...]:
        """Legible type first, then whole words, large questions, larger type by the half point, fewer jumps."""
        size = self.type_pt
        coarse = _coarse(size)
        question = self.question if size >= FLOOR_PT else 0.0
        return (min(coarse, FLOOR_PT), -self.cut_words, question, coarse, -self.fold.cuts, size)


def _coarse(type_pt: float) -> float:
    """Legible type in half points, since less is not seen; below that every quarter counts."""
    return int(type_pt * 2) / 2 if type_pt >= FLOOR_PT else type_pt


@dataclass(frozen=True)
class Measured:
    """A stack to be folded; without `cut` no column stands in which a word would have to be cut."""

    stack: Stack
    cut: bool

    def height(self, start: int, end: int, width: float) -> float:
        """Height of that column in sizes of type, infinite where it cannot be."""
        if end - start == 1 < len(self.stack.places) and not self.stack.places[start].box.number:
            return inf  # "Start" never stands alone
        height, cuts = self.stack.size(start, end, width)
        return height if self.cut or not cuts else inf

    def cuts(self, start: int, end: int) -> int:
        """Boxes torn off."""
        return self.stack.cuts(start, end)


def whole_job(chart: Chart, rulers: Rulers, frame: Frame) -> Job:
    """The whole chart on one sheet."""
    return job_of(Content(all_places(chart), goals(chart, {}), rulers), frame)


def job_of(content: Content, frame: Frame) -> Job:
    """All of it in this frame."""
    return Job(content, 0, len(content.places), frame.width_mm - 2 * EDGE, frame.height_mm - 2 * EDGE)


def all_places(chart: Chart) -> tuple[Place, ...]:
    """The start terminal, and all boxes in the order of reading, hanging on it."""
    way = ChartExit("", chart.root, 1.0)
    start = ChartBox(START, 0, "terminal", chart.start_words, exits=(way,))
    first, *others = reading_order(chart)
    moved = (replace(one, parent=None if one.parent is None else one.parent + 1) for one in others)
    return (Place(start), replace(first, parent=0), *moved)


def goals(chart: Chart, sheets: Mapping[str, int]) -> Goals:
    """What exits of this chart lead to, when `sheets` tells the sheet of each box that is not on this one."""
    return Goals({box.id: box.number for box in chart.boxes}, sheets, chart.end_words, chart.no_words)


def best_result(job: Job) -> Result | None:
    """The arrangement with the most merit over all sizes of type and of questions against it.

    At most 4 x 7 folds are tried, by halving, of 41 sizes.
    """
    best: Result | None = None
    for question in (QUESTION, 1.0):
        stack = job.content.measured(question)
        for cut in (False, True):
            offer = _largest(job, Measured(stack, cut), question)
            if offer and (best is None or offer.merit > best.merit):
                best = offer
            if best and best.type_pt >= FLOOR_PT and not best.cut_words:
                return best
    return best


def _largest(job: Job, pile: Measured, question: float) -> Result | None:
    """The arrangement with the largest type that fits, found by halving."""
    best = None
    low, high = -1, TOP_STEP + 1  # fits at low, does not at high
    likely = [FLOOR_STEP, TOP_STEP]  # small charts get the type we aim at, most others what is legible
    while high - low > 1:
        middle = likely.pop() if likely else (low + high) // 2
        result = _arrange(job, pile, question, LEAST_PT + middle * STEP_PT)
        low, high = (middle, high) if result else (low, middle)
        best = result or best
        likely = [step for step in likely if low < step < high]
    return best


def _arrange(job: Job, pile: Measured, question: float, type_pt: float) -> Result | None:
    """The job in type of this size, or None where it does not fit."""
    room = job.room(type_pt)
    folded = fold(pile, job.start, job.end, room)
    if folded is None:
        return None
    folded = _widened(pile, folded, room, job.end)
    cut_words = sum(pile.stack.size(*column)[1] for column in columns_of(folded, job.end))
    return Result(question, type_pt, folded, cut_words)


def columns_of(folded: Fold, end: int) -> Iterator[tuple[int, int, float]]:
    """First box, end and width of each column."""
    return zip(folded.starts, (*folded.starts[1:], end), folded.widths, strict=True)


def _widened(pile: Measured, folded: Fold, room: Room, end: int) -> Fold:
    """The same columns over the whole width of the room, where they still fit."""
    share = (room.width - folded.width) / len(folded.starts)
    widths = tuple(min(width + share, room.widths[-1]) for width in folded.widths)
    wide = replace(folded, widths=widths)
    fits = all(pile.height(*column) <= room.height for column in columns_of(wide, end))
    return wide if fits else folded


def finish(chart: Chart, job: Job, result: Result, sheet: int = 1, sheets: int = 1) -> PlacedChart:
    """The placed chart of a result."""
    body = result.type_pt * MM_PER_PT
    stack = job.content.set(body, result.question)
    boxes: tuple[PlacedBox, ...] = ()
    here = range(job.start, job.end)
    left = height = 0.0
    for start, end, width in columns_of(result.fold, job.end):
        boxes += stack.place(start, end, width * body, left)
        height = max(height, stack.size(start, end, width * body)[0])
        left += (width + GUTTER) * body
    return PlacedChart(
        title=chart.title,
        subtitle=chart.subtitle,
        lang=chart.lang,
        width=left - GUTTER * body + 2 * EDGE,
        height=height + 2 * EDGE,
        type_pt=result.type_pt,
        question_pt=result.type_pt * result.question,
        columns=len(result.fold.starts),
        cut_words=result.cut_words,
        connectors=sum(1 for box in boxes for way in box.exits if way.end and way.end.shape == "connector"),
        boxes=boxes,
        elsewhere=tuple((one.box.id, one.box.number) for i, one in enumerate(job.places) if i not in here),
        sheet=sheet,
        sheets=sheets,
    )
