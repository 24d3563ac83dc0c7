"""A small invented library with all ways in which a call may end, and a chart of it written by hand."""

from faultleaf.diagnosis import HAND_ON, Box, Exit, Plan

from tests.library import Entries

CARDS: Entries = {
    "symptoms/stops": {"first": [{"test": "look", "because": "it comes first"}], "unlisted": "seldom"},
    "cautions/dry": {"signal": "danger"},
    "tests/look": {
        "outcomes": {"water": "Water", "empty": "No water"},
        "otherwise": {"water": 0.8, "empty": 0.2},
        "stops": {"empty": {"caution": "dry", "allows": ["cold-look"]}},
        "takes": "2 min",
    },
    "tests/cold-look": {
        "outcomes": {"sound": "Sound", "damaged": "Damaged"},
        "otherwise": {"sound": 0.7, "damaged": 0.3},
        "renews": {"look": {"sound": "water"}},
        "needs": {"look": "empty"},
        "takes": "20 min",
    },
    "tests/hold": {"outcomes": {"rises": "Rises", "stays": "Stays"}, "otherwise": "stays", "wait": "20 min"},
    "faults/valve": {
        "symptoms": {"stops": "often"}, "shows": {"hold": "rises"},
        "repair": {"title": "Mend it", "takes": "30 min", "proof": "watch"},
    },
    "faults/lead": {
        "symptoms": {"stops": "often"}, "shows": {"hold": "stays"},
        "repair": {"title": "Mend it", "takes": "20 min", "fixes": "usually", "proof": "watch"},
    },
    "faults/section": {
        "symptoms": {"stops": "often"}, "shows": {"hold": "rises, nearly-always", "look": "empty"},
        "repair": {"title": "Mend it", "takes": "9 h", "quote": "yes", "proof": "watch"},
    },
    "proofs/watch": {"takes": "10 min"},
}  # fmt: skip
"""A glass that may be empty (a stop that a cold look lifts), two faults to repair and one to quote."""


def box(name: str, kind: str, steps: tuple[str, ...], **exits: str | None) -> Box:
    ways = tuple(Exit(outcome.replace("_", "-"), 0.0, target) for outcome, target in exits.items())
    return Box(name, kind, steps, 0.0, 0.0, ways, ())  # type: ignore[arg-type]


CHART = Plan(
    (
        box("b1", "test", ("look",), water="b3", empty="b2"),
        box("b2", "test", ("cold-look",), sound="b3", damaged="b7"),
        box("b3", "test", ("hold",), rises="b4", stays="b6"),
        box("b4", "repair", ("valve", "section", "lead"), cured=None, still_there="b5"),
        box("b5", "test", ("cold-look",), sound="b7", damaged="b7"),
        box("b6", "repair", ("lead",), cured=None, still_there="b7"),
        box("b7", HAND_ON, ()),
    ),
    "b1",
    0.0,
    0.0,
)
"""Written by hand: handing on is one box, entered from a stopped path and from others; a quote in mid-run."""
