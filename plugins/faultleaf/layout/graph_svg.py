"""The placed graph as an SVG string: real text, real links; no script, no style attribute, no colour of its own.

Sizes are CSS pixels. Everything is `currentColor`, so that it follows the page by day and by night and
prints black; kinds differ by weight, dash and place. The page may style the classes `fl-graph`,
`fl-graph__frame`, `fl-graph__line`, `fl-graph__arrow` and `fl-graph__box`, each with its kind after `--`.
"""

from __future__ import annotations

from collections.abc import Iterator
from xml.sax.saxutils import escape, quoteattr

from .graph_picture import GraphBox, GraphFrame, GraphLine, GraphPicture
from .shapes import Rect, TextLine

FAMILY = "Faultleaf Sans, Noto Sans, sans-serif"
ARROW = 8.0
BEND = 6.0  # radius of a lane's corner
_STROKES = {"symptom": 3.0, "component": 1.0, "fault": 1.5, "origin": 1.0, "unlisted": 1.5}
_DASHED = ("unlisted",)


def draw_graph(picture: GraphPicture, base: str, prefix: str = "causes") -> str:
    """One `<svg>` element; `base` leads from the page to the site's root. The same picture gives the same bytes."""
    width, height = _num(picture.width), _num(picture.height)
    title, about = (quoteattr(f"{prefix}-{name}") for name in ("title", "about"))
    named = quoteattr(f"{prefix}-title {prefix}-about")
    parts = (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="fl-graph" role="group" width="{width}" height="{height}"'
        f' viewBox="0 0 {width} {height}" fill="none" font-family="{FAMILY}" font-kerning="none"'
        f" aria-labelledby={named}>",
        f"<title id={title}>{escape(picture.title)}</title>",
        f"<desc id={about}>{escape(picture.about)}</desc>",
        *(_frame(frame) for frame in picture.frames),
        *(part for line in picture.lines for part in _line(line)),
        *(part for box in picture.boxes for part in _box(box, base)),
        "</svg>\n",
    )
    return "\n".join(parts)


def _num(value: float) -> str:
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _rect(rect: Rect, css: str, stroke: float, dashed: bool = False) -> str:
    dash = ' stroke-dasharray="5 4"' if dashed else ""
    return (
        f'<rect class="{css}" x="{_num(rect.x)}" y="{_num(rect.y)}" width="{_num(rect.w)}" height="{_num(rect.h)}"'
        f' rx="3" stroke="currentColor" stroke-width="{_num(stroke)}"{dash}/>'
    )


def _frame(frame: GraphFrame) -> str:
    return _rect(frame.rect, "fl-graph__frame", 1.0)


def _line(line: GraphLine) -> Iterator[str]:
    kind = "share" if line.relation == "may be caused by" else "origin"
    path = _lane(line) if kind == "share" else "M" + "L".join(f"{_num(x)} {_num(y)}" for x, y in line.points)
    yield (
        f'<path class="fl-graph__line fl-graph__line--{kind}" d="{path}" stroke="currentColor"'
        f' stroke-width="{_num(line.width)}"/>'
    )
    if kind == "origin":
        x, y = line.points[-1]
        tip = f"M{_num(x)} {_num(y)}L{_num(x - ARROW)} {_num(y - ARROW / 2)}V{_num(y + ARROW / 2)}Z"
        yield f'<path class="fl-graph__arrow" d="{tip}" fill="currentColor"/>'


def _lane(line: GraphLine) -> str:
    """Down and round the corner to the right."""
    (x, top), (_, y), (end, _) = line.points
    return f"M{_num(x)} {_num(top)}V{_num(y - BEND)}Q{_num(x)} {_num(y)} {_num(x + BEND)} {_num(y)}H{_num(end)}"


def _box(box: GraphBox, base: str) -> Iterator[str]:
    css = f"fl-graph__box fl-graph__box--{box.kind}"
    yield f'<a class="{css}" href={quoteattr(base + box.url)} aria-label={quoteattr(box.name)}>'
    yield _rect(box.rect, "fl-graph__outline", _STROKES[box.kind], box.kind in _DASHED)
    yield from (_text(line) for line in box.texts)
    yield "</a>"


def _text(line: TextLine) -> str:
    # textLength holds the width even where the shipped font is missing: no word runs out of its box.
    weight = ' font-weight="bold"' if line.bold else ""
    return (
        f'<text x="{_num(line.x)}" y="{_num(line.y)}" font-size="{_num(line.size)}"{weight}'
        f' textLength="{_num(line.width)}" lengthAdjust="spacingAndGlyphs" fill="currentColor">'
        f"{escape(line.text)}</text>"
    )
