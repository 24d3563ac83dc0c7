"""What is said in the same words everywhere: numbers, limits, durations, ranks, titles of steps, signal words."""

from faultleaf.words.numbers import (
    effort_text,
    ends_text,
    factor_text,
    hundredths,
    limits_text,
    minutes_text,
    rate_text,
    share_text,
    strength_text,
    strength_word,
)
from faultleaf.words.steps import (
    HAND_ON,
    capital,
    effort_of,
    equipment_text,
    graveness,
    outcome_words,
    rank_text,
    step_words,
    uncapital,
)
from faultleaf.words.waits import wait_words

__all__ = [
    "HAND_ON", "capital", "effort_of", "effort_text", "ends_text", "equipment_text", "factor_text", "graveness",
    "hundredths", "limits_text", "minutes_text", "outcome_words", "rank_text", "rate_text", "share_text", "step_words",
    "strength_text", "strength_word", "uncapital", "wait_words",
]  # fmt: skip
