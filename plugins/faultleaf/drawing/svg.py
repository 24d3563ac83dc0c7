"""Scenes, windows and cut-aways as SVG strings: no script, no style attribute, no colour of their own.

Looks are classes (`fl-k-…` for shapes, `fl-pipe…` for pipes) that the page's style sheet draws in its ink; what is
named in a window carries `fl-named`. The same drawing gives the same bytes.
"""

from collections.abc import Container, Iterable, Iterator, Mapping
from xml.sax.saxutils import escape, quoteattr

from faultleaf.drawing.crop import Crop
from faultleaf.drawing.scene import LEADING, TYPE, Cutaway, Label, Pane, Part, Pipe, Scene
from faultleaf.drawing.shapes import Box, Circle, Point, Poly, Rect, Shape, distance
from faultleaf.layout import FontMetrics

WALL = 3.4
"""By how much a pipe is wider outside than inside."""
INK = (
    "text{font-family:'Noto Sans';font-weight:bold;fill:#000}"
    ".fl-k-body,.fl-k-face,.fl-k-line,.fl-k-fine,.fl-k-dash,.fl-k-level,.fl-k-cut,.fl-leader"
    "{fill:none;stroke:#000;stroke-width:1.2;stroke-linejoin:round}"
    ".fl-k-body,.fl-k-cut,.fl-plate,.fl-k-water,.fl-k-steam,.fl-k-mud{fill:#fff}"
    ".fl-k-face,.fl-k-dash{stroke-dasharray:6 5}.fl-k-solid{fill:#000}"
    ".fl-pipe,.fl-pipe-in,.fl-pipe-gap{fill:none;stroke:#000;stroke-linejoin:round}"
    ".fl-pipe-in--steam,.fl-pipe-in--empty,.fl-pipe-in--water,.fl-pipe-gap{stroke:#fff}"
    ".fl-mark-run,.fl-mark-box,.fl-mark-ring{fill:none;stroke:none}"
    ".fl-named .fl-k-body,.fl-named .fl-k-line,.fl-named .fl-k-cut{stroke-width:3.2}"
)
"""Looks for paper, where no style sheet reaches: black on white, as every page of a sheet."""


def draw_pane(scene: Scene, pane: Pane, links: Mapping[str, tuple[str, str]], metrics: FontMetrics) -> str:
    """One pane. `links`: component → address and name; a part whose component has one can be pressed."""
    labels = [
        text
        for part in scene.parts
        for number, label in enumerate(part.labels)
        if pane.box.holds(label.box(metrics))
        for text in _pressed(part, label, links, metrics, first=number == 0, pane=pane)
    ]
    return _svg(pane.box, f"plant-{pane.id}", pane.title, pane.about, [*_scenery(scene, pane.box), *labels], "group")


def draw_crop(scene: Scene, crop: Crop, prefix: str, title: str, metrics: FontMetrics) -> str:
    """The window with its part brought out; labels that it would cut are left out."""
    shown = list(_shown(scene, crop.box, metrics))
    labels = [
        f'<g class="{_css("fl-plant-words", part.id in crop.named)}">{_words(label, metrics)}</g>'
        for part, label in shown
    ]
    told = [label.lines for part, label in shown if part.id not in crop.named]
    about = f"Beside it: {', '.join(' '.join(lines) for lines in told)}." if told else "The part by itself."
    return _svg(crop.box, prefix, title, about, [*_scenery(scene, crop.box, crop.named), *labels], "img")


def draw_window(scene: Scene, crop: Crop, metrics: FontMetrics) -> str:
    """The window by itself, in black and white for paper: its parts in bold strokes and words, no others named."""
    words = [
        f'<g class="fl-plant-words fl-named">{_words(label, metrics)}</g>'
        for part, label in _shown(scene, crop.box, metrics)
        if part.id in crop.named
    ]
    inside = [f"<style>{INK}</style>", *_scenery(scene, crop.box, crop.named), *words]
    return _svg(crop.box, "window", "Where it is", "", inside, "img")


def _shown(scene: Scene, window: Box, metrics: FontMetrics) -> Iterator[tuple[Part, Label]]:
    """The labels that the window does not cut, with their parts."""
    return ((part, label) for part in scene.parts for label in part.labels if window.holds(label.box(metrics)))


def draw_cutaway(cutaway: Cutaway, metrics: FontMetrics) -> str:
    """A part cut open."""
    box = Box(0, 0, cutaway.width, cutaway.height)
    shapes = [_shape(shape) for shape in cutaway.shapes]
    labels = [f'<g class="fl-plant-words">{_words(label, metrics)}</g>' for label in cutaway.labels]
    return _svg(box, f"inside-{cutaway.id}", cutaway.title, cutaway.about, [*shapes, *labels], "img")


