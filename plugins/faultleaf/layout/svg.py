"""The placed chart as an SVG string: real text, black lines, links; no script and no style attribute.

Sizes are millimetres, so that paper gets the type size that was worked out. Colours are
`currentColor`: black when the file stands alone or is printed, whatever the page says on a screen.
The page may style the classes `fl-chart`, `fl-box`, `fl-outline`, `fl-line`, `fl-arrow`, `fl-text`,
`fl-connector`.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from xml.sax.saxutils import escape, quoteattr

from faultleaf.layout.chart import ChartBox
from faultleaf.layout.drawing import LINE_MM, Circle, DrawnBox, DrawnExit, Figure, Polyline, drawing
from faultleaf.layout.metrics import clean_text
from faultleaf.layout.shapes import EDGE, PlacedChart, TextLine

FAMILY = "Faultleaf Sans, Noto Sans, sans-serif"


def draw_svg(placed: PlacedChart, prefix: str = "step") -> str:
    """One `<svg>` element. Box number n can be linked to as `#{prefix}-n`.

    Give each chart of a page its own prefix, and all sheets of one chart the same. It must be fit for
    an id: letters, figures and hyphens. The same placed chart gives the same bytes: numbers are
    rounded to hundredths of a millimetre, sizes of type further, since a whole line is wider by them.
    """
    width, height = _num(placed.width), _num(placed.height)
    view = f"{_num(-EDGE)} {_num(-EDGE)} {width} {height}"
    more = "" if placed.sheet == 1 else f"-{placed.sheet}"
    title, about = _id(prefix, f"title{more}"), _id(prefix, f"about{more}")
    parts = (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="fl-chart" role="group" lang={quoteattr(placed.lang)}'
        f' width="{width}mm" height="{height}mm" viewBox="{view}" color="#000" fill="none" stroke="none"'
        f' font-family="{FAMILY}" font-kerning="none" aria-labelledby="{title} {about}">',
        f'<title id="{title}">{escape(clean_text(placed.title))}</title>',
        f'<desc id="{about}">{escape(_about(placed))}</desc>',
        *(part for box in drawing(placed) for part in _box(box, prefix)),
        "</svg>\n",
    )
    return "\n".join(parts)


def _about(placed: PlacedChart) -> str:
    numbers = [one.box.number for one in placed.boxes if one.box.number]
    sheet = f"Sheet {placed.sheet} of {placed.sheets}. " if placed.sheets > 1 else ""
    words = (
        f"{sheet}Flowchart of {len(numbers)} numbered steps, read from top to bottom. "
        "A circle with a number leads to the step of that number."
    )
    return f"{clean_text(placed.subtitle)}. {words}" if placed.subtitle else words


def _id(prefix: str, name: str) -> str:
    return escape(f"{prefix}-{name}", {'"': "&quot;"})


def _num(value: float, places: int = 2) -> str:
    text = f"{value:.{places}f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _box(drawn: DrawnBox, prefix: str) -> Iterator[str]:
    """A box inside its link, then its exits."""
    box = drawn.box
    yield f'<g class="fl-box" id="{_id(prefix, str(box.number))}">' if box.number else '<g class="fl-box">'
    if box.link:
        yield f"<a href={quoteattr(box.link)} aria-label={quoteattr(_name(box))}>"
    yield from _all(drawn.figures, drawn.texts)
    if box.link:
        yield "</a>"
    for way in drawn.exits:
        yield from _exit(way, prefix)
    yield "</g>"


def _name(box: ChartBox) -> str:
    """What a screen reader says for the box's link."""
    steps = [" ".join(filter(None, step)) for step in box.steps()]
    return f"{box.number}. " + ". ".join(clean_text(one) for one in (box.hazard, *steps, box.question) if one)


def _exit(way: DrawnExit, prefix: str) -> Iterator[str]:
    """Lines and words; a connector is a link to its box."""
    yield from _all(way.figures, way.texts)
    if way.number:
        yield (
            f'<a class="fl-connector" href="#{_id(prefix, str(way.number))}" aria-label="Go to step {way.number}">'
            + "".join(_all(way.end_figures, way.end_texts))
            + "</a>"
        )
    else:
        yield from _all(way.end_figures, way.end_texts)


def _all(figures: Iterable[Figure], texts: Iterable[TextLine]) -> Iterator[str]:
    yield from (_figure(figure) for figure in figures)
    yield from (_text(line) for line in texts)


def _figure(figure: Figure) -> str:
    if isinstance(figure, Circle):
        return _stroked(f'<circle cx="{_num(figure.x)}" cy="{_num(figure.y)}" r="{_num(figure.radius)}"', figure.width)
    if isinstance(figure, Polyline):
        path = "M" + "L".join(_xy(*point) for point in figure.points) + ("Z" if figure.closed else "")
        if not figure.width:
            return f'<path d="{path}Z" class="fl-arrow" fill="currentColor"/>'
        return _stroked(f'<path d="{path}"', figure.width)
    r = figure.rect
    radius = f' rx="{_num(figure.radius)}"' if figure.radius else ""
    start = f'<rect x="{_num(r.x)}" y="{_num(r.y)}" width="{_num(r.w)}" height="{_num(r.h)}"{radius}'
    return _stroked(start, figure.width)


def _stroked(start: str, width: float) -> str:
    css = "fl-line" if width == LINE_MM else "fl-outline"
    return f'{start} class="{css}" stroke="currentColor" stroke-width="{_num(width)}" stroke-linejoin="round"/>'


def _xy(x: float, y: float) -> str:
    return f"{_num(x)} {_num(y)}"


def _text(line: TextLine) -> str:
    # textLength holds the width even where the shipped font is missing: no word runs out of its box.
    weight = ' font-weight="bold"' if line.bold else ""
    return (
        f'<text class="fl-text" x="{_num(line.x)}" y="{_num(line.y)}" font-size="{_num(line.size, 4)}"{weight}'
        f' textLength="{_num(line.width)}" lengthAdjust="spacingAndGlyphs" fill="currentColor">'
        f"{escape(line.text)}</text>"
    )
