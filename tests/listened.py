"""What callers say (tests/cases/callers.yml), with what should be heard, in two halves.

Words and weights of the search are tuned on the read half alone; the unread half shows what that is worth for sentences
that nobody looked at.
"""

import hashlib
from dataclasses import dataclass
from pathlib import Path

import yaml

CALLERS = Path(__file__).parent / "cases/callers.yml"
NONE, DANGER = "none", "danger"


@dataclass(frozen=True)
class Said:
    """A caller's sentence: the symptom (or `none`, `danger`), what else is heard, and what it is about."""

    says: str
    symptom: str
    chips: frozenset[str]
    seen: str
    about: str
    later: str
    read: bool


def sentences() -> tuple[Said, ...]:
    """All of them, in the file's order."""
    groups = yaml.safe_load(CALLERS.read_text(encoding="utf-8"))
    return tuple(_said(group, entry) for group in groups for entry in group["sentences"])


def is_read(says: str) -> bool:
    """Whether a sentence is of the read half: by the last bit of the first byte of its SHA-256."""
    return hashlib.sha256(says.encode()).digest()[0] % 2 == 0


def _said(group: dict[str, str], entry: str | dict[str, object]) -> Said:
    says, chips = (entry, []) if isinstance(entry, str) else (str(entry["says"]), entry["chips"])
    assert isinstance(chips, list)
    return Said(
        says, group["symptom"], frozenset(chips), group.get("seen", ""), group.get("about", ""), group.get("later", ""),
        is_read(says),
    )  # fmt: skip
