"""The boiler with what stands on it: controls, glass, cutoffs, coil, burner, safety valve."""

from math import cos, pi, sin
from typing import Final

from faultleaf.drawing.levels import FLOOR, HEADER, WATER
from faultleaf.drawing.scene import Label, Part, Pipe
from faultleaf.drawing.shapes import Box, Circle, Point, Poly, Rect
from faultleaf.drawing.symbols import (
    arrow,
    cock,
    dial,
    flame,
    float_chamber,
    flow,
    valve,
)


def _ring(x: float, y: float, r: float, sides: int = 20) -> tuple[Point, ...]:
    """Points round a circle that begins and ends at its bottom."""
    return tuple((x + r * sin(2 * pi * n / sides), y + r * cos(2 * pi * n / sides)) for n in range(sides + 1))


BOILER: Final = (
    Part(
        "boiler",
        "Boiler block",
        "boiler-block",
        (Label(("Boiler block",), 625, 640, "middle"),),
        ground=(
            Rect(556, 928, 20, FLOOR - 928),
            Rect(674, 928, 20, FLOOR - 928),
            Rect(540, 612, 170, 318, "body", 9),
            Rect(543, WATER, 164, 148, "water"),
        ),
        hot=Box(540, 612, 170, 318),
    ),
    Part(
        "header",
        "Header and near-boiler pipes",
        "boiler-header",
        (Label(("Header",), 674, 490),),
        (*flow(595, 540, "up"), *flow(655, 540, "up"), *flow(700, HEADER, "right"), *flow(776, HEADER, "right")),
        (
            Pipe(((420, HEADER), (900, HEADER)), 22, open_at=(0,)),
            Pipe(((595, 614), (595, HEADER)), 18),
            Pipe(((655, 614), (655, HEADER)), 18),
        ),
        hot=Box(560, 446, 300, 100),
    ),
    Part(
        "header-valve",
        "Isolating valves of several boilers",
        "header-valves",
        (Label(("Valve to another boiler",), 522, 440),),
        valve(498, HEADER, 16),
    ),
    Part(
        "main-valve",
        "Main steam valve",
        "main-valve",
        (Label(("Main valve",), 716, 418, "end"),),
        valve(740, 426, 12, upright=True),
    ),
    Part(
        "pressure-gauge",
        "Pressure gauge",
        "pressure-gauge",
        (Label(("Pressure", "gauge"), 446, 496, "middle"),),
        dial(450, 541, 20),
        (Pipe(((450, 574), (450, 561)), 6, "empty"),),
    ),
    Part(
        "pressure-control",
        "Pressure control",
        "pressure-control",
        (Label(("Pressure", "control"), 517, 496, "middle"),),
        (
            Rect(494, 522, 46, 40, "body", 4),
            Poly(((503, 530), (503, 554)), "fine"),
            Poly(((499, 538), (507, 538)), "line"),
            Poly(((521, 530), (521, 554)), "fine"),
            Poly(((517, 547), (525, 547)), "line"),
        ),
        (Pipe(((480, 574), (517, 574), (517, 560)), 6, "empty"), Pipe(((480, 574), (450, 574)), 6, "empty")),
        hot=Box(494, 522, 46, 40),
    ),
    Part(
        "siphon",
        "Siphon (pigtail)",
        "pigtail",
        (Label(("Siphon",), 498, 602),),
        pipes=(
            Pipe(((480, 646), (480, 625)), 6),
            Pipe(_ring(480, 612, 13), 6, "water"),
            Pipe(((480, 600), (480, 574)), 6, "empty"),
        ),
        hot=Box(462, 574, 36, 66),
    ),
    Part(
        "cutoff-float",
        "Float of the low-water cutoff",
        "cutoff-float",
        (Label(("Cutoff", "float"), 451, 704, "end"),),
        float_chamber(456, 676, 48, 68, WATER),
        (
            Pipe(((540, 646), (480, 646), (480, 678)), 9),
            Pipe(((480, 742), (480, 845)), 9, "water", open_at=(1,)),
            Pipe(((480, 782), (540, 782)), 9, "water"),
        ),
        hot=Box(452, 640, 88, 190),
    ),
    Part(
        "blow-down",
        "Blow-down valve of the float",
        "",
        (Label(("Blow-", "down"), 458, 812, "end"),),
        valve(480, 815, 10, upright=True, wheel=False),
    ),
    Part(
        "gauge-glass",
        "Gauge glass",
        "gauge-glass",
        (Label(("Gauge", "glass"), 578, 734),),
        (
            Rect(557, 668, 11, 106, "body", 2),
            Rect(559, WATER, 7, 66, "water"),
            Poly(((558, WATER), (567, WATER)), "level"),
        ),
        hot=Box(550, 674, 25, 94),
    ),
    Part(
        "glass-cocks",
        "Gauge glass cocks",
        "gauge-glass-cocks",
        (Label(("Glass cocks",), 578, 671),),
        (*cock(562.5, 662), *cock(562.5, 780)),
        hot=Box(552, 652, 28, 138),
    ),
    Part(
        "cutoff-probe",
        "Probe of the low-water cutoff",
        "cutoff-probe",
        (Label(("Cutoff", "probe"), 720, 738, leader=((718, 743), (704, 743))),),
        (
            Rect(664, 729, 38, 28, "body", 3),
            Circle(674, 743, 5, "line"),
            Poly(((684, 738), (697, 738)), "fine"),
            Poly(((684, 747), (697, 747)), "fine"),
        ),
    ),
    Part(
        "coil",
        "Hot-water coil in the boiler",
        "tankless-coil",
        (Label(("Hot-water", "coil"), 716, 838),),
        (
            Circle(654, 805, 30),
            Circle(654, 805, 20, "fine"),
            *(
                Circle(654 + 25 * cos(pi * n / 4 + 0.39), 805 + 25 * sin(pi * n / 4 + 0.39), 2.2, "solid")
                for n in range(8)
            ),
            *arrow((772, 792), (754, 792)),
            *arrow((754, 818), (772, 818)),
        ),
        (
            Pipe(((668, 792), (750, 792)), 7, "water", open_at=(1,)),
            Pipe(((668, 818), (750, 818)), 7, "water", open_at=(1,)),
        ),
        hot=Box(620, 772, 150, 80),
    ),
    Part(
        "boiler-water",
        "Boiler water",
        "boiler-water",
        (Label(("Boiler", "water"), 556, 820),),
        hot=Box(548, 710, 154, 140),
    ),
    Part(
        "burner",
        "Burner",
        "burner",
        (Label(("Burner",), 646, 888),),
        (Rect(556, 862, 80, 54, "body", 5), *flame(576, 908, 30), *flame(598, 908, 38), *flame(620, 908, 30)),
    ),
    Part(
        "safety-valve",
        "Safety valve",
        "safety-valve",
        (Label(("Safety valve",), 708, 574),),
        (
            Rect(687, 600, 14, 13),
            Rect(684, 580, 20, 21, "body", 3),
            Poly(((688, 580), (690, 566), (698, 566), (700, 580)), "body", True),
            Poly(((694, 566), (694, 561), (678, 557))),
        ),
        (Pipe(((704, 590), (793, 590), (793, 872)), 9, "empty", over=True, open_at=(1,)),),
        hot=Box(674, 554, 36, 58),
    ),
)
