"""What is said in the same words everywhere: numbers, limits, durations, ranks, titles of steps, signal words."""

from faultleaf.words.numbers import (
    DOTS_OF_SHARE,
    common_dots,
    common_text,
    effort_text,
    ends_text,
    hundredths,
    limits_text,
    minutes_text,
    often_dots,
    often_text,
    share_dots,
    share_text,
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
    "DOTS_OF_SHARE", "HAND_ON", "capital", "common_dots", "common_text", "effort_of", "effort_text", "ends_text",
    "equipment_text", "graveness", "hundredths", "limits_text", "minutes_text", "often_dots", "often_text",
    "outcome_words", "rank_text", "share_dots", "share_text", "step_words", "uncapital", "wait_words",
]  # fmt: skip
