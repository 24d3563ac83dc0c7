"""A small invented library with everything that a page can show, and its pages.

Wherever an author writes free text stands the sign `§`: `with_text` puts something else there, such as
markup that intake would have refused.
"""

from collections.abc import Mapping
from dataclasses import fields, is_dataclass, replace
from pathlib import Path
from typing import Any, TypeVar
from unittest.mock import patch

from faultleaf.cards import Library
from faultleaf.diagnosis import Effort
from faultleaf.pages import SitePage, make_pages
from faultleaf.pipeline import figures
from faultleaf.pipeline.fonts import load_metrics
from faultleaf.pipeline.work import work_library
from pydantic import BaseModel

from tests.library import Entries, make_library

T = TypeVar("T")
MARK = "§"
METRICS = load_metrics()
QUICK = Effort(states=50, outlook=50, shakings=2)

EVERYTHING: Entries = {
    "site": {
        "title": "A site§", "invented": "Invented§ for tests.", "notice": "Local code§ prevails here.",
        "telephone": "+1 (555) 0199", "call": "somebody licensed§",
        "notices": [
            {"place": "Osselmere§", "text": "Ask the district§ first.", "source": "Bylaw§ 4", "date": "2026-02-03"},
        ],
    },
    "sources": {"book": {
        "title": "A book§", "by": "A body§", "year": "1999", "part": "Part§ 2", "seen": "from memory§",
        "note": "Dated§.",
    }},
    "equipment": {"feed": {
        "title": "Water feed§", "asks": "How§ is water fed?", "basis": "judgement",
        "values": {"automatic": {"title": "By a feeder§", "share": 0.6}, "manual": {"title": "By hand§", "share": 0.4}},
    }},
    "symptoms/overfills": {
        "title": "Overfills§", "also_said": ["the glass§ is full"], "make_safe": ["scald"], "reviewed": "2026-01-02",
        "first": [{"test": "look", "because": "all§ else relies on it"}], "sources": ["book"],
        "variants": {"automatic§ feed": {"feed": "automatic"}, "fed by hand": {"feed": "manual"}},
        "body": "Lead.\n\n## What it means\n\nMore comes in.\n\n## Extra§ part\n\nOwn words.\n",
    },
    "symptoms/gas": {
        "title": "Gas§", "emergency": "yes", "make_safe": ["scald"], "variants": {"fed by hand": {"feed": "manual"}},
    },
    "symptoms/bangs": {"title": "Bangs§"},
    "faults/valve": {
        "title": "Valve§ passes", "component": "feeder", "found_on": {"feed": "automatic"}, "cue": "Hisses§",
        "symptoms": {"overfills": "often", "gas": "seldom"}, "cautions": ["scald"],
        "basis_of": {"how_common": "source book"},
        "shows": {"hold": "rises, nearly-always", "probe": {"low": "0.7"}},
        "repairs": [
            {
                "title": "Rebuild§ it", "takes": "50 min", "who": "licensed", "proof": "log", "parts": ["Seat§ kit"],
                "prove_first": ["Listen§ to it"], "also_fixes": {"drip": "half"}, "cautions": ["wet"],
                "found_on": {"feed": "automatic"},
            },
            {
                "title": "Swap§ it", "takes": "90 min", "proof": "log", "quote": "yes",
                "mends": {"probe": "low"}, "restore": {"probe": "middle"},
            },
        ],
        "comes_from": {"drip": "often"}, "look_alikes": {"drip": "drips§ also when cold", "bypass": "is quiet§"},
        "body": "Lead.\n\n## What happens\n\nIt passes.\n\n## How to confirm\n\n1. Hold.\n\n## Repair\n\n1. Shut.\n\n"
                "## So that it stays away\n\nStrain.\n\n## Own§ part\n\nMore.\n",
    },
    "faults/bypass": {
        "title": "Bypass§ left open", "component": "boiler", "symptoms": {"overfills": "usually"},
        "basis": "12 of 57 jobs",
    },
    "faults/drip": {
        "title": "Drip§ at the seat", "component": "feeder", "symptoms": {"overfills": "half", "bangs": "half"},
        "shows": {"look": "dry, often", "hold": "rises"}, "to_owner": "The seat§ had worn.",
        "modes": {
            "hair": {"title": "By a hair§", "share": 0.75, "shows": {"probe": "low"}},
            "runs": {"title": "It runs§", "share": 0.25, "shows": {"probe": "high", "hold": "rises, always"}},
        },
        "repair": {"title": "Close§ it", "takes": "5 min", "proof": "log", "restore": {"look": "wet"}},
    },
    "components/boiler": {"title": "Boiler§", "body": "## What it does\n\nBoils.\n"},
    "components/feeder": {
        "title": "Feeder§", "also_called": ["Water§ valve"], "part_of": "boiler", "found_on": {"feed": "automatic"},
        "pictures": ["glass"], "body": "## Where to find it\n\nBelow.\n\n## Note§\n\nOwn.\n",
    },
    "tests/hold": {
        "title": "Hold§ it", "asks": "Does§ it climb?", "how": "Mark§ it", "why": "It§ settles it.", "takes": "5 min",
        "wait_from": {"worksheet": "head", "result": "stands", "given": {"head": "7"}},
        "works_out": [{"worksheet": "head", "reads": ["head"], "decides": {
            "stands": {"rises": [90, "inf"]}, "twice": {"steady": ["-inf", 2], "rises": [2, "inf"]},
        }}],
        "outcomes": {"rises": "It§ climbs", "steady": "It§ stays"}, "otherwise": "steady",
        "tools": ["Tape§"], "needs": {"look": "wet"}, "never_when": {"probe": "high"}, "cautions": ["wet", "scald"],
        "found_on": {"feed": "automatic"}, "who": "apprentice", "sources": ["book"], "read_by": "owner",
        "together_with": ["smell"], "otherwise_at": {"bangs": {"rises": 0.4}},
        "body": "Lead.\n\n## Steps\n\n1. Mark.\n2. Wait.\n\n## What it tells you\n\nMuch.\n\n## Own§ words\n\nMore.\n",
    },
    "tests/probe": {
        "title": "Probe§", "asks": "What§ does it read?", "cautions": ["scald"],
        "outcomes": {"low": "Low§", "middle": "Middle§", "high": "High§"},
        "otherwise": {"low": 0.25, "middle": 0.5}, "takes": "1 min",
        "measures": {
            "quantity": "resistance§", "unit": "ohm",
            "limits": {"low": [0, 50], "middle": [50, 5000], "high": [5000, "inf"]},
        },
        "body": "## Steps\n\n1. Measure.\n",
    },
    "tests/smell": {
        "title": "Smell§ first", "asks": "Does§ it smell?", "takes": "1 min", "who": "owner", "way": "feel",
        "outcomes": {"gas": "Of gas§", "none": "Of nothing§"}, "otherwise": {"gas": 0.01},
        "otherwise_on": {"feed=manual": {"gas": 0.02}}, "does": ["drain", "open"],
        "perishes": ["drain", "fill", "fire"],
        "stops": {"gas": {"caution": "scald", "allows": ["look", "drip"], "call": "the fire§ service"}},
        "renews": {"look": {"none": "wet"}}, "body": "## Steps\n\n1. Smell.\n",
    },
    "tests/look": {
        "title": "Look§ at the glass", "asks": "Is§ it wet?", "takes": "2 min", "who": "owner",
        "outcomes": {"wet": "Wet§", "dry": "Dry§"}, "otherwise": "wet", "body": "## Steps\n\n1. Look.\n",
    },
    "proofs/log": {
        "title": "Log§ for a week", "over": "7 days", "looks": [{"when": "Same day§", "see": "the mark§"}],
        "holds_when": "It§ has not moved", "cautions": ["wet"], "body": "## How to prove it\n\nWrite.\n",
    },
    "cautions/scald": {
        "title": "Scalding§ water", "signal": "danger", "hazard": "Hot§ water.", "consequence": "It§ burns.",
        "avoid": "Let§ it cool.", "setup": "10 min", "symbol": "hot-water", "rule": "common practice§, no source",
        "body": "More of it.\n",
    },
    "cautions/wet": {
        "title": "Wet§ floor", "signal": "notice", "hazard": "Water§ runs out.", "consequence": "It§ stains.",
        "avoid": "Lay§ a tray.", "harms": "property", "rule": "common practice, no source",
    },
    "worksheets/head": {
        "title": "Head§", "answers": "How hard§ does it press?",
        "results": {
            "twice": {"title": "Twice§", "unit": "in", "sum": "2 * head"},
            "stands": {"title": "Stands§", "unit": "h", "sum": "head / 2 [in/h]"},
        },
    },
    "surveys/house": {"title": "House§"},
    "terms/mark": {"title": "Mark§", "means": "Where§ the water stands", "also_called": ["Line§"], "see": ["feeder"]},
    "readings/first": {
        "title": "First§ week", "body": "Lead.\n\n## Own§\n\nMore.\n",
        "steps": [{"read": "faults/valve", "because": "common§"}, {"read": "cautions/scald", "because": "safe§"}],
    },
    "pictures/glass": {"title": "Glass§", "alt": "A glass§", "credit": "us§"},
    "pictures/glass.svg": "<svg xmlns='http://www.w3.org/2000/svg'/>",
}  # fmt: skip

