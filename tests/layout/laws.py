"""What every drawn chart obeys; each function raises AssertionError where a placed chart does not."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations, pairwise
from math import hypot

from faultleaf.layout import Chart, PlacedBox, PlacedChart, PlacedSymbol, Rect, TextLine, clean_text
from faultleaf.layout.metrics import MM_PER_PT
from faultleaf.layout.shapes import Point

HAIR = 1e-6
Segment = tuple[Point, Point]


def check(chart: Chart, placed: PlacedChart) -> None:
    """All laws but those about the size of type."""
    nothing_overlaps(placed)
    no_line_runs_through_anything(placed)
    lines_of_different_boxes_never_meet(placed)
    text_lies_inside(placed)
    everything_lies_inside_the_drawing(placed)
    all_words_are_drawn(chart, placed)
    every_exit_leads_where_it_says(chart, placed)
    leading_is_a_quarter(placed)


def marks(one: PlacedBox) -> Iterator[PlacedSymbol]:
    """What stands inside the outline of a box or hangs below it, and the ends of its exits."""
    yield from one.marks
    yield from (way.end for way in one.exits if way.end)


def loose_words(one: PlacedBox) -> Iterator[TextLine]:
    """The words of the exits."""
    return (line for way in one.exits for line in (*way.label, *way.beside))


def strokes(one: PlacedBox) -> Iterator[Segment]:
    """Every straight piece of a line that belongs to this box."""
    lines = [*one.stems, *(points for way in one.exits for points in (way.branch, way.line))]
    return (piece for points in lines for piece in pairwise(points))


def shrunk(rect: Rect, by: float = 0.02) -> Rect:
    """The rectangle without a hair at each side."""
    return Rect(rect.x + by, rect.y + by, max(rect.w - 2 * by, 0), max(rect.h - 2 * by, 0))


def runs_through(piece: Segment, rect: Rect) -> bool:
    """Whether the piece, which has no area, runs through the inside of the rectangle."""
    inner = shrunk(rect)
    (left, right), (top, bottom) = (sorted(point[i] for point in piece) for i in (0, 1))
    return left < inner.right and right > inner.x and top < inner.bottom and bottom > inner.y


def nothing_overlaps(placed: PlacedChart) -> None:
    """Outlines, ends, decisions below a box, and the words of exits keep apart; so do marks and text inside a box."""
    solid = [one.outline.rect for one in placed.boxes]
    for one in placed.boxes:
        outside = [mark.rect for mark in marks(one) if not one.outline.rect.holds(mark.rect)]
        solid += [*outside, *(line.rect for line in loose_words(one))]
        inside = [mark.rect for mark in one.marks if one.outline.rect.holds(mark.rect)]
        texts = [line.rect for line in one.outline.texts]
        assert not [(a, b) for a, b in combinations(inside, 2) if a.overlaps(shrunk(b))]
        assert not [(a, b) for a in inside for b in texts if a.overlaps(shrunk(b))]
        assert not [(a, b) for a, b in combinations(texts, 2) if _lines_overlap(a, b)]
    assert not [(a, b) for a, b in combinations(solid, 2) if a.overlaps(shrunk(b, 0.05))]


def _lines_overlap(one: Rect, other: Rect) -> bool:
    return one.overlaps(shrunk(other))


def no_line_runs_through_anything(placed: PlacedChart) -> None:
    """No line runs through a box, a symbol or a word; the stem leaves its own box from the decision inside."""
    for owner in placed.boxes:
        for one in placed.boxes:
            solid = [mark.rect for mark in marks(one)] + [line.rect for line in loose_words(one)]
            solid += [line.rect for line in one.outline.texts] if one is owner else [one.outline.rect]
            assert not [(p, rect) for p in strokes(owner) for rect in solid if runs_through(p, rect)], owner.box.id


def lines_of_different_boxes_never_meet(placed: PlacedChart) -> None:
    """No line crosses or touches one that leaves another box."""
    for one, other in combinations(placed.boxes, 2):
        assert not [(a, b) for a in strokes(one) for b in strokes(other) if _meet(a, b)]


def _meet(a: Segment, b: Segment) -> bool:
    spans = [(sorted(p[i] for p in a), sorted(p[i] for p in b)) for i in (0, 1)]
    return all(one[0] <= other[1] and other[0] <= one[1] for one, other in spans)


def text_lies_inside(placed: PlacedChart) -> None:
    """Every text lies inside the true outline of its symbol, not only inside its rectangle."""
    body = placed.type_pt * MM_PER_PT
    for one in placed.boxes:
        for symbol in (one.outline, *marks(one)):
            for line in symbol.texts:
                assert _holds(symbol, line, body), (symbol.shape, line)


def _holds(symbol: PlacedSymbol, line: TextLine, body: float) -> bool:
    rect, text = symbol.rect, line.rect
    middle = (rect.x + rect.w / 2, rect.y + rect.h / 2)
    # Figures and the question mark have nothing below the baseline and are 0.714 em tall.
    corners = [(x, y) for x in (line.x, line.x + line.width) for y in (line.y - 0.714 * line.size, line.y)]
    if symbol.shape == "connector":
        return all(hypot(x - middle[0], y - middle[1]) < rect.w / 2 for x, y in corners)
    if symbol.shape == "decision":
        return all(abs(x - middle[0]) / (rect.w / 2) + abs(y - middle[1]) / (rect.h / 2) <= 1 for x, y in corners)
    if symbol.shape == "terminal":
        return rect.holds(text, 0.05) and _in_round_ends(rect, text, min(rect.h / 2, 1.15 * body))
    return rect.holds(text, 0.05)


def _in_round_ends(rect: Rect, text: Rect, radius: float) -> bool:
    inner = Rect(rect.x + radius, rect.y + radius, rect.w - 2 * radius, rect.h - 2 * radius)
    for x, y in ((x, y) for x in (text.x, text.right) for y in (text.y, text.bottom)):
        dx = max(inner.x - x, x - inner.right, 0)
        dy = max(inner.y - y, y - inner.bottom, 0)
        if hypot(dx, dy) > radius + 0.05:
            return False
    return True


def everything_lies_inside_the_drawing(placed: PlacedChart) -> None:
    """All marks, words and lines lie inside the width and height that the chart tells."""
    room = Rect(0, 0, placed.width - 1, placed.height - 1)  # the edge keeps half a millimetre for the strokes
    for one in placed.boxes:
        rects = [one.outline.rect, *(mark.rect for mark in marks(one)), *(line.rect for line in loose_words(one))]
        assert all(room.holds(rect, 0.3) for rect in rects)
        assert all(room.holds(Rect(*point, 0, 0), 0.01) for piece in strokes(one) for point in piece)


def bare(text: str) -> str:
    """The text without blanks and hyphens, which line breaks may take away or add."""
    return clean_text(text).replace(" ", "").replace("-", "")


def words(lines: tuple[TextLine, ...]) -> str:
    """The bare text of these lines."""
    return bare("".join(line.text for line in lines))


def all_words_are_drawn(chart: Chart, placed: PlacedChart) -> None:
    """Each box shows its number, signs, causes, actions, how, note and question, and the words of each exit."""
    boxes = chart.by_id()
    for one in placed.boxes:
        if not one.box.number:
            assert words(one.outline.texts) == bare(chart.start_words)
            continue
        box, drawn = boxes[one.box.id], words(one.outline.texts)
        for text in (box.action, box.question, box.how, box.note, *box.sign, *box.causes):
            assert all(bare(line) in drawn for line in text.split("\n"))
        numbers = [mark for mark in one.marks if mark.shape == "connector"]
        assert [words(mark.texts) for mark in numbers] == [str(box.number)]
        drawn_ways = [given for given in box.exits if given.target is not None or not box.asks_cured]
        for way, given in zip(one.exits, drawn_ways, strict=True):
            if box.asks_cured:
                assert words(way.label) == bare(chart.no_words)
                continue
            ended = words(way.end.texts) if way.end and way.target is None else ""
            told = bare(given.label.replace("\n", " / ")) or (bare(chart.end_words) if given.target is None else "")
            assert words(way.label) + ended == told


def every_exit_leads_where_it_says(chart: Chart, placed: PlacedChart) -> None:
    """Its line ends at the box it leads to, at a connector with that box's number, or at a terminal."""
    here = {one.box.id: one.outline.rect for one in placed.boxes}
    numbers = {box.id: box.number for box in chart.boxes}
    for one in placed.boxes:
        given = one.box.exits
        for way in one.exits:
            assert way.target == given[way.index].target
            tip = way.line[-1]
            if way.end is None:
                assert way.target is not None
                assert _on_edge(here[way.target], tip)
                continue
            assert _on_edge(way.end.rect, tip)
            if way.target is None:
                assert way.end.shape == "terminal"
            else:
                assert (way.end.shape, words(way.end.texts)) == ("connector", str(numbers[way.target]))
                assert bool(way.beside) == (way.target not in here)


def _on_edge(rect: Rect, tip: Point) -> bool:
    x, y = tip
    at_side = min(abs(x - rect.x), abs(x - rect.right)) < 0.01 and rect.y < y < rect.bottom
    return at_side or (abs(y - rect.y) < 0.01 and rect.x < x < rect.right)


def leading_is_a_quarter(placed: PlacedChart) -> None:
    """Lines of text one above the other are at least a quarter of the type size apart (STANDARDS, section 1)."""
    for one in placed.boxes:
        for block in (one.outline.texts, *(way.label for way in one.exits)):
            for upper, lower in combinations(sorted(block, key=lambda line: line.y), 2):
                same_line = abs(lower.y - upper.y) < 0.5 * upper.size
                assert same_line or lower.y - upper.y >= 1.25 * min(upper.size, lower.size) - HAIR
