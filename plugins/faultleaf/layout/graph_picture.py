"""The graph of a symptom's causes, placed. CSS pixels; x to the right, y down.

    +-------------------------------+
    | symptom                       |
    +-++----------------------------+
      ||   +- component ------------+
      |+===|=[ 1 fault, 34 %      ] |--+--> [ 3 what it comes from ]
      |    |                        |  +--> [ 7 ... ]
      +----|-[ 2 fault, 4 %       ] |
           +------------------------+

Every fault has one box, numbered from the top, in the frame of the component it lives in. The line
that leads to it is as wide as its share of such calls; each line has its own lane in the trunk, the
one that leaves first outermost, so that none crosses another. What a fault comes from is named beside
it with the number of its own box: sixty arrows across the drawing would be a tangle that nobody reads.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from .causes import UNLISTED, Cause, CauseGraph, Group
from .metrics import FontMetrics, Rulers, clean_text
from .shapes import Point, Rect, TextLine
from .wrap import wrap

BODY = 15.0
SMALL = 13.0
LEADING = 1.3
PAD = 7.0
TIGHT = 4.0  # the same in the boxes of origins, and between them
GAP = 8.0  # between boxes
APART = 18.0  # between frames
MARGIN = 2.0
WHOLE = 44.0  # width of the line that all calls would make
HAIR = 1.0  # and of the thinnest, to be seen at all
STUB = 14.0  # from the trunk to the frames
FAULT = 254.0  # with the trunk, about what a phone shows at once
FRAME_PAD = 9.0
REACH = 36.0  # room for the arrows
ORIGIN = 276.0

Kind = Literal["symptom", "component", "fault", "origin", "unlisted"]
Relation = Literal["may be caused by", "comes from"]


@dataclass(frozen=True)
class GraphBox:
    """A box with its text, its address from the site's root, and what a screen reader says for it.

    `node` is the node of the graph. A node has one box of its own kind; an "origin" box names a fault again.
    """

    kind: Kind
    node: str
    rect: Rect
    texts: tuple[TextLine, ...]
    url: str
    name: str


@dataclass(frozen=True)
class GraphFrame:
    """The frame of a component: the faults inside it live in it."""

    node: str
    rect: Rect


@dataclass(frozen=True)
class GraphLine:
    """An edge of the graph. `points` run from the source's box to the target's; `width` is that of the stroke."""

    relation: Relation
    source: str
    target: str
    points: tuple[Point, ...]
    width: float


@dataclass(frozen=True)
class GraphPicture:
    """Everything with its place, ready to be drawn."""

    title: str
    about: str
    width: float
    height: float
    frames: tuple[GraphFrame, ...]
    lines: tuple[GraphLine, ...]
    boxes: tuple[GraphBox, ...]


def place_causes(graph: CauseGraph, metrics: FontMetrics) -> GraphPicture:
    """The picture of a symptom's causes: one column of faults, as tall as it needs to be."""
    pen = _Pen(Rulers(metrics))
    causes = graph.causes()
    trunk = math.fsum(_weight(cause) for cause in causes.values())
    left = MARGIN + PAD + trunk + STUB
    head = pen.box("symptom", graph.node, (MARGIN, MARGIN), left + FAULT + FRAME_PAD - MARGIN, graph.url, graph.title)
    y = head.rect.bottom + APART
    parts: list[_Part] = []
    for group in graph.groups:
        parts.append(_place_group(pen, group, causes, left, y))
        y = parts[-1].bottom + APART
    boxes = (head, *(box for part in parts for box in part.boxes))
    lanes = _lanes(graph.node, tuple(causes.values()), boxes, head.rect, trunk)
    return GraphPicture(
        clean_text(f"The causes of: {graph.title}"), _about(graph),
        max(box.rect.right for box in boxes) + MARGIN, y - APART + MARGIN,
        tuple(frame for part in parts for frame in part.frames),
        (*lanes, *(line for part in parts for line in part.lines)),
        boxes,
    )  # fmt: skip


def _about(graph: CauseGraph) -> str:
    known = [cause for cause in graph.causes().values() if cause.node != UNLISTED]
    rooms = sum(1 for group in graph.groups if group.node)
    return (
        f"{len(known)} faults in the frames of {rooms} components. A line leads from the symptom to each fault that "
        "shows as it, as wide as the fault's share of such calls. Arrows lead on to what a fault comes from. "
        "The same stands in words below the drawing."
    )


def _weight(cause: Cause) -> float:
    return max(HAIR, WHOLE * cause.share.value) if cause.share else 0.0


