"""The placed chart as an SVG string: real text, black lines, links; no script and no style attribute.

Sizes are millimetres, so that paper gets the type size that was worked out. Colours are
`currentColor`: black when the file stands alone or is printed, whatever the page says on a screen.
The page may style the classes `fl-chart`, `fl-box`, `fl-outline`, `fl-line`, `fl-arrow`, `fl-text`,
`fl-connector`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import hypot
from xml.sax.saxutils import escape, quoteattr

from faultleaf.layout.chart import ChartBox
from faultleaf.layout.metrics import MM_PER_PT, clean_text
from faultleaf.layout.shapes import EDGE, Connector, Line, PlacedChart, PlacedSymbol, Point, TextLine, Unit
from faultleaf.layout.style import end_radius

FAMILY = "Faultleaf Sans, Noto Sans, sans-serif"
OUTLINE_MM = 0.5
LINE_MM = 0.4


def draw_svg(placed: PlacedChart, prefix: str = "step") -> str:
    """One `<svg>` element. Box number n can be linked to as `#{prefix}-n`.

    Give each chart of a page its own prefix. It must be fit for an id: letters, figures and hyphens.
    The same placed chart gives the same bytes: numbers are rounded to hundredths of a millimetre.
    """
    width, height = _num(placed.width), _num(placed.height)
    view = f"{_num(-EDGE)} {_num(-EDGE)} {width} {height}"
    parts = (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="fl-chart" role="group" lang={quoteattr(placed.lang)}'
        f' width="{width}mm" height="{height}mm" viewBox="{view}" color="#000" fill="none" stroke="none"'
        f' font-family="{FAMILY}" font-kerning="none" aria-labelledby="{_id(prefix, "title")} {_id(prefix, "about")}">',
        f'<title id="{_id(prefix, "title")}">{escape(clean_text(placed.title))}</title>',
        f'<desc id="{_id(prefix, "about")}">{escape(_about(placed))}</desc>',
        *(part for line in placed.lines for part in _line(line, placed)),
        *(part for unit in placed.units for part in _unit(unit, prefix)),
        *(_connector(connector, prefix, placed) for connector in placed.connectors),
        "</svg>\n",
    )
    return "\n".join(parts)


def _about(placed: PlacedChart) -> str:
    steps = sum(1 for unit in placed.units if unit.box.number)
    words = (
        f"Flowchart of {steps} numbered steps, read from top to bottom. "
        "A circle with a number leads to the step of that number."
    )
    return f"{clean_text(placed.subtitle)}. {words}" if placed.subtitle else words


def _id(prefix: str, name: str) -> str:
    return escape(f"{prefix}-{name}", {'"': "&quot;"})


def _num(value: float) -> str:
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _unit(unit: Unit, prefix: str) -> Iterator[str]:
    """The symbols of a box inside its link, then the words of its exits."""
    box = unit.box
    if box.number:
        yield f'<g class="fl-box" id="{_id(prefix, str(box.number))}">'
    else:
        yield '<g class="fl-box">'
    symbols = [part for symbol in unit.symbols for part in _symbol(symbol, unit.stem_x - unit.area.x)]
    if box.link:
        yield f"<a href={quoteattr(box.link)} aria-label={quoteattr(_name(box))}>"
        yield from symbols
        yield "</a>"
    else:
        yield from symbols
    for way in unit.exits:
        yield _path(way.lead)
        yield from (_text(line) for line in way.label)
        if way.end:
            yield from _symbol(way.end, unit.stem_x - unit.area.x)
    yield "</g>"


def _name(box: ChartBox) -> str:
    """What a screen reader says for the box's link."""
    words = (box.hazard, box.action, box.question)
    return f"{box.number}. " + ". ".join(clean_text(one) for one in words if one)


def _symbol(symbol: PlacedSymbol, stem: float) -> Iterator[str]:
    yield _outline(symbol, stem)
    yield from (_text(line) for line in symbol.texts)