def _svg(box: Box, prefix: str, title: str, about: str, inside: Iterable[str], role: str) -> str:
    view = " ".join(_num(value) for value in (box.x, box.y, box.w, box.h))
    return "\n".join((
        f'<svg xmlns="http://www.w3.org/2000/svg" class="fl-plant" role="{role}" viewBox="{view}"'
        f' width="{_num(box.w)}" height="{_num(box.h)}" font-size="{_num(TYPE)}" font-kerning="none"'
        f' aria-labelledby="{prefix}-title {prefix}-about">',
        f'<title id="{prefix}-title">{escape(title)}</title><desc id="{prefix}-about">{escape(about)}</desc>',
        *inside,
        "</svg>",
    ))  # fmt: skip


def _scenery(scene: Scene, window: Box, named: Container[str] = ()) -> Iterator[str]:
    """Everything but words: ground, the mark round what is named, pipes, bridges, shapes."""
    near = window.grown(4)
    parts = scene.parts
    for part in parts:
        yield from _marks(part, near) if part.id in named and part.ground else ()
        yield from _group(part, named, [_shape(each) for each in part.ground if each.box.grown(1).overlaps(near)])
    for part in parts:
        yield from _marks(part, near) if part.id in named and not part.ground else ()
    every = [pipe for _, pipe in scene.pipes()]
    pipes = [(part, pipe) for part, pipe in scene.pipes() if pipe.box.overlaps(near)]
    for css, thinner in (("", 0.0), ("in", WALL)):
        for part, pipe in pipes:
            yield _run(_met(pipe, every, thinner / 2), pipe, css, thinner, part.id in named)
    for part, pipe in pipes:
        if pipe.over:
            for points, width in _bridges(pipe, every):
                yield f'<path class="fl-pipe-gap" d="{_path(points)}" stroke-width="{_num(pipe.width + 6)}"/>'
                longer = _longer(points, width)
                yield _run(longer, pipe, "", 0.0, part.id in named)
                yield _run(longer, pipe, "in", WALL, part.id in named)
    for part in parts:
        yield from _group(part, named, [_shape(each) for each in part.shapes if each.box.grown(1).overlaps(near)])


def _group(part: Part, named: Container[str], drawn: list[str]) -> Iterator[str]:
    if drawn:
        yield f'<g class="{_css("fl-bit", part.id in named)}">{"".join(drawn)}</g>'


def _marks(part: Part, near: Box) -> Iterator[str]:
    """A broad mark below what is named: along its pipes, and round its shapes."""
    for pipe in part.pipes:
        if pipe.box.overlaps(near):
            yield f'<path class="fl-mark-run" d="{_path(pipe.points)}" stroke-width="{_num(pipe.width + 14)}"/>'
    for shape in (*part.ground, *part.shapes):
        if not shape.box.grown(1).overlaps(near) or shape.look not in ("body", "line"):
            continue
        if isinstance(shape, Poly) and not shape.closed:
            yield f'<path class="fl-mark-run" d="{_path(shape.points)}" stroke-width="14"/>'
        else:
            yield f'<rect class="fl-mark-box" {_sides(shape.box.grown(7))} rx="8"/>'
    if not part.pipes and not part.shapes and not part.ground:
        yield f'<rect class="fl-mark-ring" {_sides(part.box.grown(4))} rx="8"/>'


def _met(pipe: Pipe, others: Iterable[Pipe], less: float) -> tuple[Point, ...]:
    """The run with its ends carried on to the far wall of the pipe that they meet, less by `less`: corners close."""
    points = list(pipe.points)
    for end, beside in ((0, 1), (-1, -2)):
        met = [
            other.width / 2
            for other in others
            if other is not pipe and any(distance(pipe.points[end], *leg) < 1 for leg in _legs(other))
        ]
        points[end] = _toward(points[end], points[beside], -max(0.0, max(met, default=0.0) - less))
    return tuple(points)


def _run(points: tuple[Point, ...], pipe: Pipe, kind: str, thinner: float, named: bool) -> str:
    css = f"fl-pipe-in fl-pipe-in--{pipe.inside}" if kind else "fl-pipe"
    return f'<path class="{_css(css, named)}" d="{_path(points)}" stroke-width="{_num(pipe.width - thinner)}"/>'


def _bridges(over: Pipe, others: Iterable[Pipe]) -> Iterator[tuple[tuple[Point, Point], float]]:
    """Where `over` passes before another pipe, away from both pipes' ends: a short piece, and by how much more."""
    for other in others:
        for start, end in _legs(over):
            for first, last in _legs(other):
                at = _crossing(start, end, first, last)
                if at and other is not over:
                    half = other.width / 2 + 0.5
                    x, y = at
                    upright = start[0] == end[0]
                    yield (((x, y - half), (x, y + half)) if upright else ((x - half, y), (x + half, y))), 2.0


def _legs(pipe: Pipe) -> Iterator[tuple[Point, Point]]:
    return zip(pipe.points, pipe.points[1:], strict=False)


def _crossing(start: Point, end: Point, first: Point, last: Point) -> Point | None:
    """Where an upright and a level leg cross, away from their ends."""
    if start[0] == end[0] and first[1] == last[1]:
        at, upright, level = (start[0], first[1]), (start, end), (first, last)
    elif start[1] == end[1] and first[0] == last[0]:
        at, upright, level = (first[0], start[1]), (first, last), (start, end)
    else:
        return None
    clear = min(abs(at[1] - y) for _, y in upright) > 6 and min(abs(at[0] - x) for x, _ in level) > 6
    tall, wide = sorted(y for _, y in upright), sorted(x for x, _ in level)
    return at if clear and tall[0] < at[1] < tall[1] and wide[0] < at[0] < wide[1] else None


