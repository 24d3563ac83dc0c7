"""The lower half of the plant: how water comes in, how water comes home."""

from typing import Final

from faultleaf.drawing.levels import FLOOR, HEADER, LOOP, MAIN, RETURN, WATER
from faultleaf.drawing.scene import Label, Part, Pipe
from faultleaf.drawing.shapes import Box, Circle, Poly, Rect
from faultleaf.drawing.symbols import (
    check_valve,
    drain_cock,
    float_chamber,
    flow,
    hatched,
    level_mark,
    pump,
    span,
    strainer,
    valve,
)

_GROUND: Final = Part("cellar-floor", "Cellar floor", ground=hatched(0, FLOOR, 1200, 16))

_FEED: Final = (
    Part(
        "feed-pipe",
        "Feed pipe",
        "feed-pipe",
        (Label(("Feed pipe",), 46, 450),),
        (*valve(84, 470, 10), *flow(228, 470, "right", 3), *flow(376, 600, "down", 3)),
        (
            Pipe(((58, 470), (376, 470)), 8, "water", open_at=(0,)),
            Pipe(((240, 470), (240, 726), (286, 726)), 8, "water"),
            Pipe(((376, 470), (376, RETURN)), 8, "water", over=True),
        ),
        hot=Box(46, 440, 210, 50),
    ),
    Part(
        "reducing-valve",
        "Pressure reducing valve",
        "pressure-reducing-valve",
        (Label(("Reducing", "valve"), 124, 500, "middle"),),
        (
            Poly(((114, 466), (116, 450), (124, 444), (132, 450), (134, 466)), "body", True, 3),
            *valve(124, 470, wheel=False),
        ),
    ),
    Part(
        "backflow-preventer",
        "Backflow preventer",
        "",
        (Label(("Backflow", "preventer"), 196, 500, "middle"),),
        (
            Rect(174, 461, 44, 18, "body", 3),
            Poly(((184, 464), (190, 476)), "line"),
            Poly(((202, 464), (208, 476)), "line"),
            Poly(((196, 479), (196, 486)), "line"),
        ),
    ),
    Part(
        "strainer",
        "Strainer in the feed pipe",
        "feed-strainer",
        (Label(("Strainer",), 284, 512, "middle"),),
        strainer(276, 470),
    ),
    Part(
        "feeder",
        "Automatic water feeder",
        "water-feeder",
        (Label(("Feeder",), 334, 475, "middle"),),
        (Rect(305, 449, 58, 42, "body", 4),),
    ),
    Part(
        "feeder-board",
        "Feeder control board",
        "feeder-control-board",
        (Label(("Feeder’s board",), 306, 436, "end"),),
        (
            Rect(314, 424, 40, 25, "body", 3),
            Circle(322, 432, 2.4, "solid"),
            Poly(((328, 432), (346, 432)), "fine"),
            Poly(((320, 441), (346, 441)), "fine"),
        ),
    ),
    Part(
        "bypass",
        "Hand bypass valve",
        "hand-bypass-valve",
        (Label(("Hand bypass",), 308, 577, "middle"),),
        valve(308, 548, 10),
        (Pipe(((240, 548), (376, 548)), 8, "water"),),
        hot=Box(250, 528, 120, 54),
    ),
    Part(
        "hand-fill",
        "Hand fill valve",
        "hand-fill-valve",
        (Label(("Hand fill valve",), 308, 647, "middle"),),
        valve(308, 618, 10),
        (Pipe(((240, 618), (376, 618)), 8, "water"),),
        hot=Box(250, 598, 120, 54),
    ),
    Part(
        "float-feeder",
        "Mechanical float feeder",
        "float-feeder",
        (Label(("Mechanical", "float feeder"), 254, 778),),
        float_chamber(286, 676, 54, 66, WATER),
        (
            Pipe(((340, 726), (376, 726)), 8, "water"),
            Pipe(((313, 676), (313, 662)), 8, open_at=(1,)),
            Pipe(((313, 742), (313, 757)), 8, "water", open_at=(1,)),
        ),
        hot=Box(280, 662, 66, 95),
    ),
    Part(
        "hot-water-loop",
        "Hot-water loop off the boiler",
        "hot-water-loop",
        (Label(("Hot-water loop",), 131, 798, "middle"),),
        (
            Rect(56, 808, 150, 28, "body", 3),
            *(Poly(((x, 812), (x, 832)), "fine") for x in range(66, 202, 9)),
            *pump(300, 896, 13),
        ),
        (
            Pipe(((540, 896), (44, 896), (44, 822), (56, 822)), 8, "water"),
            Pipe(((206, 822), (222, 822), (222, 862), (540, 862)), 8, "water"),
        ),
        hot=Box(40, 790, 290, 124),
    ),
    Part(
        "wet-return",
        "Wet return",
        "wet-return",
        (Label(("Wet return", "and its drain"), 1026, 938), Label(("Wet return",), 60, 930)),
        (
            *drain_cock(985, RETURN),
            *flow(24, 650, "down"),
            *flow(200, RETURN, "right"),
            *flow(640, RETURN, "right"),
            *flow(920, RETURN, "right"),
        ),
        (Pipe(((24, MAIN), (24, WATER)), 12), Pipe(((24, WATER), (24, RETURN), (985, RETURN)), 12, "water")),
        hot=Box(900, 860, 130, 100),
    ),
)

