"""The lower half of the plant: how water comes in, the boiler with its controls, how water comes home."""

from math import cos, pi, sin
from typing import Final

from faultleaf.drawing.levels import FLOOR, HEADER, LOOP, MAIN, RETURN, WATER
from faultleaf.drawing.scene import Label, Part, Pipe
from faultleaf.drawing.shapes import Box, Circle, Point, Poly, Rect
from faultleaf.drawing.symbols import (
    arrow,
    check_valve,
    cock,
    dial,
    drain_cock,
    flame,
    float_chamber,
    flow,
    hatched,
    level_mark,
    pump,
    span,
    strainer,
    valve,
)


def _ring(x: float, y: float, r: float, sides: int = 20) -> tuple[Point, ...]:
    """Points round a circle that begins and ends at its bottom."""
    return tuple((x + r * sin(2 * pi * n / sides), y + r * cos(2 * pi * n / sides)) for n in range(sides + 1))


_GROUND: Final = Part("cellar-floor", "Cellar floor", ground=hatched(0, FLOOR, 1200, 16))

_FEED: Final = (
    Part(
        "feed-pipe", "Feed pipe", "feed-pipe", (Label(("Feed pipe",), 46, 450),), (*valve(84, 470, 10), *flow(228, 470, "right", 3), *flow(376, 600, "down", 3)),
        (Pipe(((58, 470), (376, 470)), 8, "water", open_at=(0,)), Pipe(((240, 470), (240, 726), (286, 726)), 8, "water"),
         Pipe(((376, 470), (376, RETURN)), 8, "water", over=True)),
        hot=Box(46, 440, 210, 50),
    ),
    Part(
        "reducing-valve", "Pressure reducing valve", "pressure-reducing-valve",
        (Label(("Reducing", "valve"), 124, 500, "middle"),),
        (Poly(((114, 466), (116, 450), (124, 444), (132, 450), (134, 466)), "body", True, 3), *valve(124, 470, wheel=False)),
    ),
    Part(
        "backflow-preventer", "Backflow preventer", "", (Label(("Backflow", "preventer"), 196, 500, "middle"),),
        (Rect(174, 461, 44, 18, "body", 3), Poly(((184, 464), (190, 476)), "line"), Poly(((202, 464), (208, 476)), "line"),
         Poly(((196, 479), (196, 486)), "line")),
    ),
    Part("strainer", "Strainer in the feed pipe", "feed-strainer", (Label(("Strainer",), 284, 512, "middle"),),
         strainer(276, 470)),
    Part(
        "feeder", "Automatic water feeder", "water-feeder", (Label(("Feeder",), 334, 475, "middle"),),
        (Rect(305, 449, 58, 42, "body", 4),),
    ),
    Part(
        "feeder-board", "Feeder control board", "feeder-control-board", (Label(("Feeder’s board",), 306, 436, "end"),),
        (Rect(314, 424, 40, 25, "body", 3), Circle(322, 432, 2.4, "solid"), Poly(((328, 432), (346, 432)), "fine"),
         Poly(((320, 441), (346, 441)), "fine")),
    ),
    Part(
        "bypass", "Hand bypass valve", "hand-bypass-valve", (Label(("Hand bypass",), 308, 577, "middle"),),
        valve(308, 548, 10), (Pipe(((240, 548), (376, 548)), 8, "water"),), hot=Box(250, 528, 120, 54),
    ),
    Part(
        "hand-fill", "Hand fill valve", "hand-fill-valve", (Label(("Hand fill valve",), 308, 647, "middle"),),
        valve(308, 618, 10), (Pipe(((240, 618), (376, 618)), 8, "water"),), hot=Box(250, 598, 120, 54),
    ),
    Part(
        "float-feeder", "Mechanical float feeder", "float-feeder", (Label(("Mechanical", "float feeder"), 254, 778),),
        float_chamber(286, 676, 54, 66, WATER),
        (Pipe(((340, 726), (376, 726)), 8, "water"), Pipe(((313, 676), (313, 662)), 8, open_at=(1,)),
         Pipe(((313, 742), (313, 757)), 8, "water", open_at=(1,))),
        hot=Box(280, 662, 66, 95),
    ),
    Part(
        "hot-water-loop", "Hot-water loop off the boiler", "hot-water-loop",
        (Label(("Hot-water loop",), 131, 798, "middle"),),
        (Rect(56, 808, 150, 28, "body", 3), *(Poly(((x, 812), (x, 832)), "fine") for x in range(66, 202, 9)),
         *pump(300, 896, 13)),
        (Pipe(((540, 896), (44, 896), (44, 822), (56, 822)), 8, "water"),
         Pipe(((206, 822), (222, 822), (222, 862), (540, 862)), 8, "water")),
        hot=Box(40, 790, 290, 124),
    ),
    Part(
        "wet-return", "Wet return", "wet-return",
        (Label(("Wet return",), 60, 930), Label(("Wet return", "and its drain"), 1026, 938)),
        (*drain_cock(985, RETURN), *flow(24, 650, "down"), *flow(200, RETURN, "right"), *flow(640, RETURN, "right"),
         *flow(920, RETURN, "right")),
        (Pipe(((24, MAIN), (24, WATER)), 12), Pipe(((24, WATER), (24, RETURN), (985, RETURN)), 12, "water")),
        hot=Box(900, 860, 130, 100),
    ),
)  # fmt: skip

