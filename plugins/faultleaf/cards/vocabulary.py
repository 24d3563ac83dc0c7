"""The words authors may write for numbers, ranks and signals (MODEL.md, rule 1)."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from faultleaf.physics import UNIT_NAMES

PROBABILITY_WORDS: Final[Mapping[str, float]] = MappingProxyType(
    {
        "never": 0.001,
        "hardly-ever": 0.02,
        "seldom": 0.1,
        "sometimes": 0.3,
        "half": 0.5,
        "often": 0.7,
        "usually": 0.85,
        "nearly-always": 0.95,
        "always": 0.99,
    }
)
"""Share of a hundred such calls, as a probability. Only a plain number may be exactly 0 or 1."""

BARE_OUTCOME: Final = "usually"
"""The strength of an outcome that a card names without a strength."""

OTHERWISE_SHARE: Final = 0.9
"""What a single word under a test's `otherwise` means; the rest is shared equally."""

RATE_WORDS: Final[Mapping[str, float]] = MappingProxyType(
    {"very-common": 8.0, "common": 4.0, "occasional": 2.0, "uncommon": 1.0, "rare": 0.4}
)
"""Relative rate of a fault among systems that have the equipment, before any symptom (no unit)."""

RANKS: Final = ("owner", "apprentice", "technician", "licensed")
"""Who may do a step, lowest first. Local law may ask for more."""

WAYS: Final = ("ask", "look", "listen", "feel", "measure", "open", "run")
"""How a test is done, in the order in which a master takes steps that are as good as equal (rule 13)."""

ACTS: Final = ("drain", "fill", "fire", "open")
"""What a step does to the system, so that what was to be seen as found is gone (rule 19)."""

SIGNAL_WORDS: Final = ("danger", "warning", "caution", "notice")
"""Signal words of ANSI Z535.6, gravest first. `notice` is for damage to property alone."""

HAZARDS: Final = (
    "electricity", "hot-surface", "steam", "hot-water", "pressure", "gas", "carbon-monoxide",
    "fire", "asbestos", "flooding", "drinking-water", "fumes", "chemicals", "falls", "general",
)  # fmt: skip
"""Pictogram families that a caution may ask for."""

UNITS: Final = UNIT_NAMES
"""Units that a measurement or a worksheet may be given in."""


class Said(float):
    """A number with the word that its author chose for it, "" where he wrote the number itself."""

    word: str = ""

    @classmethod
    def by(cls, number: float, word: str) -> "Said":
        """The number that this word stands for."""
        said = cls(number)
        said.word = word
        return said


def rank_level(rank: str) -> int:
    """The place of `rank` in RANKS, 0 for the owner.

    >>> rank_level("technician") > rank_level("apprentice")
    True
    """
    return RANKS.index(rank)


def probability_word(value: float) -> str | None:
    """The vocabulary's word for exactly this probability, or None where only the number was given.

    >>> probability_word(0.85)
    'usually'
    """
    return next((word for word, number in PROBABILITY_WORDS.items() if number == value), None)