LEAST: Entries = {
    "symptoms/overfills": {},
    "faults/valve": {"symptoms": {"overfills": "often"}},
}
"""One symptom and one fault without test, repair, proof, caution, term, equipment or source."""


def everything(root: Path, text: str = "") -> Library:
    """The library of everything, with this text at every place of free text."""
    return with_text(make_library(root, EVERYTHING), text)


def with_text(value: T, text: str) -> T:
    """The value with the text at every place of free text, however deep: for lines that intake refuses."""
    return _with_text(value, text)  # type: ignore[no-any-return]


def _with_text(value: Any, text: str) -> Any:
    if isinstance(value, str):
        return value.replace(MARK, text)
    if isinstance(value, BaseModel):
        names = type(value).model_fields
        return value.model_copy(update={name: _with_text(getattr(value, name), text) for name in names})
    if isinstance(value, Mapping):
        return {_with_text(key, text): _with_text(item, text) for key, item in value.items()}
    if isinstance(value, tuple):
        return tuple(_with_text(item, text) for item in value)
    if is_dataclass(value) and not isinstance(value, type):
        return replace(value, **{f.name: _with_text(getattr(value, f.name), text) for f in fields(value)})
    return value


FEW_BUDGETS = (6, 8, 10)
"""Charts of so many boxes are tried: all that could be would take most of the time."""


def pages_of(library: Library) -> dict[str, SitePage]:
    """Every page of a library by its path."""
    with patch.object(figures, "BUDGETS", FEW_BUDGETS):
        worked = work_library(library, METRICS, effort=QUICK)
    return {page.path: page for page in make_pages(library, worked, METRICS)}