_BOILER: Final = (
    Part(
        "boiler", "Boiler block", "boiler-block", (Label(("Boiler block",), 625, 634, "middle"),),
        ground=(
            Rect(556, 928, 20, FLOOR - 928), Rect(674, 928, 20, FLOOR - 928), Rect(540, 612, 170, 318, "body", 9),
            Rect(543, WATER, 164, 148, "water"),
        ),
        hot=Box(540, 612, 170, 318),
    ),
    Part(
        "header", "Header and near-boiler pipes", "boiler-header", (Label(("Header",), 674, 490),),
        (*flow(595, 540, "up"), *flow(655, 540, "up"), *flow(700, HEADER, "right"), *flow(800, HEADER, "right")),
        (Pipe(((420, HEADER), (900, HEADER)), 22, open_at=(0,)), Pipe(((595, 614), (595, HEADER)), 18),
               Pipe(((655, 614), (655, HEADER)), 18)),
        hot=Box(560, 446, 300, 100),
    ),
    Part(
        "header-valve", "Isolating valves of several boilers", "header-valves",
        (Label(("Valve to another boiler",), 522, 440),), valve(498, HEADER, 16),
    ),
    Part(
        "pressure-gauge", "Pressure gauge", "pressure-gauge", (Label(("Pressure", "gauge"), 446, 496, "middle"),),
        dial(450, 541, 20), (Pipe(((450, 574), (450, 561)), 6, "empty"),),
    ),
    Part(
        "pressure-control", "Pressure control", "pressure-control",
        (Label(("Pressure", "control"), 517, 496, "middle"),),
        (Rect(494, 522, 46, 40, "body", 4), Poly(((503, 530), (503, 554)), "fine"), Poly(((499, 538), (507, 538)), "line"),
         Poly(((521, 530), (521, 554)), "fine"), Poly(((517, 547), (525, 547)), "line")),
        (Pipe(((480, 574), (517, 574), (517, 560)), 6, "empty"), Pipe(((480, 574), (450, 574)), 6, "empty")),
        hot=Box(494, 522, 46, 40),
    ),
    Part(
        "siphon", "Siphon (pigtail)", "pigtail", (Label(("Siphon",), 498, 602),),
        pipes=(Pipe(((480, 646), (480, 625)), 6), Pipe(_ring(480, 612, 13), 6, "water"), Pipe(((480, 600), (480, 574)), 6, "empty")),
        hot=Box(462, 574, 36, 66),
    ),
    Part(
        "cutoff-float", "Float of the low-water cutoff", "cutoff-float", (Label(("Cutoff", "float"), 451, 704, "end"),),
        float_chamber(456, 676, 48, 68, WATER),
        (Pipe(((540, 646), (480, 646), (480, 678)), 9), Pipe(((480, 742), (480, 845)), 9, "water", open_at=(1,)),
         Pipe(((480, 782), (540, 782)), 9, "water")),
        hot=Box(452, 640, 88, 190),
    ),
    Part("blow-down", "Blow-down valve of the float", "", (Label(("Blow-", "down"), 458, 812, "end"),),
         valve(480, 815, 10, upright=True, wheel=False)),
    Part(
        "gauge-glass", "Gauge glass", "gauge-glass", (Label(("Gauge", "glass"), 578, 734),),
        (Rect(557, 668, 11, 106, "body", 2), Rect(559, WATER, 7, 66, "water"), Poly(((558, WATER), (567, WATER)), "level")),
    ),
    Part(
        "glass-cocks", "Gauge glass cocks", "gauge-glass-cocks", (Label(("Glass cocks",), 578, 671),),
        (*cock(562.5, 662), *cock(562.5, 780)), hot=Box(552, 652, 28, 138),
    ),
    Part(
        "cutoff-probe", "Probe of the low-water cutoff", "cutoff-probe",
        (Label(("Cutoff", "probe"), 720, 738, leader=((718, 743), (704, 743))),),
        (Rect(664, 729, 38, 28, "body", 3), Circle(674, 743, 5, "line"), Poly(((684, 738), (697, 738)), "fine"),
         Poly(((684, 747), (697, 747)), "fine")),
    ),
    Part(
        "coil", "Hot-water coil in the boiler", "tankless-coil", (Label(("Hot-water", "coil"), 716, 838),),
        (Circle(654, 805, 30), Circle(654, 805, 20, "fine"),
         *(Circle(654 + 25 * cos(pi * n / 4 + 0.39), 805 + 25 * sin(pi * n / 4 + 0.39), 2.2, "solid") for n in range(8)),
         *arrow((772, 792), (754, 792)), *arrow((754, 818), (772, 818))),
        (Pipe(((668, 792), (750, 792)), 7, "water", open_at=(1,)), Pipe(((668, 818), (750, 818)), 7, "water", open_at=(1,))),
        hot=Box(620, 772, 150, 80),
    ),
    Part(
        "boiler-water", "Boiler water", "boiler-water", (Label(("Boiler", "water"), 556, 820),),
        hot=Box(548, 710, 154, 140),
    ),
    Part(
        "burner", "Burner", "burner", (Label(("Burner",), 646, 888),),
        (Rect(556, 862, 80, 54, "body", 5), *flame(576, 908, 30), *flame(598, 908, 38), *flame(620, 908, 30)),
    ),
    Part(
        "safety-valve", "Safety valve", "safety-valve", (Label(("Safety valve",), 708, 574),),
        (Rect(687, 600, 14, 13), Rect(684, 580, 20, 21, "body", 3), Poly(((688, 580), (690, 566), (698, 566), (700, 580)), "body", True),
         Poly(((694, 566), (694, 561), (678, 557)))),
        (Pipe(((704, 590), (793, 590), (793, 872)), 9, "empty", over=True, open_at=(1,)),),
        hot=Box(674, 554, 36, 58),
    ),
)  # fmt: skip

