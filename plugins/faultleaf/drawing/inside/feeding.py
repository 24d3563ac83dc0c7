"""What lets water in, and what must keep it out."""

from typing import Final

from faultleaf.drawing.inside.words import tag
from faultleaf.drawing.scene import Cutaway
from faultleaf.drawing.shapes import Circle, Poly, Rect, Shape
from faultleaf.drawing.symbols import arrow, float_chamber, level_mark

_FEEDER: Final[tuple[Shape, ...]] = (
    Rect(10, 150, 96, 36, "cut"),
    Rect(6, 157, 104, 22, "water"),
    Rect(178, 150, 96, 36, "cut"),
    Rect(174, 157, 104, 22, "water"),
    Poly(((96, 186), (96, 118), (188, 118), (188, 186)), "cut", True),
    Poly(((104, 179), (104, 128), (180, 128), (180, 179)), "body", True),
    Rect(105, 157, 30, 21, "water"),
    Rect(150, 157, 30, 21, "water"),
    Rect(132, 144, 8, 42, "cut"),
    Rect(146, 144, 8, 42, "cut"),
    Rect(139, 146, 8, 34, "water"),
    Poly(((104, 132), (122, 140), (164, 140), (180, 132)), "line"),
    Rect(128, 139, 30, 6, "solid", 1),
    Circle(114, 136.5, 1.8, "solid"),
    Rect(120, 32, 44, 86, "body", 4),
    *(Poly(((124, y), (160, y)), "fine") for y in range(44, 100, 8)),
    Rect(136, 52, 12, 76, "cut", 2),
    *arrow((24, 168), (78, 168)),
    *arrow((206, 168), (260, 168)),
    Poly(((164, 60), (200, 60)), "line"),
)

_GLOBE: Final[tuple[Shape, ...]] = (
    Rect(10, 132, 80, 44, "cut"),
    Rect(230, 132, 80, 44, "cut"),
    Poly(((82, 120), (238, 120), (250, 132), (250, 186), (238, 198), (82, 198), (70, 186), (70, 132)), "cut", True, 6),
    Rect(6, 143, 90, 22, "water"),
    Rect(224, 143, 90, 22, "water"),
    Poly(((80, 132), (120, 132), (120, 152), (150, 152), (150, 188), (90, 188), (80, 178)), "water", True),
    Poly(((240, 132), (200, 132), (200, 152), (170, 152), (170, 188), (230, 188), (240, 178)), "water", True),
    Rect(134, 132, 52, 20, "water"),
    Rect(120, 152, 26, 9, "cut"),
    Rect(174, 152, 26, 9, "cut"),
    Rect(146, 152, 28, 36, "water"),
    Rect(170, 160, 14, 28, "cut"),
    Rect(138, 144, 44, 9, "solid", 2),
    Rect(155, 40, 10, 104, "cut"),
    Rect(136, 92, 48, 30, "cut", 3),
    Rect(146, 76, 28, 16, "cut", 2),
    Rect(120, 32, 80, 8, "cut", 4),
    *arrow((24, 154), (64, 154)),
    *arrow((262, 154), (302, 154)),
)

_COIL: Final[tuple[Shape, ...]] = (
    Rect(0, 14, 230, 40, "steam"),
    Rect(0, 54, 230, 176, "water"),
    Poly(((0, 54), (230, 54)), "level"),
    *level_mark(40, 54),
    Rect(230, 10, 14, 62, "cut"),
    Rect(230, 178, 14, 52, "cut"),
    Rect(244, 60, 5, 130, "solid"),
    Rect(249, 58, 15, 134, "cut", 2),
    Rect(238, 66, 34, 9, "body", 2),
    Rect(238, 175, 34, 9, "body", 2),
    Poly(((300, 98), (50, 98), (34, 110), (34, 138), (50, 150), (300, 150)), "line", corner=8),
    Poly(((300, 110), (58, 110), (46, 118), (46, 130), (58, 138), (300, 138)), "line", corner=8),
    *(Poly(((x, 92), (x, 116)), "fine") for x in range(64, 226, 8)),
    *(Poly(((x, 132), (x, 156)), "fine") for x in range(64, 226, 8)),
    *arrow((336, 144), (306, 144)),
    *arrow((306, 104), (336, 104)),
    Circle(152, 104, 3.5, "solid"),
    Poly(((152, 100), (146, 84), (158, 78)), "dash"),
)