def _outline(symbol: PlacedSymbol, stem: float) -> str:
    """The outline of ISO 5807 for this symbol; the annotation is a bracket tied on by a dashed line."""
    r = symbol.rect
    middle_x, middle_y = r.x + r.w / 2, r.y + r.h / 2
    if symbol.shape == "decision":
        return _shape(f"M{_xy(middle_x, r.y)}L{_xy(r.right, middle_y)}L{_xy(middle_x, r.bottom)}L{_xy(r.x, middle_y)}Z")
    if symbol.shape == "connector":
        return _stroked(f'<circle cx="{_num(middle_x)}" cy="{_num(middle_y)}" r="{_num(r.w / 2)}"')
    if symbol.shape == "preparation":
        slant = 0.8 * stem
        top = f"M{_xy(r.x, middle_y)}L{_xy(r.x + slant, r.y)}L{_xy(r.right - slant, r.y)}L{_xy(r.right, middle_y)}"
        return _shape(f"{top}L{_xy(r.right - slant, r.bottom)}L{_xy(r.x + slant, r.bottom)}Z")
    if symbol.shape == "annotation":
        tick = r.x + 0.3 * stem
        bracket = f"M{_xy(tick, r.y)}L{_xy(r.x, r.y)}L{_xy(r.x, r.bottom)}L{_xy(tick, r.bottom)}"
        y = r.y + min(r.h / 2, 0.755 * stem)  # the middle of the diamond, see measure._mark
        tie = f'<path d="M{_xy(r.x - 0.33 * stem, y)}H{_num(r.x)}" stroke-dasharray="0.5 0.4"'
        return _stroked(tie, LINE_MM) + _shape(bracket, LINE_MM)
    if symbol.shape == "alert":
        body = symbol.rect.h
        sign = f"M{_xy(middle_x, r.y)}L{_xy(r.right, r.bottom)}L{_xy(r.x, r.bottom)}Z"
        bar = f"M{_xy(middle_x, r.y + 0.36 * body)}V{_num(r.y + 0.66 * body)}"
        dot = f"M{_xy(middle_x, r.y + 0.78 * body)}V{_num(r.y + 0.88 * body)}"
        return _shape(sign + bar + dot, LINE_MM)
    radius = f' rx="{_num(end_radius(r.h, stem))}"' if symbol.shape == "terminal" else ""
    return _stroked(f'<rect x="{_num(r.x)}" y="{_num(r.y)}" width="{_num(r.w)}" height="{_num(r.h)}"{radius}')


def _shape(path: str, width: float = OUTLINE_MM) -> str:
    return _stroked(f'<path d="{path}"', width)


def _stroked(start: str, width: float = OUTLINE_MM) -> str:
    return f'{start} class="fl-outline" stroke="currentColor" stroke-width="{_num(width)}" stroke-linejoin="round"/>'


def _xy(x: float, y: float) -> str:
    return f"{_num(x)} {_num(y)}"


def _text(line: TextLine) -> str:
    # textLength holds the width even where the shipped font is missing: no word runs out of its box.
    weight = ' font-weight="bold"' if line.bold else ""
    return (
        f'<text class="fl-text" x="{_num(line.x)}" y="{_num(line.y)}" font-size="{_num(line.size)}"{weight}'
        f' textLength="{_num(line.width)}" lengthAdjust="spacingAndGlyphs" fill="currentColor">'
        f"{escape(line.text)}</text>"
    )


def _path(points: Sequence[Point]) -> str:
    if len(points) < 2:
        return ""
    path = "L".join(_xy(*point) for point in points)
    return f'<path d="M{path}" class="fl-line" stroke="currentColor" stroke-width="{_num(LINE_MM)}"/>'


def _line(line: Line, placed: PlacedChart) -> Iterator[str]:
    """The line, and its arrowhead as a filled shape whose tip is the last point."""
    size = placed.type_pt * MM_PER_PT
    (x0, y0), (x, y) = line.points[-2:]
    length = hypot(x - x0, y - y0) or 1.0
    ux, uy = (x - x0) / length, (y - y0) / length
    back, half = min(0.62 * size, length), 0.26 * size
    base = (x - back * ux, y - back * uy)
    yield _path((*line.points[:-1], base))
    corners = ((x, y), (base[0] - half * uy, base[1] + half * ux), (base[0] + half * uy, base[1] - half * ux))
    yield f'<path d="M{"L".join(_xy(*corner) for corner in corners)}Z" class="fl-arrow" fill="currentColor"/>'


def _connector(connector: Connector, prefix: str, placed: PlacedChart) -> str:
    """A circle; the one that leads away is a link to its box."""
    drawn = "".join(_symbol(connector.symbol, 0.0))
    if connector.incoming:
        return f'<g class="fl-connector">{drawn}</g>'
    number = next(unit.box.number for unit in placed.units if unit.box.id == connector.target)
    return f'<a class="fl-connector" href="#{_id(prefix, str(number))}" aria-label="Go to step {number}">{drawn}</a>'
