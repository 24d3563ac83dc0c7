"""What a card's short words leave out, or name that is not there."""

from collections.abc import Collection, Iterator

from faultleaf.cards import did_you_mean
from faultleaf.cards.mistakes import Loc
from faultleaf.cards.short import Short
from faultleaf.intake.worksheets import OwnMistake


def short_mistakes(loc: Loc, short: Short, outcomes: Collection[str]) -> Iterator[OwnMistake]:
    """The outcomes (or values) that these short words do not have, and those that only they have."""
    for outcome in short.outcomes:
        if outcome not in outcomes:
            hint = did_you_mean(outcome, outcomes)
            yield (*loc, "outcomes", outcome), "unknown-outcome", f"this card has no outcome '{outcome}'", hint
    for outcome in outcomes:
        if outcome not in short.outcomes:
            yield (*loc, "outcomes"), "missing-field", f"the short words of '{outcome}' are missing", ""