@dataclass(frozen=True)
class _Pen:
    """Sets text into boxes."""

    rulers: Rulers

    def box(
        self, kind: Kind, node: str, at: Point, width: float, url: str, title: str, more: str = "", size: float = BODY
    ) -> GraphBox:
        """A box as tall as its text: the title, bold but for origins, and in small type below it what more there is."""
        x, y = at
        bold = kind != "origin"
        title, more = clean_text(title), clean_text(more)
        pad = TIGHT if kind == "origin" else PAD
        first, bottom = self._set(title, x + PAD, y + pad, width - 2 * PAD, size, bold)
        rest, bottom = self._set(more, x + PAD, bottom, width - 2 * PAD, SMALL, False)
        name = f"{title}, {more}" if more else title
        return GraphBox(kind, node, Rect(x, y, width, bottom + pad - y), (*first, *rest), url, name)

    def _set(
        self, text: str, x: float, top: float, width: float, size: float, bold: bool
    ) -> tuple[tuple[TextLine, ...], float]:
        """The lines of a text and where the next may begin."""
        ruler = self.rulers.of(bold)
        lead = size * LEADING
        first = top + lead / 2 + size * ruler.face.cap_height / ruler.face.units_per_em / 2
        set_ = wrap(text, ruler, width / size)
        lines = tuple(
            TextLine(x, first + i * lead, line, size, em * size, bold)
            for i, (line, em) in enumerate(zip(set_.lines, set_.widths, strict=True))
        )
        return lines, top + len(lines) * lead


@dataclass(frozen=True)
class _Part:
    """What has been placed, and where it ends."""

    frames: tuple[GraphFrame, ...]
    lines: tuple[GraphLine, ...]
    boxes: tuple[GraphBox, ...]
    bottom: float


def _place_group(pen: _Pen, group: Group, causes: Mapping[str, Cause], left: float, top: float) -> _Part:
    """A component's frame: its name across the top, its faults one below the other."""
    wide = FAULT + 2 * FRAME_PAD
    head = pen.box("component", group.node, (left - FRAME_PAD, top), wide, group.url, group.title)
    y = head.rect.bottom + GAP if group.node else top
    rows: list[_Part] = []
    for cause in group.causes:
        rows.append(_place_cause(pen, cause, causes, left, y))
        y = rows[-1].bottom + GAP
    boxes = tuple(box for row in rows for box in row.boxes)
    lines = tuple(line for row in rows for line in row.lines)
    if not group.node:
        return _Part((), lines, boxes, y - GAP)
    frame = Rect(left - FRAME_PAD, top, wide, y - GAP + FRAME_PAD - top)
    return _Part((GraphFrame(group.node, frame),), lines, (head, *boxes), frame.bottom)


def _place_cause(pen: _Pen, cause: Cause, causes: Mapping[str, Cause], left: float, top: float) -> _Part:
    """A fault's box, and to the right of it what it comes from."""
    kind: Kind = "unlisted" if cause.node == UNLISTED else "fault"
    title = cause.title if kind == "unlisted" else f"{cause.number} {cause.title}"
    box = pen.box(kind, cause.node, (left, top), FAULT, cause.url, title, _says(cause))
    x, y = left + FAULT + FRAME_PAD + REACH, top
    origins = []
    for origin in cause.comes_from:
        far = causes[origin.node]
        words = f"{far.number} {far.title}, {origin.often}"
        one = pen.box("origin", far.node, (x, y), ORIGIN, far.url, words, size=SMALL)
        origins.append(replace(one, name=f"comes from {one.name}"))
        y = one.rect.bottom + TIGHT
    lines = tuple(_arrow(box, origins[0], one) for one in origins)
    return _Part((), lines, (box, *origins), max(box.rect.bottom, y - TIGHT))


def _says(cause: Cause) -> str:
    """The second line of a fault's box."""
    tests = len(cause.told_by)
    told = "" if cause.node == UNLISTED else f", shows at {tests} test{'s' * (tests != 1)}"
    if cause.share is None:
        return f"brings on others{told}"
    return f"{cause.share.words} of such calls{told}"


def _arrow(fault: GraphBox, first: GraphBox, origin: GraphBox) -> GraphLine:
    """From the fault to the right, straight on to the first of its origins or down the gutter to a further one."""
    fork = fault.rect.right + FRAME_PAD + REACH / 2
    own, straight, end = (box.rect.y + box.rect.h / 2 for box in (fault, first, origin))
    start = min(own, straight)  # the first may be the taller box
    points = ((fault.rect.right, start), (fork, start), (fork, end), (origin.rect.x, end))
    return GraphLine("comes from", fault.node, origin.node, tuple(dict.fromkeys(points)), HAIR)


def _lanes(
    root: str, causes: Sequence[Cause], boxes: Sequence[GraphBox], head: Rect, trunk: float
) -> Iterator[GraphLine]:
    """The lines from the symptom down its trunk, the first to leave on the right."""
    places = {box.node: box.rect for box in boxes if box.kind in ("fault", "unlisted")}
    right = MARGIN + PAD + trunk
    for cause in causes:
        if cause.share is None:
            continue
        width = _weight(cause)
        x, box = right - width / 2, places[cause.node]
        right -= width
        y = box.y + box.h / 2
        yield GraphLine("may be caused by", root, cause.node, ((x, head.bottom), (x, y), (box.x, y)), width)
