"""The gauge glass, and what is seen in it."""

from typing import Final

from faultleaf.drawing.inside.words import tag
from faultleaf.drawing.scene import Cutaway
from faultleaf.drawing.shapes import Circle, Look, Poly, Rect, Shape
from faultleaf.drawing.symbols import arrow


def _cock(y: float, fill: Look) -> tuple[Shape, ...]:
    """A cock at height y with its passage into the boiler."""
    return (
        Rect(84, y - 11, 66, 22, "cut", 3),
        Rect(66, y - 4, 80, 8, fill),
        Circle(104, y, 9, "body"),
        Poly(((98, y), (110, y)), "line"),
    )


_COCKS: Final[tuple[Shape, ...]] = (
    Rect(0, 10, 70, 112, "steam"),
    Rect(0, 122, 70, 108, "water"),
    Poly(((0, 122), (70, 122)), "level"),
    Rect(70, 10, 14, 220, "cut"),
    *_cock(48, "steam"),
    *_cock(178, "water"),
    Rect(128, 56, 28, 16, "cut", 3),
    Rect(128, 154, 28, 16, "cut", 3),
    Rect(135, 66, 14, 94, "body", 2),
    Rect(137, 122, 10, 38, "water"),
    Poly(((135, 122), (149, 122)), "level"),
    Rect(138, 48, 8, 18, "steam"),
    Rect(138, 158, 8, 50, "water"),
    Poly(((138, 189), (138, 210)), "line"),
    Poly(((146, 189), (146, 210)), "line"),
    Poly(((132, 206), (152, 206), (146, 216), (138, 216)), "cut", closed=True),
    Poly(((152, 211), (164, 211)), "line"),
    *arrow((142, 218), (142, 234)),
)


def _glass(x: float, top: float = 60, bottom: float = 190) -> tuple[Shape, ...]:
    """A tube between two cocks."""
    return (
        Rect(x - 13, top - 12, 26, 12, "cut", 2),
        Rect(x - 13, bottom, 26, 12, "cut", 2),
        Rect(x - 8, top, 16, bottom - top, "body", 2),
    )


def _filled(x: float, level: float, bottom: float = 190) -> tuple[Shape, ...]:
    return (Rect(x - 6, level, 12, bottom - level - 1, "water"), Poly(((x - 7, level), (x + 7, level)), "level"))


_SEEN: Final[tuple[Shape, ...]] = (
    *_glass(32),
    *_filled(32, 122),
    *arrow((48, 150), (48, 126)),
    Poly(((22, 122), (16, 122)), "line"),
    *_glass(92),
    *_filled(92, 150),
    Poly(((85, 112), (99, 112)), "dash"),
    *arrow((108, 150), (108, 134), "dash"),
    *_glass(152),
    Poly(((146, 112), (149, 96), (152, 118), (155, 90), (158, 110), (158, 189), (146, 189)), "water", True),
    Poly(((145, 112), (149, 96), (152, 118), (155, 90), (159, 110)), "level"),
    *arrow((168, 122), (168, 92)),
    *arrow((168, 92), (168, 124)),
    *_glass(212),
    *_filled(212, 118),
    Rect(206, 160, 12, 29, "mud"),
    *(Circle(209 + 3 * (n % 3), 128 + 6 * n, 1.3, "solid") for n in range(6)),
    *_glass(272),
    *_glass(332),
    Rect(326, 61, 12, 128, "water"),
)

GLASS: Final = (
    Cutaway(
        "glass-and-cocks",
        "Gauge glass and its cocks",
        "Steam enters above, water below, each through a narrow passage. If one closes, the glass no longer "
        "shows the boiler: below closed it stands still, above closed it stands too high.",
        ("gauge-glass", "gauge-glass-cocks"),
        360,
        240,
        _COCKS,
        (
            tag("Steam", 12, 40),
            tag("Boiler", 12, 84),
            tag("Water", 12, 150),
            tag("Upper cock", 196, 30, (108, 40)),
            tag("Nut and washer", 196, 66, (158, 64)),
            tag("Glass, open to|both passages", 196, 100, (151, 96)),
            tag("Lower cock", 196, 150, (168, 145), (112, 172)),
            tag("Passage, where|mud settles", 196, 182, (150, 178)),
            tag("Drain cock", 196, 225, (166, 212)),
        ),
    ),
    Cutaway(
        "seen-in-the-glass",
        "What is seen in the glass",
        "Proved: after each blow the water is back at once. Sluggish: it creeps, and may stop short. Surging: it "
        "leaps "
        "under fire. Muddy: dirt lies over the lower passage. Empty and full look alike from the stairs: an empty "
        "tube "
        "shows no line, and a full one shows none either.",
        ("gauge-glass", "gauge-glass-cocks", "boiler-water", "make-up-water"),
        360,
        250,
        _SEEN,
        (
            tag("Proved", 32, 222, anchor="middle"),
            tag("Slug-|gish", 92, 222, anchor="middle"),
            tag("Sur-|ging", 152, 222, anchor="middle"),
            tag("Muddy", 212, 222, anchor="middle"),
            tag("Empty", 272, 222, anchor="middle"),
            tag("Full", 332, 222, anchor="middle"),
            tag("back|at once", 32, 24, anchor="middle"),
            tag("creeps", 92, 32, anchor="middle"),
            tag("leaps", 152, 32, anchor="middle"),
            tag("dirt", 212, 32, anchor="middle"),
            tag("no line in either", 302, 32, anchor="middle"),
        ),
    ),
)
