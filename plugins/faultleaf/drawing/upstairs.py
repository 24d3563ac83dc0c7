"""The upper half of the plant: radiators, the mains below their floor, and the burner's circuit drawn apart."""

from typing import Final

from faultleaf.drawing.levels import HEADER, MAIN, SLAB
from faultleaf.drawing.scene import Label, Part, Pipe
from faultleaf.drawing.shapes import Box, Circle, Poly, Rect, Shape
from faultleaf.drawing.symbols import angle_valve, arrow, flow, main_vent, radiator, radiator_vent

RADIATOR_TOP: Final = 114.0
WIRE: Final = 96.0  # height of the circuit's upper line
BRANCH: Final = 170.0  # and of the way to the feeder


def _contact(x: float, y: float, closed: bool = True) -> tuple[Shape, ...]:
    """A switch's contact: its ends are 26 units apart round x, its bar lies on them or stands off."""
    bar = y - (3.5 if closed else 10)
    return (
        Circle(x - 13, y, 2.6, "solid"),
        Circle(x + 13, y, 2.6, "solid"),
        Poly(((x - 16, bar), (x + 16, bar))),
        Poly(((x, bar), (x, bar - 7)), "fine"),
    )


_SLAB: Final = Part(
    "floor-above",
    "Floor",
    ground=(
        Poly(((0, SLAB), (1200, SLAB)), "fine"),
        Poly(((0, SLAB + 12), (1200, SLAB + 12)), "fine"),
        *(Poly(((x, SLAB + 12), (x + 12, SLAB)), "fine") for x in range(0, 1200, 24)),
    ),
)

_ONE_PIPE: Final = (
    Part(
        "one-pipe-radiator",
        "One-pipe radiator",
        "radiators",
        (Label(("One-pipe radiator",), 261, 98, "middle"),),
        radiator(186, RADIATOR_TOP, 7, 112),
        (Pipe(((166, MAIN), (166, 216)), 11, over=True),),
        hot=Box(140, 96, 220, 150),
    ),
    Part(
        "supply-valve-one",
        "Supply valve",
        "radiator-valve",
        (Label(("Supply valve",), 142, 200, "end"),),
        angle_valve(166, 206),
    ),
    Part("radiator-vent", "Radiator air vent", "air-vents", (Label(("Air vent",), 342, 196),), radiator_vent(336, 160)),
    Part("main-vent", "Main vent", "main-vents", (Label(("Main vent",), 86, 282),), main_vent(66, MAIN - 8)),
    Part(
        "steam-main",
        "Steam main",
        "steam-main",
        (Label(("Steam main, falling", "toward its end"), 230, 352),),
        (
            *arrow((218, 348), (186, 353)),
            *flow(700, MAIN, "left"),
            *flow(270, MAIN, "left"),
            *flow(110, MAIN, "left"),
            *flow(740, 390, "up"),
            *flow(166, 284, "up"),
        ),
        (Pipe(((740, HEADER), (740, MAIN), (24, MAIN)), 16),),
        hot=Box(120, 290, 240, 60),
    ),
)

