"""Small libraries for tests: written into a temporary folder from dicts or text, then read by intake.

    library = make_library(tmp_path, {
        "symptoms/overfills": {},
        "faults/valve-passing": {"symptoms": {"overfills": "often"}, "shows": {"hold": "rises"}},
        "tests/hold": {"outcomes": {"rises": "It climbs", "steady": "It stays"}},
    })

A dict is completed with the least that its kind must have (`LEAST`), so a test writes only what it is
about; a key "body" is the Markdown below the front matter. Text and bytes are written as they are.
"""

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import yaml
from faultleaf.cards import Library
from faultleaf.intake import Layer, read_library

Entries = Mapping[str, Mapping[str, Any] | str | bytes]
SETTINGS = ("equipment", "sources", "callers", "site")
LEAST: Mapping[str, Mapping[str, Any]] = {
    "symptoms": {"also_said": ["so it does"], "basis": "judgement"},
    "faults": {"component": "part", "how_common": "common", "basis": "judgement"},
    "components": {},
    "tests": {
        "asks": "What is seen?",
        "outcomes": {"seen": "It is seen", "unseen": "It is not seen"},
        "takes": "5 min",
        "basis": "judgement",
    },
    "proofs": {
        "takes": "5 min",
        "looks": [{"when": "After an hour", "see": "the level at the mark"}],
        "holds_when": "The level has not moved",
        "basis": "judgement",
    },
    "cautions": {
        "signal": "warning",
        "hazard": "Scalding water",
        "consequence": "burns the skin",
        "avoid": "Let it cool",
        "order": "let it cool",
        "rule": "common practice, no source",
    },
    "worksheets": {
        "answers": "How hard does a column of water press?",
        "inputs": {"head": {"title": "Height of water", "unit": "in", "where": "Tape it"}},
        "results": {"twice": {"title": "Twice the height", "unit": "in", "sum": "2 * head"}},
        "basis": "judgement",
    },
    "surveys": {
        "asks": {"edr": {"title": "Radiation", "group": "Radiators", "where": "Count", "unit": "EDR"}},
        "radiation": "edr",
    },
    "terms": {"means": "The height at which the boiler is filled"},
    "readings": {"steps": [{"read": "components/part", "because": "everything lives in it"}]},
    "pictures": {"file": "glass.svg", "alt": "A gauge glass", "credit": "us", "licence": "MIT"},
}
"""The fields that each kind cannot do without, besides the title; every fault lives in the component "part"."""


class _Plain(yaml.SafeDumper):
    """Writes a value that is used twice out twice: cards may hold no aliases."""

    def ignore_aliases(self, data: object) -> bool:  # noqa: ARG002
        return True


def yaml_text(fields: Mapping[str, Any]) -> str:
    """The fields as YAML, in the order given."""
    return yaml.dump(dict(fields), Dumper=_Plain, sort_keys=False, allow_unicode=True)


def card_text(fields: Mapping[str, Any], body: str = "") -> str:
    """A card as an author would write it: front matter, then the body."""
    return f"---\n{yaml_text(fields)}---\n{body}"


def file_of(key: str, value: Mapping[str, Any] | str | bytes) -> tuple[str, bytes]:
    """Where an entry stands below the content folder, and its bytes."""
    if isinstance(value, bytes):
        return key, value
    if isinstance(value, str):
        return key, value.encode("utf-8")
    if key in SETTINGS:
        return f"{key}.yml", yaml_text(value).encode("utf-8")
    folder, _, name = key.partition("/")
    fields = {"title": f"The {name}", **LEAST[folder], **value}
    if folder == "cautions":
        fields.setdefault("key", "".join(letter for letter in name.upper() if letter.isalpha())[:9])
    body = fields.pop("body", "")
    return f"{key}.md", card_text(fields, body).encode("utf-8")


def write_library(root: Path, entries: Entries) -> Path:
    """Write the entries below `root` and give it back; keys of text and bytes are whole file names.

    The component "part" is written too where dicts of faults or readings lean on it.
    """
    leaning = any(key.startswith(("faults/", "readings/")) for key in entries)
    whole: Entries = {"components/part": {}, **entries} if leaning else entries
    for key, value in whole.items():
        name, raw = file_of(key, value)
        path = root / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(raw)
    return root


def read(root: Path) -> Library:
    """The library of a folder that holds no mistake; an AssertionError lists them where it does."""
    intake = read_library([Layer(root, "content")])
    assert intake.library is not None, "\n".join(map(str, intake.mistakes))
    return intake.library


def make_library(root: Path, entries: Entries) -> Library:
    """Write the entries below `root`, and read them."""
    return read(write_library(root, entries))