_FLOAT_FEEDER: Final[tuple[Shape, ...]] = (
    *float_chamber(70, 34, 130, 150, 104),
    Rect(0, 54, 72, 14, "cut"),
    Rect(0, 57, 74, 8, "steam"),
    Rect(0, 152, 72, 14, "cut"),
    Rect(0, 155, 74, 8, "water"),
    Poly(((168, 112), (196, 124), (214, 150)), "line"),
    Circle(196, 124, 3, "solid"),
    Rect(198, 152, 64, 36, "cut", 3),
    Rect(210, 162, 56, 14, "water"),
    Rect(198, 166, 14, 8, "water"),
    Poly(((206, 152), (222, 152), (214, 168)), "solid", True),
    Rect(262, 158, 90, 22, "cut"),
    Rect(260, 162, 94, 14, "water"),
    *arrow((340, 169), (286, 169)),
)

_STRAINER: Final[tuple[Shape, ...]] = (
    Rect(20, 60, 320, 46, "cut", 3),
    Rect(16, 70, 328, 26, "water"),
    Poly(((126, 104), (172, 104), (250, 186), (218, 216)), "cut", True),
    Poly(((142, 98), (168, 98), (238, 182), (216, 204)), "water", True),
    Poly(((150, 74), (226, 168)), "dash"),
    Poly(((172, 74), (240, 160)), "dash"),
    Poly(((150, 74), (172, 74)), "line"),
    Poly(((206, 166), (226, 148), (240, 160), (222, 180)), "mud", True),
    Poly(((210, 222), (256, 178), (266, 188), (220, 232)), "cut", True, 3),
    *arrow((40, 83), (100, 83)),
    *arrow((240, 83), (310, 83)),
)

FEEDING: Final = (
    Cutaway(
        "feeder",
        "Automatic feeder: valve and its coil",
        "The coil lifts a small plunger; the diaphragm then opens by the water’s own pressure, and closes by it "
        "through a "
        "hole no wider than a pin. Grit on the seat lets it seep; grit in the pin hole keeps it open.",
        ("water-feeder",),
        360,
        240,
        _FEEDER,
        (
            tag("Electric coil", 206, 44, (166, 48)),
            tag("Plunger", 206, 84, (150, 90)),
            tag("Pin hole", 76, 98, (82, 98), (112, 134), anchor="end"),
            tag("Diaphragm", 206, 116, (174, 133)),
            tag("Seat", 206, 210, (152, 186)),
            tag("From the main", 10, 208),
            tag("To the boiler", 210, 142),
        ),
    ),
    Cutaway(
        "globe-valve",
        "Hand valve, shut",
        "The washer on the disc must meet all of the seat. A worn washer, a scratch across the seat or a grain of "
        "solder on "
        "it lets water through although the handle is tight.",
        ("hand-bypass-valve", "hand-fill-valve"),
        360,
        240,
        _GLOBE,
        (
            tag("Handle", 216, 40, (202, 36)),
            tag("Packing", 216, 88, (176, 85)),
            tag("Disc and washer", 216, 112, (184, 146)),
            tag("Seat", 206, 226, (190, 162)),
            tag("From the main", 8, 106),
            tag("To the boiler", 260, 222),
        ),
    ),
    Cutaway(
        "coil",
        "Hot-water coil in the boiler",
        "Tap water at the main’s pressure runs through the boiler’s water. A pinhole lets it in day and night, "
        "with every "
        "feed valve shut; the gasket at the plate can weep outward.",
        ("tankless-coil",),
        360,
        240,
        _COIL,
        (
            tag("Water line", 58, 46),
            tag("Finned tube", 60, 184, (100, 158)),
            tag("Pinhole", 100, 76),
            tag("Gasket", 270, 46, (248, 58)),
            tag("Plate", 276, 74, (266, 80)),
            tag("Hot", 310, 94),
            tag("Cold", 310, 168),
            tag("Bolts", 280, 206, (274, 182)),
        ),
    ),
    Cutaway(
        "float-feeder",
        "Mechanical float feeder",
        "The ball sinks with the boiler’s water and opens the valve, without electricity. Dirt under its seat, or "
        "a ball that "
        "has taken in water, and it feeds without end.",
        ("float-feeder",),
        360,
        220,
        _FLOAT_FEEDER,
        (
            tag("Steam", 8, 46),
            tag("Water", 8, 144),
            tag("Boiler’s level", 216, 92, (202, 102)),
            tag("Lever", 230, 130, (204, 134)),
            tag("Valve and seat", 216, 208, (222, 176)),
            tag("From the main", 262, 150),
        ),
    ),
    Cutaway(
        "strainer",
        "Strainer",
        "The screen keeps grit from the feeder’s seat. It is taken out by its cap with the water shut; full, it "
        "starves the "
        "feeder, and left out, the seat wears.",
        ("feed-strainer",),
        360,
        240,
        _STRAINER,
        (
            tag("Screen", 262, 134, (222, 134)),
            tag("Grit", 130, 190, (168, 188), (218, 166)),
            tag("Cap", 280, 206, (264, 200)),
            tag("To the feeder", 250, 50),
            tag("From the main", 24, 50),
        ),
    ),
)
