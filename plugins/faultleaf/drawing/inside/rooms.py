"""Radiators, vents and traps."""

from typing import Final

from faultleaf.drawing.inside.words import tag
from faultleaf.drawing.scene import Cutaway
from faultleaf.drawing.shapes import Circle, Poly, Rect, Shape
from faultleaf.drawing.symbols import arrow

_RADIATOR_VENT: Final[tuple[Shape, ...]] = (
    Rect(0, 20, 30, 200, "cut"),
    Rect(30, 130, 48, 22, "cut", 3),
    Rect(22, 136, 62, 10, "steam"),
    Poly(((78, 196), (78, 76), (96, 40), (132, 40), (150, 76), (150, 196)), "cut", True, 6),
    Poly(((86, 188), (86, 80), (100, 48), (128, 48), (142, 80), (142, 188)), "body", True, 4),
    Rect(76, 136, 14, 10, "steam"),
    Rect(98, 96, 32, 78, "body", 6),
    Poly(((98, 150), (130, 150)), "fine"),
    Poly(((114, 96), (114, 62)), "line"),
    Poly(((109, 66), (114, 50), (119, 66)), "solid", True),
    Rect(110, 28, 8, 22, "steam"),
    *arrow((114, 40), (114, 12)),
    Poly(((100, 180), (106, 176), (114, 182), (122, 176), (128, 180)), "line"),
    Rect(88, 182, 52, 5, "water"),
    *arrow((40, 141), (74, 141)),
)

_MAIN_VENT: Final[tuple[Shape, ...]] = (
    Rect(10, 190, 200, 36, "cut"),
    Rect(6, 198, 208, 20, "steam"),
    Rect(98, 158, 24, 36, "cut"),
    Rect(104, 150, 12, 54, "steam"),
    Rect(56, 44, 108, 116, "cut", 10),
    Rect(64, 52, 92, 100, "body", 6),
    Rect(104, 144, 12, 20, "steam"),
    Rect(86, 82, 48, 62, "body", 8),
    *(Poly(((90, y), (130, y)), "fine") for y in (98, 110, 122)),
    Poly(((110, 82), (110, 66)), "line"),
    Poly(((104, 70), (110, 54), (116, 70)), "solid", True),
    Rect(106, 30, 8, 24, "steam"),
    *arrow((110, 44), (110, 10)),
    *arrow((30, 208), (90, 208)),
    *arrow((110, 196), (110, 166)),
)

_TRAP: Final[tuple[Shape, ...]] = (
    Rect(0, 118, 80, 40, "cut"),
    Rect(0, 126, 84, 24, "steam"),
    Rect(0, 140, 84, 10, "water"),
    Poly(
        ((68, 30), (180, 30), (188, 40), (188, 164), (152, 164), (152, 236), (104, 236), (104, 164), (68, 164)),
        "cut",
        True,
        6,
    ),
    Poly(((80, 44), (176, 44), (176, 152), (140, 152), (140, 236), (116, 236), (116, 152), (80, 152)), "body", True, 4),
    Rect(76, 128, 10, 21, "steam"),
    Rect(81, 142, 94, 9, "water"),
    Rect(110, 148, 8, 18, "cut"),
    Rect(138, 148, 8, 18, "cut"),
    *(Rect(104, 56 + 13 * n, 48, 10, "body", 5) for n in range(5)),
    Rect(116, 46, 24, 10, "cut", 2),
    Poly(((120, 121), (136, 121), (134, 140), (128, 146), (122, 140)), "solid", True),
    Rect(56, 18, 144, 14, "cut", 3),
    *arrow((16, 134), (60, 134)),
    *arrow((128, 184), (128, 228)),
)

_FLOAT_TRAP: Final[tuple[Shape, ...]] = (
    Rect(0, 62, 44, 34, "cut"),
    Rect(0, 69, 52, 20, "steam"),
    Rect(40, 30, 220, 170, "cut", 10),
    Rect(52, 42, 196, 146, "body", 6),
    Rect(36, 69, 22, 20, "steam"),
    Rect(54, 122, 192, 64, "water"),
    Poly(((53, 122), (247, 122)), "level"),
    Circle(112, 120, 30, "body"),
    Poly(((138, 134), (196, 160), (218, 160)), "line"),
    Circle(196, 160, 4, "solid"),
    Poly(((212, 154), (222, 160), (212, 166)), "solid", True),
    Rect(222, 146, 10, 28, "cut"),
    Rect(226, 155, 60, 11, "water"),
    Rect(246, 146, 64, 28, "cut"),
    Rect(230, 154, 82, 12, "water"),
    *(Rect(196, 54 + 9 * n, 30, 7, "body", 3) for n in range(3)),
    Poly(((206, 81), (216, 81), (211, 92)), "solid", True),
    Rect(196, 92, 10, 8, "cut"),
    Rect(216, 92, 10, 8, "cut"),
    Poly(((211, 100), (211, 112), (238, 112), (238, 152)), "dash"),
    *arrow((8, 79), (36, 79)),
    *arrow((286, 160), (308, 160)),
)