_CIRCUIT: Final = (
    Part(
        "circuit",
        "The burner's circuit",
        "burner-circuit",
        (Label(("The burner’s circuit, drawn apart",), 600, 60, "middle"),),
        ground=(Rect(424, 38, 352, 180, "face", 8),),
        shapes=(Circle(440, WIRE, 4), Circle(762, WIRE, 4)),
        hot=Box(430, 44, 340, 168),
    ),
    Part(
        "circuit-words",
        "Wet and dry",
        labels=(Label(("wet",), 652, 86), Label(("dry",), 634, 190, "middle")),
    ),
    Part(
        "thermostat",
        "Thermostat",
        "thermostat",
        (Label(("Thermostat",), 480, 124, "middle"),),
        _contact(480, WIRE),
        hot=Box(446, 80, 68, 48),
    ),
    Part(
        "circuit-pressure",
        "Pressure control in the circuit",
        "pressure-control",
        (Label(("Pressure", "control"), 558, 124, "middle"),),
        _contact(558, WIRE),
        hot=Box(530, 80, 56, 62),
        apart=True,
    ),
    Part(
        "relay",
        "Relay of the cutoff",
        "cutoff-relay",
        (Label(("Cutoff", "relay"), 644, 130),),
        (*_contact(634, WIRE), *_contact(634, BRANCH, closed=False), Poly(((634, WIRE), (634, BRANCH - 18)), "dash")),
    ),
    Part(
        "circuit-burner",
        "Burner in the circuit",
        "burner",
        (Label(("Burner",), 718, 132, "middle"),),
        (Circle(718, WIRE, 17), Poly(((706, WIRE - 12), (730, WIRE + 12))), Poly(((706, WIRE + 12), (730, WIRE - 12)))),
        apart=True,
    ),
    Part(
        "circuit-board",
        "Feeder control board in the circuit",
        "feeder-control-board",
        (Label(("Feeder board",), 712, 202, "middle"),),
        (Rect(690, BRANCH - 13, 44, 26, "body", 3), Poly(((698, BRANCH), (726, BRANCH)), "fine")),
        apart=True,
    ),
    Part(
        "wiring",
        "Wiring and ground of the cutoff",
        "cutoff-wiring",
        (Label(("Cutoff wiring",), 588, 176, "end"),),
        (
            Poly(((444, WIRE), (467, WIRE))),
            Poly(((493, WIRE), (545, WIRE))),
            Poly(((571, WIRE), (621, WIRE))),
            Poly(((647, WIRE), (701, WIRE))),
            Poly(((735, WIRE), (758, WIRE))),
            Circle(600, WIRE, 3, "solid"),
            Poly(((600, WIRE), (600, BRANCH), (621, BRANCH))),
            Poly(((647, BRANCH), (690, BRANCH))),
            Poly(((734, BRANCH), (750, BRANCH), (750, WIRE))),
            Circle(750, WIRE, 3, "solid"),
        ),
        hot=Box(500, 80, 150, 110),
    ),
)

_TWO_PIPE: Final = (
    Part(
        "two-pipe-radiator",
        "Two-pipe radiator",
        "radiators",
        (Label(("Two-pipe radiator",), 1015, 98, "middle"),),
        radiator(951, RADIATOR_TOP, 6, 112),
        (Pipe(((936, MAIN), (936, 144)), 11, over=True),),
        hot=Box(930, 96, 160, 150),
    ),
    Part(
        "supply-valve-two",
        "Supply valve",
        "radiator-valve",
        (Label(("Supply", "valve"), 914, 130, "end"),),
        angle_valve(936, 134),
    ),
    Part(
        "radiator-trap",
        "Radiator trap",
        "steam-trap",
        (Label(("Steam trap",), 1118, 212),),
        (
            Rect(1079, 209, 11, 7, "body"),
            Rect(1089, 203, 22, 18, "body", 3),
            Rect(1091, 194, 18, 9, "body", 3),
            Poly(((1091, 199), (1109, 199)), "fine"),
        ),
    ),
    Part(
        "dry-return",
        "Dry return",
        "",
        (Label(("Dry return",), 1112, 352),),
        flow(1100, 376, "down"),
        (Pipe(((1100, 220), (1100, 775)), 11, "empty", over=True),),
        hot=Box(1060, 300, 130, 80),
    ),
    Part(
        "second-main",
        "Steam main of the two-pipe side",
        "steam-main",
        (Label(("Steam main",), 856, 348),),
        (
            Poly(((1001, 453), (1019, 453)), "line"),
            *flow(840, 390, "up"),
            *flow(900, MAIN, "right"),
            *flow(936, 284, "up"),
        ),
        (Pipe(((840, HEADER), (840, MAIN), (1010, MAIN), (1010, 452)), 16, open_at=(1,)),),
        hot=Box(830, 290, 190, 60),
    ),
)

UPSTAIRS: Final = (_SLAB, *_ONE_PIPE, *_CIRCUIT, *_TWO_PIPE)
