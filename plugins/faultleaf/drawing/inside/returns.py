"""How water comes home: header and equalizer, return loop, wet return, check valve, receiver and pump."""

from typing import Final

from faultleaf.drawing.inside.words import tag
from faultleaf.drawing.scene import Cutaway
from faultleaf.drawing.shapes import Circle, Poly, Rect, Shape
from faultleaf.drawing.symbols import arrow, flow, level_mark, pump

_BALANCE: Final[tuple[Shape, ...]] = (
    Rect(20, 60, 110, 160, "body", 8),
    Rect(23, 120, 104, 97, "water"),
    Poly(((23, 120), (127, 120)), "level"),
    *level_mark(46, 120),
    Rect(64, 22, 22, 40, "body"),
    Rect(66, 24, 18, 42, "steam"),
    Rect(64, 14, 182, 24, "body"),
    Rect(66, 16, 178, 20, "steam"),
    Rect(222, 36, 24, 174, "body"),
    Rect(224, 34, 20, 176, "steam"),
    Rect(224, 120, 20, 90, "water"),
    Rect(127, 186, 119, 24, "body"),
    Rect(126, 188, 118, 20, "water"),
    Rect(224, 180, 20, 28, "water"),
    Poly(((224, 120), (244, 120)), "level"),
    Poly(((20, 120), (340, 120)), "dash"),
    *arrow((75, 78), (75, 112)),
    *arrow((234, 78), (234, 112)),
    *flow(160, 26, "right"),
    *(Circle(x, 33, 1.8, "solid") for x in (110, 128, 186, 204, 216)),
    *flow(234, 160, "down"),
)

_LOOP: Final[tuple[Shape, ...]] = (
    Rect(10, 20, 90, 200, "body", 8),
    Rect(13, 106, 84, 111, "water"),
    Poly(((13, 106), (97, 106)), "level"),
    Poly(((10, 76), (196, 76)), "dash"),
    *level_mark(34, 76),
    Rect(150, 10, 24, 200, "body"),
    Rect(98, 186, 64, 24, "body"),
    Rect(152, 8, 20, 200, "steam"),
    Rect(152, 106, 20, 102, "water"),
    Rect(96, 188, 70, 20, "water"),
    Rect(172, 90, 68, 22, "body"),
    Rect(216, 90, 24, 140, "body"),
    Rect(170, 92, 68, 18, "steam"),
    Rect(218, 94, 20, 134, "steam"),
    Rect(218, 176, 20, 52, "water"),
    Poly(((218, 176), (238, 176)), "level"),
    Rect(216, 206, 134, 22, "body"),
    Rect(218, 208, 134, 18, "water"),
    Poly(((152, 106), (172, 106)), "level"),
    *(shape for x, end in ((284, 276), (298, 298), (312, 320)) for shape in arrow((x, 224), (end, 240))),
    *arrow((162, 40), (162, 88)),
    *arrow((206, 101), (228, 110), "line"),
)

_MUD: Final[tuple[Shape, ...]] = (
    Rect(0, 84, 360, 72, "cut"),
    Rect(0, 96, 360, 48, "water"),
    Poly(
        (
            (0, 128),
            (40, 124),
            (90, 118),
            (140, 106),
            (190, 102),
            (230, 110),
            (280, 124),
            (360, 130),
            (360, 144),
            (0, 144),
        ),
        "mud",
        True,
    ),
    *arrow((16, 110), (86, 106)),
    *arrow((270, 108), (340, 112)),
    Poly(((0, 176), (360, 176)), "line"),
    *(Poly(((x, 176), (x - 8, 184)), "fine") for x in range(14, 360, 14)),
)

_CHECK: Final[tuple[Shape, ...]] = tuple(
    shape
    for x, open_ in ((0, True), (184, False))
    for shape in (
        Rect(x + 4, 108, 168, 48, "cut"),
        Poly(((x + 40, 118), (x + 52, 66), (x + 128, 66), (x + 138, 118)), "cut", True, 6),
        Poly(((x + 54, 112), (x + 62, 78), (x + 118, 78), (x + 126, 112)), "water", True),
        Rect(x, 118, 176, 28, "water"),
        Rect(x + 66, 106, 10, 12, "cut"),
        Rect(x + 66, 146, 10, 10, "cut"),
        Circle(x + 84, 84, 4, "solid"),
        Poly(((x + 84, 84), (x + 118, 122)) if open_ else ((x + 80, 84), (x + 80, 146)), "line"),
        Poly(
            ((x + 102, 100), (x + 122, 124), (x + 116, 128), (x + 96, 106))
            if open_
            else ((x + 77, 112), (x + 84, 112), (x + 84, 148), (x + 77, 148)),
            "solid",
            True,
        ),
        *(arrow((x + 14, 132), (x + 58, 132)) if open_ else arrow((x + 166, 132), (x + 104, 132))),
    )
)