_RETURN: Final = (
    Part(
        "equalizer",
        "Equalizer",
        "equalizer",
        (Label(("Equalizer",), 914, 600),),
        (*flow(900, 640, "down"), *flow(840, 900, "left")),
        (Pipe(((900, HEADER), (900, WATER)), 14), Pipe(((900, WATER), (900, 900), (710, 900)), 14, "water")),
        hot=Box(880, 520, 110, 170),
    ),
    Part(
        "water-line",
        "Water level and make-up",
        "make-up-water",
        (Label(("Water line",), 808, 724),),
        (Poly(((438, WATER), (1040, WATER)), "dash"), *level_mark(606, WATER), *level_mark(1028, WATER)),
        hot=Box(800, 690, 90, 40),
    ),
    Part(
        "height",
        "Height of the header above the water line",
        "",
        (Label(("24 in.", "or more"), 862, 570, "end"),),
        span((872, HEADER + 12), (872, WATER - 2)),
    ),
    Part(
        "return-loop",
        "Return loop at the boiler",
        "return-loop",
        (Label(("Return loop", "(Hartford loop)"), 974, 672), Label(("2 to 4 in. below", "the water line"), 974, 744)),
        flow(960, 800, "up"),
        (Pipe(((960, RETURN), (960, LOOP), (900, LOOP)), 12, "water"),),
        hot=Box(890, 650, 180, 120),
    ),
    Part(
        "float-trap",
        "Float trap at the main’s end",
        "steam-trap",
        (Label(("Float trap",), 1020, 468),),
        (*float_chamber(1034, 408, 46, 38, 430), Circle(1072, 416, 4, "fine")),
        (Pipe(((1010, 424), (1036, 424)), 9), Pipe(((1078, 436), (1100, 436)), 9, "empty")),
        hot=Box(1012, 404, 92, 70),
    ),
    Part(
        "receiver",
        "Condensate receiver",
        "condensate-receiver",
        (Label(("Receiver",), 1126, 796, "middle"), Label(("Vent",), 1160, 740, "end")),
        (
            Rect(1130, 841, 8, FLOOR - 841),
            Rect(1166, 841, 8, FLOOR - 841),
            Rect(1066, 775, 118, 66, "body", 6),
            Rect(1069, 806, 112, 32, "water", 4),
            Poly(((1069, 806), (1181, 806)), "level"),
        ),
        (
            Pipe(((1168, 775), (1168, 724)), 8, "empty", open_at=(1,)),
            Pipe(((1120, 841), (1120, 882), (1070, 882)), 9, "water"),
        ),
        hot=Box(1060, 720, 130, 130),
    ),
    Part(
        "condensate-pump",
        "Condensate pump",
        "condensate-pump",
        (Label(("Pump",), 1055, 917, "middle"),),
        pump(1055, 882, 17),
        (Pipe(((1040, 882), (960, 882)), 9, "water"),),
        hot=Box(1032, 860, 46, 62),
    ),
    Part(
        "check-valve",
        "Check valve in the pump’s discharge",
        "return-check-valve",
        (Label(("Check", "valve"), 1003, 838, "middle"),),
        check_valve(1003, 882),
    ),
)

CELLAR: Final = (_GROUND, *_FEED, *_RETURN)