_RETURN: Final = (
    Part(
        "equalizer", "Equalizer", "equalizer", (Label(("Equalizer",), 914, 600),),
        (*flow(900, 640, "down"), *flow(800, 900, "left")), (Pipe(((900, HEADER), (900, WATER)), 14), Pipe(((900, WATER), (900, 900), (710, 900)), 14, "water")),
        hot=Box(880, 520, 110, 170),
    ),
    Part(
        "water-line", "Water level and make-up", "make-up-water", (Label(("Water line",), 808, 724),),
        (Poly(((438, WATER), (1040, WATER)), "dash"), *level_mark(606, WATER), *level_mark(1028, WATER)),
        hot=Box(800, 690, 90, 40),
    ),
    Part(
        "height", "Height of the header above the water line", "",
        (Label(("24 in.", "or more"), 862, 570, "end"),), span((872, HEADER + 12), (872, WATER - 2)),
    ),
    Part(
        "return-loop", "Return loop at the boiler", "return-loop",
        (Label(("Return loop", "(Hartford loop)"), 974, 672),
         Label(("2 to 4 in. below", "the water line"), 974, 744)),
        flow(960, 800, "up"), (Pipe(((960, RETURN), (960, LOOP), (900, LOOP)), 12, "water"),),
        hot=Box(890, 650, 180, 120),
    ),
    Part(
        "float-trap", "Float trap at the main’s end", "steam-trap", (Label(("Float trap",), 1020, 468),),
        (*float_chamber(1034, 408, 46, 38, 430), Circle(1072, 416, 4, "fine")),
        (Pipe(((1010, 424), (1036, 424)), 9), Pipe(((1078, 436), (1100, 436)), 9, "empty")),
        hot=Box(1012, 404, 92, 70),
    ),
    Part(
        "receiver", "Condensate receiver", "condensate-receiver", (Label(("Receiver",), 1126, 796, "middle"), Label(("Vent",), 1160, 740, "end")),
        (Rect(1130, 841, 8, FLOOR - 841), Rect(1166, 841, 8, FLOOR - 841), Rect(1066, 775, 118, 66, "body", 6),
         Rect(1069, 806, 112, 32, "water", 4), Poly(((1069, 806), (1181, 806)), "level")),
        (Pipe(((1168, 775), (1168, 724)), 8, "empty", open_at=(1,)), Pipe(((1120, 841), (1120, 882), (1070, 882)), 9, "water")),
        hot=Box(1060, 720, 130, 130),
    ),
    Part(
        "condensate-pump", "Condensate pump", "condensate-pump", (Label(("Pump",), 1055, 917, "middle"),),
        pump(1055, 882, 17), (Pipe(((1040, 882), (960, 882)), 9, "water"),), hot=Box(1032, 860, 46, 62),
    ),
    Part(
        "check-valve", "Check valve in the pump’s discharge", "return-check-valve",
        (Label(("Check", "valve"), 1003, 838, "middle"),), check_valve(1003, 882),
    ),
)  # fmt: skip

CELLAR: Final = (_GROUND, *_FEED, *_BOILER, *_RETURN)
