"""Symbols from sizes: every valve, float and radiator of the drawing is made here, so that one hand drew them all."""

from math import cos, pi, sin

from faultleaf.drawing.shapes import Circle, Look, Point, Poly, Rect, Shape


def valve(x: float, y: float, size: float = 11.0, upright: bool = False, wheel: bool = True) -> tuple[Shape, ...]:
    """A stop valve in a run of pipe: two cones tip to tip; its wheel stands across the run."""
    if upright:
        cones = Poly(((x - size * 0.7, y - size), (x + size * 0.7, y - size), (x - size * 0.7, y + size),
                      (x + size * 0.7, y + size)), "body", closed=True)  # fmt: skip
        stem = (Poly(((x, y), (x - size * 1.3, y))), Poly(((x - size * 1.3, y - 6), (x - size * 1.3, y + 6))))
    else:
        cones = Poly(((x - size, y - size * 0.7), (x - size, y + size * 0.7), (x + size, y - size * 0.7),
                      (x + size, y + size * 0.7)), "body", closed=True)  # fmt: skip
        stem = (Poly(((x, y), (x, y - size * 1.3))), Poly(((x - 6, y - size * 1.3), (x + 6, y - size * 1.3))))
    return (*(stem if wheel else ()), cones)


def cock(x: float, y: float, right: bool = True) -> tuple[Shape, ...]:
    """A cock at the end of a gauge glass: a round body with its lever handle."""
    end = x + (13 if right else -13)
    return (Poly(((x, y), (end, y))), Circle(end, y, 2.5, "solid"), Circle(x, y, 6.5))


def check_valve(x: float, y: float, left: bool = True, size: float = 11.0) -> tuple[Shape, ...]:
    """A swing check in a level pipe: the clapper hangs in its body; the arrow says which way it lets through."""
    way = -1 if left else 1
    return (
        Rect(x - size, y - size * 0.8, 2 * size, 1.6 * size, "body", 3),
        Poly(((x - way * 3, y - size * 0.8 + 2), (x + way * 5, y + size * 0.8 - 3)), "line"),
        Circle(x - way * 3, y - size * 0.8 + 3, 1.8, "solid"),
        *arrow((x - way * 9, y - size - 6), (x + way * 11, y - size - 6)),
    )


def arrow(start: Point, end: Point, look: Look = "fine") -> tuple[Shape, ...]:
    """A line with a head at its end."""
    (x1, y1), (x2, y2) = start, end
    length = ((x2 - x1) ** 2 + (y2 - y1) ** 2) ** 0.5
    ux, uy = (x2 - x1) / length, (y2 - y1) / length
    back = (x2 - 7 * ux, y2 - 7 * uy)
    head = (end, (back[0] - 3 * uy, back[1] + 3 * ux), (back[0] + 3 * uy, back[1] - 3 * ux))
    return (Poly((start, back), look), Poly(head, "solid", closed=True))


def span(start: Point, end: Point) -> tuple[Shape, ...]:
    """A measure: a line with a head at either end."""
    middle = (start[0] + end[0]) / 2, (start[1] + end[1]) / 2
    return (*arrow(middle, start), *arrow(middle, end))


def radiator(x: float, y: float, sections: int, height: float, pitch: float = 22.0) -> tuple[Shape, ...]:
    """Sections side by side on two feet; (x, y) is the upper left corner."""
    tubes = [Rect(x + n * pitch, y, pitch - 4, height, "body", 8) for n in range(sections)]
    slots = [Poly(((x + n * pitch + 9, y + 16), (x + n * pitch + 9, y + height - 16)), "fine") for n in range(sections)]
    links = [
        Rect(x + n * pitch + pitch - 4, y + at, 4, 9, "body") for n in range(sections - 1) for at in (9, height - 18)
    ]
    feet = [Rect(x + n * pitch + 3, y + height, 12, 10, "body", 2) for n in (0, sections - 1)]
    return (*feet, *links, *tubes, *slots)


def angle_valve(x: float, y: float, right: bool = True) -> tuple[Shape, ...]:
    """A radiator valve: from below into the radiator at its side. (x, y) is where the ways meet; the wheel on top."""
    way = 1 if right else -1
    return (
        Poly(((x, y - 9), (x, y - 20))),
        Rect(x - 10, y - 25, 20, 6, "body", 3),
        Poly(((x - 8, y + 11), (x - 8, y - 9), (x + way * 8, y - 9), (x + way * 15, y - 7), (x + way * 15, y + 7),
              (x + 8, y + 7), (x + 8, y + 11)) if right else
             ((x + 8, y + 11), (x + 8, y - 9), (x - 8, y - 9), (x - 15, y - 7), (x - 15, y + 7), (x - 8, y + 7),
              (x - 8, y + 11)), "body", closed=True),
    )  # fmt: skip


def radiator_vent(x: float, y: float) -> tuple[Shape, ...]:
    """An air vent screwed into the last section: its nipple comes from the left."""
    return (
        Rect(x, y - 3, 9, 6, "body"),
        Poly(((x + 9, y + 8), (x + 9, y - 10), (x + 12, y - 17), (x + 18, y - 17), (x + 21, y - 10), (x + 21, y + 8)),
             "body", closed=True, corner=2),
        Circle(x + 15, y - 12, 1.6, "solid"),
    )  # fmt: skip


