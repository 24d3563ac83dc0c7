"""Cutoffs, pressure control with its siphon, gauge, safety valve."""

from math import cos, pi, sin
from typing import Final

from faultleaf.drawing.inside.words import tag
from faultleaf.drawing.scene import Cutaway
from faultleaf.drawing.shapes import Circle, Poly, Rect, Shape
from faultleaf.drawing.symbols import arrow, level_mark, valve


def _spring(x: float, top: float, bottom: float, wide: float, turns: int) -> Poly:
    """A coil spring seen from the side."""
    step = (bottom - top) / (2 * turns)
    return Poly(tuple((x + (wide if n % 2 else -wide), top + n * step) for n in range(2 * turns + 1)), "line")


_FLOAT: Final[tuple[Shape, ...]] = (
    Poly(
        (
            (60, 50),
            (166, 50),
            (180, 64),
            (180, 150),
            (160, 178),
            (142, 178),
            (142, 228),
            (122, 228),
            (122, 178),
            (104, 178),
            (60, 150),
        ),
        "cut",
        True,
        8,
    ),
    Poly(((72, 62), (160, 62), (168, 70), (168, 146), (152, 168), (112, 168), (72, 144)), "body", True, 8),
    Poly(((73, 112), (167, 112), (167, 146), (152, 167), (112, 167), (73, 143)), "water", True, 4),
    Poly(((73, 112), (167, 112)), "level"),
    Poly(((96, 158), (112, 167), (152, 167), (160, 156), (130, 152)), "mud", True, 3),
    Rect(127, 166, 10, 62, "mud"),
    Rect(0, 66, 72, 16, "cut"),
    Rect(0, 70, 74, 8, "steam"),
    Rect(0, 128, 72, 16, "cut"),
    Rect(0, 132, 74, 8, "water"),
    Circle(116, 108, 24, "body"),
    Poly(((140, 106), (206, 96)), "line"),
    Rect(172, 84, 16, 28, "cut", 2),
    Circle(184, 99, 3, "solid"),
    Rect(196, 60, 66, 62, "body", 4),
    Poly(((206, 96), (222, 96), (222, 84)), "line"),
    Circle(222, 82, 3, "solid"),
    Poly(((236, 82), (252, 82)), "line"),
    Circle(236, 82, 3, "solid"),
    *valve(132, 203, 12, upright=True),
)

_PROBE: Final[tuple[Shape, ...]] = (
    Rect(0, 20, 124, 62, "steam"),
    Rect(0, 82, 124, 138, "water"),
    Poly(((0, 82), (124, 82)), "level"),
    *level_mark(34, 82),
    Rect(124, 10, 16, 220, "cut"),
    Rect(108, 118, 60, 26, "cut", 3),
    Rect(96, 124, 84, 14, "body", 3),
    Rect(30, 127, 152, 8, "body", 4),
    Rect(56, 126, 40, 10, "mud", 4),
    Poly(((182, 131), (224, 131), (224, 90)), "line"),
    Rect(196, 44, 66, 46, "body", 4),
    Poly(((206, 60), (250, 60)), "fine"),
    Circle(214, 76, 3, "solid"),
    Circle(244, 76, 3, "solid"),
    Poly(((244, 90), (244, 190), (140, 190)), "line"),
    Circle(140, 190, 4, "solid"),
    *arrow((60, 144), (108, 182), "dash"),
    *arrow((40, 144), (108, 202), "dash"),
)

_SIPHON: Final[tuple[Shape, ...]] = (
    Rect(40, 208, 120, 26, "cut"),
    Rect(92, 200, 16, 34, "steam"),
    Poly(((92, 208), (92, 176)), "line"),
    Poly(((108, 208), (108, 176)), "line"),
    Circle(100, 150, 32, "body"),
    Poly(tuple((100 + 31 * cos(a * pi / 20), 150 + 31 * sin(a * pi / 20)) for a in range(-2, 23)), "water", True),
    Circle(100, 150, 17, "body"),
    Poly(((69, 146), (83, 146)), "level"),
    Poly(((117, 146), (131, 146)), "level"),
    Poly(((92, 120), (92, 96)), "line"),
    Poly(((108, 120), (108, 96)), "line"),
    Rect(93, 88, 14, 32, "steam"),
    Rect(56, 16, 170, 76, "body", 5),
    Poly(((64, 90), (64, 76), (136, 76), (136, 90)), "cut", True),
    Rect(68, 79, 64, 8, "steam"),
    Poly(((66, 74), (80, 69), (120, 69), (134, 74)), "line"),
    Poly(((100, 69), (100, 50)), "line"),
    Poly(((84, 50), (164, 44)), "line"),
    Circle(84, 50, 3, "solid"),
    _spring(150, 46, 84, 8, 5),
    Circle(180, 42, 3, "solid"),
    Circle(204, 42, 3, "solid"),
    Poly(((164, 44), (180, 42)), "line"),
    *arrow((100, 198), (100, 180)),
    *arrow((100, 116), (100, 98)),
)