def _longer(points: tuple[Point, Point], by: float) -> tuple[Point, Point]:
    (x1, y1), (x2, y2) = points
    return ((x1, y1 - by), (x2, y2 + by)) if x1 == x2 else ((x1 - by, y1), (x2 + by, y2))


def _pressed(
    part: Part, label: Label, links: Mapping[str, tuple[str, str]], metrics: FontMetrics, first: bool, pane: Pane
) -> Iterator[str]:
    """A label, as a link where its part has a card; with its first label the part itself can be pressed."""
    words = _words(label, metrics)
    if part.card not in links:
        yield f'<g class="fl-plant-words">{words}</g>'
        return
    url, name = links[part.card]
    hit = f'<rect class="fl-part__hit" {_sides(_inside(part.box.grown(4), pane.box))} rx="6"/>' if first else ""
    mark = f' id="part-{part.id}"' if first else ' tabindex="-1"'
    said = quoteattr(_said(label, name))
    yield f'<a class="fl-part" href={quoteattr(url)}{mark} aria-label={said}>{hit}{words}</a>'


def _said(label: Label, name: str) -> str:
    """What a link is called: the words that are seen, then the card's title where it says more."""
    seen = " ".join(label.lines)
    return seen if seen.lower() == name.lower() else f"{seen}: {name}"


def _inside(box: Box, bounds: Box) -> Box:
    x, y = max(box.x, bounds.x + 2), max(box.y, bounds.y + 2)
    return Box(x, y, min(box.right, bounds.right - 2) - x, min(box.bottom, bounds.bottom - 2) - y)


def _words(label: Label, metrics: FontMetrics) -> str:
    lines = "".join(
        f'<tspan x="{_num(label.x)}" y="{_num(label.y + n * LEADING)}">{escape(line)}</tspan>'
        for n, line in enumerate(label.lines)
    )
    leader = f'<path class="fl-leader" d="{_path(label.leader)}"/>' if label.leader else ""
    anchor = f' text-anchor="{label.anchor}"' if label.anchor != "start" else ""
    plate = f'<rect class="fl-plate" {_sides(label.box(metrics))} rx="3"/>'
    return f"{leader}{plate}<text{anchor}>{lines}</text>"


def _css(css: str, named: bool) -> str:
    return f"{css} fl-named" if named else css


def _shape(shape: Shape) -> str:
    css = f'class="fl-k-{shape.look}"'
    if isinstance(shape, Circle):
        if shape.ry:
            return (
                f'<ellipse {css} cx="{_num(shape.x)}" cy="{_num(shape.y)}" rx="{_num(shape.r)}" ry="{_num(shape.ry)}"/>'
            )
        return f'<circle {css} cx="{_num(shape.x)}" cy="{_num(shape.y)}" r="{_num(shape.r)}"/>'
    if isinstance(shape, Rect):
        corner = f' rx="{_num(shape.corner)}"' if shape.corner else ""
        return f"<rect {css} {_sides(shape.box)}{corner}/>"
    return f'<path {css} d="{_rounded(shape) if shape.corner else _path(shape.points, shape.closed)}"/>'


def _path(points: Iterable[Point], closed: bool = False) -> str:
    return "M" + "L".join(f"{_num(x)} {_num(y)}" for x, y in points) + ("Z" if closed else "")


def _rounded(poly: Poly) -> str:
    """The path with its corners cut back and bent."""
    points = poly.points
    around = [*points, points[0], points[1]] if poly.closed else [*points]
    steps = []
    for before, at, after in zip(around, around[1:], around[2:], strict=False):
        enter, leave = _toward(at, before, poly.corner), _toward(at, after, poly.corner)
        steps.append(f"L{_xy(enter)}Q{_xy(at)} {_xy(leave)}")
    if poly.closed:
        start = _toward(points[0], points[1], poly.corner)
        return f"M{_xy(start)}{''.join(steps)}Z"
    return f"M{_xy(points[0])}{''.join(steps)}L{_xy(points[-1])}"


def _toward(point: Point, other: Point, by: float) -> Point:
    """The point `by` away from the first one on the way to the second, at most halfway."""
    (x, y), (x2, y2) = point, other
    length = ((x2 - x) ** 2 + (y2 - y) ** 2) ** 0.5
    share = min(by, length / 2) / length if length else 0.0  # a negative one leads away
    return x + share * (x2 - x), y + share * (y2 - y)


def _sides(box: Box) -> str:
    return f'x="{_num(box.x)}" y="{_num(box.y)}" width="{_num(box.w)}" height="{_num(box.h)}"'


def _xy(point: Point) -> str:
    return f"{_num(point[0])} {_num(point[1])}"


def _num(value: float) -> str:
    text = f"{value:.1f}".removesuffix(".0")
    return "0" if text == "-0" else text