def main_vent(x: float, y: float) -> tuple[Shape, ...]:
    """A main vent on its nipple; (x, y) is where the nipple leaves the pipe below."""
    return (
        Rect(x - 4, y - 12, 8, 12, "body"),
        Rect(x - 10, y - 36, 20, 25, "body", 5),
        Poly(((x - 10, y - 30), (x + 10, y - 30)), "fine"),
        Circle(x, y - 40, 3, "body"),
    )


def float_chamber(x: float, y: float, w: float, h: float, level: float) -> tuple[Shape, ...]:
    """A cast chamber cut open: water up to `level` (a height on the page) and the ball on it. (x, y): upper left."""
    ball = min(w, h) * 0.27
    return (
        Rect(x, y, w, h, "body", 12),
        Rect(x + 3, level, w - 6, y + h - 3 - level, "water", 9),
        Poly(((x + 3, level), (x + w - 3, level)), "level"),
        Circle(x + w / 2, level - 1, ball, "body"),
    )


def dial(x: float, y: float, r: float) -> tuple[Shape, ...]:
    """A pressure gauge: ticks over three quarters of a turn and a hand near zero."""
    turns = [pi * (0.75 + 1.5 * n / 6) for n in range(7)]
    ticks = [
        Poly(((x + 0.7 * r * cos(a), y + 0.7 * r * sin(a)), (x + 0.88 * r * cos(a), y + 0.88 * r * sin(a))), "fine")
        for a in turns
    ]
    hand = turns[1]
    return (
        Circle(x, y, r),
        *ticks,
        Poly(((x, y), (x + 0.66 * r * cos(hand), y + 0.66 * r * sin(hand))), "line"),
        Circle(x, y, 2, "solid"),
    )


def level_mark(x: float, y: float) -> tuple[Shape, ...]:
    """The sign of a free surface: a triangle that stands on it, two short lines below."""
    return (
        Poly(((x - 6, y - 9), (x + 6, y - 9), (x, y)), "fine", closed=True),
        Poly(((x - 5, y + 4), (x + 5, y + 4)), "fine"),
        Poly(((x - 2.5, y + 7), (x + 2.5, y + 7)), "fine"),
    )


def drain_cock(x: float, y: float) -> tuple[Shape, ...]:
    """A boiler drain at the end of a level pipe that comes from the left: its spout points down."""
    return (
        *valve(x + 10, y, 9),
        Poly(((x + 19, y - 4), (x + 27, y - 4), (x + 31, y + 10), (x + 21, y + 10), (x + 19, y + 4)), "body", True, 2),
    )


def pump(x: float, y: float, r: float, left: bool = True) -> tuple[Shape, ...]:
    """A pump: a circle with the triangle that points the way the water goes."""
    way = -1 if left else 1
    return (
        Circle(x, y, r),
        Poly(((x + way * r, y), (x - way * r * 0.5, y - r * 0.87), (x - way * r * 0.5, y + r * 0.87)), "line", True),
    )


def flame(x: float, y: float, size: float) -> tuple[Shape, ...]:
    """A flame that stands on (x, y)."""
    points = ((0, 0), (-0.42, -0.25), (-0.38, -0.62), (-0.12, -0.5), (0.02, -1.0), (0.3, -0.66), (0.42, -0.3))
    return (Poly(tuple((x + px * size, y + py * size) for px, py in points), "body", True, size * 0.16),)


def hatched(x: float, y: float, length: float, step: float = 12.0, depth: float = 7.0) -> tuple[Shape, ...]:
    """The ground below a floor: its line, and strokes under it."""
    strokes = [
        Poly(((x + n * step, y), (x + n * step - depth, y + depth)), "fine") for n in range(1, int(length / step) + 1)
    ]
    return (Poly(((x, y), (x + length, y)), "line"), *strokes)


def strainer(x: float, y: float) -> tuple[Shape, ...]:
    """A Y strainer in a level pipe whose water goes to the right: its leg slants down."""
    return (
        Poly(((x - 4, y + 2), (x + 12, y + 20), (x + 20, y + 13), (x + 8, y)), "body", closed=True),
        Poly(((x + 11, y + 22), (x + 22, y + 12))),
        Rect(x - 13, y - 7, 26, 14, "body", 3),
        Poly(((x - 2, y + 3), (x + 10, y + 16)), "dash"),
    )


def flow(x: float, y: float, way: str, size: float = 4.5) -> tuple[Shape, ...]:
    """Which way it runs in a pipe: a small head in its middle. `way`: left, right, up or down."""
    dx, dy = {"left": (-1, 0), "right": (1, 0), "up": (0, -1), "down": (0, 1)}[way]
    points = ((x + dx * size, y + dy * size), (x - dx * size - dy * size, y - dy * size - dx * size),
              (x - dx * size + dy * size, y - dy * size + dx * size))  # fmt: skip
    return (Poly(points, "solid", closed=True),)