_GAUGE: Final[tuple[Shape, ...]] = (
    Circle(120, 110, 92, "body"),
    Circle(120, 110, 84, "fine"),
    *(
        Poly(((120 + 70 * cos(a), 110 + 70 * sin(a)), (120 + 82 * cos(a), 110 + 82 * sin(a))), "line")
        for a in (pi * (0.75 + 0.25 * n) for n in range(7))
    ),
    Poly(tuple((120 + 56 * cos(pi * a / 24), 110 + 56 * sin(pi * a / 24)) for a in range(14, 49)), "line"),
    Poly(tuple((120 + 44 * cos(pi * a / 24), 110 + 44 * sin(pi * a / 24)) for a in range(14, 49)), "line"),
    Poly(((176, 110), (164, 110)), "line"),
    Rect(106, 150, 28, 52, "cut", 2),
    Rect(115, 150, 10, 86, "steam"),
    Rect(108, 202, 24, 30, "cut", 2),
    Rect(116, 158, 8, 76, "steam"),
    Poly(((170, 110), (158, 126), (136, 120)), "line"),
    Circle(136, 120, 3, "solid"),
    Circle(120, 110, 7, "cut"),
    Poly(((120, 110), (70, 126)), "line"),
    *arrow((120, 234), (120, 216)),
)

_SAFETY: Final[tuple[Shape, ...]] = (
    Rect(70, 196, 100, 34, "cut"),
    Rect(106, 180, 28, 50, "steam"),
    Poly(((100, 196), (100, 164), (106, 164)), "line"),
    Rect(92, 164, 14, 40, "cut"),
    Rect(134, 164, 14, 40, "cut"),
    Rect(98, 152, 44, 12, "cut", 2),
    Poly(((82, 196), (82, 60), (98, 44), (142, 44), (158, 60), (158, 120), (236, 120)), "line"),
    Poly(((158, 196), (158, 158), (236, 158)), "line"),
    _spring(120, 62, 150, 18, 6),
    Rect(100, 54, 40, 8, "cut", 2),
    Poly(((120, 152), (120, 26)), "line"),
    Poly(((44, 22), (124, 30)), "line"),
    Circle(120, 29, 4, "solid"),
    *arrow((120, 226), (120, 186)),
    *arrow((172, 139), (226, 139)),
    Rect(236, 114, 16, 50, "cut", 2),
)

CONTROLS: Final = (
    Cutaway(
        "cutoff-float",
        "Low-water cutoff with a float",
        "The ball follows the boiler’s water and works a switch. Mud under the ball can hold it up, so that it "
        "reads wet "
        "in a dry boiler: that is what the blow-down is for.",
        ("cutoff-float",),
        360,
        250,
        _FLOAT,
        (
            tag("Steam from the boiler", 4, 40, anchor="start"),
            tag("Water", 4, 118),
            tag("Ball", 116, 100, anchor="middle"),
            tag("Switch", 229, 50, anchor="middle"),
            tag("Seal", 206, 142, (184, 114)),
            tag("Mud settles here", 206, 172, (158, 162)),
            tag("Blow-down", 206, 205, (144, 201)),
        ),
    ),
    Cutaway(
        "cutoff-probe",
        "Low-water cutoff with a probe",
        "A weak current goes from the rod through the water to the shell and back by the ground wire. Scale or "
        "foam on "
        "the rod, or a poor ground, and the control believes what the current tells it.",
        ("cutoff-probe", "cutoff-wiring"),
        360,
        240,
        _PROBE,
        (
            tag("Steam", 54, 50),
            tag("Water line", 52, 76),
            tag("Rod", 8, 118),
            tag("Scale", 60, 118),
            tag("Control", 270, 70),
            tag("Insulator", 236, 150, (182, 138)),
            tag("Shell", 154, 30, (142, 26)),
            tag("Ground wire", 252, 184),
            tag("Current’s way", 6, 222),
        ),
    ),
    Cutaway(
        "siphon-and-control",
        "Pressure control on its siphon",
        "Water that stands in the loop hands the pressure on and keeps live steam from the diaphragm. An empty "
        "loop cooks "
        "the control; a plugged one hides the pressure from it.",
        ("pressure-control", "pigtail"),
        360,
        240,
        _SIPHON,
        (
            tag("Switch", 240, 40, (208, 42)),
            tag("Setting spring", 240, 72, (162, 70)),
            tag("Diaphragm", 240, 104, (138, 78)),
            tag("Siphon: its loop|stays full of water", 160, 146, (128, 158)),
            tag("Steam side", 176, 226, (112, 205)),
        ),
    ),
    Cutaway(
        "pressure-gauge",
        "Pressure gauge",
        "Pressure straightens a bent tube a little, and a link turns the hand. A hand that does not fall back to "
        "zero, or "
        "does not move at all, tells of the tube or of a plugged siphon, not of the boiler.",
        ("pressure-gauge",),
        360,
        240,
        _GAUGE,
        (
            tag("Bent tube", 236, 44, (168, 80)),
            tag("Its free end", 236, 92, (180, 108)),
            tag("Link", 236, 136, (158, 126)),
            tag("Hand", 236, 180, (200, 175), (90, 122)),
            tag("From the siphon", 146, 228),
        ),
    ),
    Cutaway(
        "safety-valve",
        "Safety valve",
        "Steam lifts the disc against the spring and leaves by a pipe of full size that ends where it scalds nobody. "
        "Nothing may close that way: no plug, no valve, no smaller pipe.",
        ("safety-valve",),
        360,
        240,
        _SAFETY,
        (
            tag("Lever", 8, 14),
            tag("Spring", 190, 84, (140, 96)),
            tag("Disc on its seat", 176, 184, (144, 160)),
            tag("Outlet, always open", 176, 106),
            tag("Steam", 176, 222, (132, 216)),
        ),
    ),
)
