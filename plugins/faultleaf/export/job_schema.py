"""JSON Schema of a job record: what a file of the page "Work the call" holds.

It says what each field is; the page checks more (that an entry takes back an earlier one, that the cards exist).
"""

from typing import Any, Final

from faultleaf.export.schemas import DIALECT

JOB_FORMAT: Final = "faultleaf-job"
JOB_VERSION: Final = 3
OLDEST_JOB_VERSION: Final = 1
"""Files from here on are read; version 1 had no named causes and nothing proved before a repair, version 2 no
worksheets."""
ABOUT: Final = ("name", "address", "customer", "telephone", "technician", "licence")
REASONS: Final = ("no-tool", "no-part", "no-access", "not-safe", "not-allowed", "refused", "other")
RESULTS: Final = ("cured", "still-there", "mended")
LONGEST_TEXT: Final = 4000
MOST_ENTRIES: Final = 5000
MOST_CHECKED: Final = 20
MOST_NAMED: Final = 60

Schema = dict[str, Any]
_TEXT: Final[Schema] = {"type": "string", "maxLength": LONGEST_TEXT}
_ID: Final[Schema] = {"type": "string", "maxLength": 120, "pattern": "^[a-z0-9]+([-.][a-z0-9]+)*$"}
_TIME: Final[Schema] = {
    "type": "string",
    "pattern": "^[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}([.][0-9]{1,3})?Z$",
    "description": "ISO 8601, in UTC",
}
_TRUTH: Final[Schema] = {"type": "boolean"}
_NOTE: Final = {"note": _TEXT}
_TEXTS: Final[Schema] = {"type": "array", "maxItems": MOST_CHECKED, "items": _TEXT}
_NAMED: Final[Schema] = {
    "type": "object", "maxProperties": MOST_NAMED, "propertyNames": _ID, "additionalProperties": _TEXT,
}  # fmt: skip
_WORKED: Final[Schema] = {
    "type": "object",
    "description": "the worksheet, what was put in and came out with its units, and the result that decided",
    "required": ["worksheet", "by", "inputs", "results"],
    "properties": {"worksheet": _ID, "by": _ID, "inputs": _NAMED, "results": _NAMED},
    "additionalProperties": False,
}

# what an entry says: its fields that must be there, those that may be, and what it means
_KINDS: Final[dict[str, tuple[Schema, Schema, str]]] = {
    "symptom": ({"symptom": _ID, "present": _TRUTH}, {}, "there, or looked for and not there"),
    "who": ({"rank": _TEXT}, {}, "the highest rank at the call"),
    "equipment": ({"feature": _ID, "value": {"anyOf": [_TEXT, {"type": "null"}]}}, {}, "null: nobody knows"),
    "safe": ({"caution": _ID}, {}, "a caution read"),
    "finding": (
        {"test": _ID, "outcome": _TEXT},
        {"reading": {"type": "number"}, "unit": _TEXT, "noticed": _TRUTH, "worked": _WORKED, **_NOTE},
        "a test and what it showed; noticed: nobody had asked for it",
    ),
    "cannot": ({"step": _ID, "reason": {"enum": list(REASONS)}}, _NOTE, "a step that cannot be done here"),
    "repair": (
        {"repair": _ID},
        {"checked": _TEXTS, **_NOTE},
        "a repair done; its proof begins. checked: what was seen to be so before it",
    ),
    "proved": (
        {"repair": _ID, "result": {"enum": list(RESULTS)}},
        _NOTE,
        "what the proof showed; mended: an instrument is right again, the call goes on",
    ),
    "named": ({"cause": _ID, "repair": _ID, "to": _TEXT}, _NOTE, "the cause found, its repair left to somebody else"),
    "handed-on": ({"to": _TEXT}, _NOTE, "the call given to somebody else"),
    "note": ({"text": _TEXT}, {}, "words of the technician"),
    "taken-back": ({"entry": {"type": "integer", "minimum": 0}}, {}, "the place in the log, from 0"),
    "closed": ({}, {}, "the job is done"),
}


def job_schema() -> Schema:
    """The schema of a whole file (JSON Schema 2020-12)."""
    about = dict.fromkeys(ABOUT, _TEXT)
    library = {"title": _TEXT, "fingerprint": _TEXT}
    return {
        "$schema": DIALECT,
        "title": "Job record",
        "type": "object",
        "required": ["format", "version", "id", "opened", "library", "about", "log"],
        "properties": {
            "format": {"const": JOB_FORMAT},
            "version": {"enum": list(range(OLDEST_JOB_VERSION, JOB_VERSION + 1))},
            "id": {"type": "string", "pattern": "^[A-Za-z0-9-]{1,64}$"},
            "opened": _TIME,
            "library": {"type": "object", "required": list(library), "properties": library},
            "about": {"type": "object", "required": list(ABOUT), "properties": about},
            "log": {"type": "array", "maxItems": MOST_ENTRIES, "items": {"oneOf": [_entry(kind) for kind in _KINDS]}},
        },
    }


def _entry(kind: str) -> Schema:
    needed, optional, means = _KINDS[kind]
    return {
        "type": "object",
        "description": means,
        "required": ["at", "what", *needed],
        "properties": {"at": _TIME, "what": {"const": kind}, **needed, **optional},
        "additionalProperties": False,
    }