_ONE_PIPE: Final[tuple[Shape, ...]] = (
    Rect(60, 30, 220, 130, "body", 14),
    Rect(63, 146, 214, 11, "water"),
    Poly(((62, 150), (278, 143)), "level"),
    *(Poly(((x, 44), (x, 140)), "fine") for x in range(90, 270, 30)),
    Rect(70, 160, 14, 26, "body"),
    Rect(256, 160, 14, 14, "body"),
    Rect(250, 172, 26, 14, "cut"),
    Rect(20, 132, 44, 26, "body"),
    Rect(16, 134, 26, 96, "body"),
    Rect(18, 136, 22, 92, "steam"),
    Rect(22, 136, 52, 20, "steam"),
    Rect(22, 150, 44, 6, "water"),
    Rect(19, 150, 6, 80, "water"),
    Rect(14, 122, 30, 12, "cut", 3),
    *arrow((33, 222), (33, 170)),
    *arrow((22, 176), (22, 222)),
    *arrow((60, 140), (120, 100)),
    Poly(((40, 186), (320, 186)), "line"),
    Rect(280, 84, 12, 8, "body"),
    Rect(292, 74, 18, 28, "body", 5),
)

ROOMS: Final = (
    Cutaway(
        "radiator-vent",
        "Radiator air vent",
        "Air goes out by the port until steam warms the float; the liquid in it boils, the float grows and its "
        "pin shuts "
        "the port. Dirt or a bent pin leaves it open: it spits and loses steam.",
        ("air-vents", "radiators"),
        360,
        230,
        _RADIATOR_VENT,
        (
            tag("Port", 196, 26, (122, 34)),
            tag("Pin", 196, 62, (120, 60)),
            tag("Float, partly filled|with a liquid", 196, 100, (132, 112)),
            tag("Condensate drains|back by the nipple", 196, 156, (142, 184)),
            tag("Radiator", 36, 214, (26, 204)),
        ),
    ),
    Cutaway(
        "main-vent",
        "Main vent",
        "It lets the air of a whole main out in minutes. It stands after the last take-off and back from the end, "
        "so that "
        "water shooting along the main does not strike its works.",
        ("main-vents",),
        360,
        236,
        _MAIN_VENT,
        (
            tag("Port", 196, 26, (116, 40)),
            tag("Pin", 196, 60, (118, 64)),
            tag("Element that grows|with heat", 196, 96, (136, 104)),
            tag("End of the main", 226, 190, (204, 194)),
        ),
    ),
    Cutaway(
        "thermostatic-trap",
        "Steam trap of a radiator",
        "Air and cooled water go out under the element. When steam comes, the element grows and shuts the seat. "
        "Failed open "
        "it lets steam into the return; failed shut the radiator fills with water.",
        ("steam-trap",),
        360,
        240,
        _TRAP,
        (
            tag("Cap", 216, 26, (202, 26)),
            tag("Element", 216, 70, (156, 76)),
            tag("Plug", 216, 112, (138, 130)),
            tag("Seat", 216, 148, (146, 156)),
            tag("To the return", 166, 220, (142, 222)),
            tag("From the|radiator", 4, 92),
        ),
    ),
    Cutaway(
        "float-trap",
        "Float-and-thermostatic trap",
        "The ball opens for water alone, at any temperature, and keeps a seal of water over its seat. The small "
        "element "
        "above lets the air past and shuts for steam.",
        ("steam-trap",),
        360,
        226,
        _FLOAT_TRAP,
        (
            tag("Air element", 272, 54, (230, 64)),
            tag("Air’s way", 272, 108, (242, 112)),
            tag("Seat", 272, 138, (230, 148)),
            tag("Ball", 112, 118, anchor="middle"),
            tag("Water seal", 66, 216, (80, 176)),
            tag("From the main’s end", 4, 20),
        ),
    ),
    Cutaway(
        "one-pipe",
        "One-pipe radiator",
        "Steam comes in and water goes out by the same valve, so the valve is fully open or fully shut and the "
        "radiator "
        "leans toward it. Held half open or leaning away, it holds water and hammers.",
        ("radiators", "radiator-valve"),
        360,
        236,
        _ONE_PIPE,
        (
            tag("Water runs back|to the valve", 110, 122),
            tag("Leans toward the valve", 120, 206),
            tag("Air vent", 318, 62, anchor="middle"),
            tag("Steam up, water down", 50, 228),
            tag("Valve", 14, 112),
        ),
    ),
)