_RECEIVER: Final[tuple[Shape, ...]] = (
    Rect(60, 50, 170, 106, "body", 8),
    Rect(63, 104, 164, 49, "water", 4),
    Poly(((63, 104), (227, 104)), "level"),
    Poly(((96, 50), (96, 10)), "line"),
    Poly(((110, 50), (110, 10)), "line"),
    Rect(97, 8, 12, 50, "steam"),
    *arrow((103, 18), (103, 46)),
    Poly(((196, 50), (196, 22)), "line"),
    Poly(((210, 50), (210, 22)), "line"),
    Rect(197, 20, 12, 36, "steam"),
    *arrow((203, 46), (203, 24)),
    Circle(150, 102, 15, "body"),
    Poly(((164, 96), (230, 82)), "line"),
    Rect(230, 66, 44, 32, "body", 3),
    Circle(244, 82, 2.6, "solid"),
    Circle(260, 82, 2.6, "solid"),
    Poly(((244, 82), (258, 76)), "line"),
    Poly(((140, 156), (140, 196), (118, 196)), "line"),
    Poly(((154, 156), (154, 210), (118, 210)), "line"),
    Rect(141, 150, 12, 50, "water"),
    Rect(116, 197, 37, 12, "water"),
    *pump(100, 203, 22),
    Poly(((78, 196), (0, 196)), "line"),
    Poly(((78, 210), (0, 210)), "line"),
    Rect(0, 197, 78, 12, "water"),
    *arrow((66, 203), (14, 203)),
)

RETURNS: Final = (
    Cutaway(
        "equalizer",
        "Header and equalizer",
        "Drops fall out of the slow steam in the header and run down the equalizer. The same pressure stands on both "
        "columns, so the steam cannot push the boiler’s water out by the return.",
        ("equalizer", "boiler-header"),
        360,
        230,
        _BALANCE,
        (
            tag("Header", 256, 30, (248, 28)),
            tag("Equalizer", 256, 80, (248, 80)),
            tag("Water line", 256, 114),
            tag("Back to the|boiler", 256, 196, (248, 196)),
            tag("Boiler", 54, 174),
        ),
    ),
    Cutaway(
        "return-loop",
        "Return loop, with the return broken",
        "The water runs out only down to the joint of the loop: there steam enters the pipe and the flow breaks "
        "off. A "
        "return joined straight to the boiler’s bottom would empty it.",
        ("return-loop", "wet-return"),
        360,
        250,
        _LOOP,
        (
            tag("Water line before", 202, 70),
            tag("Steam gets in here", 202, 42, (190, 46), (188, 96)),
            tag("Water stays|in the boiler", 16, 150),
            tag("Broken|return", 268, 180, (298, 200)),
            tag("Short joint", 256, 108, (242, 104)),
        ),
    ),
    Cutaway(
        "wet-return",
        "Wet return, half closed by mud",
        "Mud settles where water is slow and never drained. What is left of the bore lets the condensate home "
        "late: the "
        "boiler runs low, is topped up, and is too full when it comes.",
        ("wet-return",),
        360,
        200,
        _MUD,
        (
            tag("Wall of the pipe", 20, 66, (60, 88)),
            tag("Mud", 214, 66, (200, 104)),
            tag("What is left", 262, 66, (290, 106)),
        ),
    ),
    Cutaway(
        "check-valve",
        "Swing check valve, open and shut",
        "Flow lifts the clapper, and its weight and the water behind shut it. A grain under the clapper and it "
        "lets water "
        "back; rust on the pin and it stays shut or open.",
        ("return-check-valve",),
        360,
        190,
        _CHECK,
        (
            tag("Open", 64, 180),
            tag("Shut", 250, 180),
            tag("Pin", 12, 60, (40, 56), (80, 80)),
            tag("Clapper on its seat", 196, 44, (262, 60), (266, 120)),
        ),
    ),
    Cutaway(
        "receiver",
        "Condensate receiver and its pump",
        "Condensate collects until the float starts the pump. The vent must be open: the tank stands under no "
        "pressure, and "
        "steam at the vent tells of traps that pass.",
        ("condensate-receiver", "condensate-pump"),
        360,
        240,
        _RECEIVER,
        (
            tag("In", 88, 30, anchor="end"),
            tag("Vent, open", 220, 30),
            tag("Float", 168, 134),
            tag("Float switch", 282, 86),
            tag("Pump", 130, 232),
            tag("To the boiler", 6, 230),
        ),
    ),
)
