"""P(outcome | fault): what a card's words mean as a row of probabilities (DESIGN.md, model, rule 2)."""

from collections.abc import Mapping

from faultleaf.cards.models import Test
from faultleaf.cards.vocabulary import OTHERWISE_SHARE

SUM_TOLERANCE = 1e-9


def otherwise_rates(test: Test) -> dict[str, float]:
    """What the test shows when the fault lies elsewhere: a distribution over its outcomes, in their order.

    One word means .9 with the rest shared equally; a map is taken as written (outcomes it leaves out
    share what is left); absent means flat.
    """
    outcomes = tuple(test.outcomes)
    if test.otherwise is None:
        return dict.fromkeys(outcomes, 1 / len(outcomes))
    if isinstance(test.otherwise, str):
        rest = (1 - OTHERWISE_SHARE) / (len(outcomes) - 1)
        return {outcome: OTHERWISE_SHARE if outcome == test.otherwise else rest for outcome in outcomes}
    return _fill(test.otherwise, dict.fromkeys(outcomes, 1.0))


def outcome_rates(test: Test, shown: Mapping[str, float] | None) -> dict[str, float]:
    """P(outcome | a fault that shows `shown` at this test), in the order of the test's outcomes.

    A fault that does not name the test (None) takes `otherwise`. One that names some outcomes gets
    those; the remainder goes to the unnamed ones in proportion to `otherwise` (equally, where that
    gives them nothing). The result sums to 1 if `sum_mistake` finds nothing wrong.
    """
    otherwise = otherwise_rates(test)
    return otherwise if shown is None else _fill(shown, otherwise)


def sum_mistake(outcomes: tuple[str, ...], named: Mapping[str, float]) -> str:
    """What is wrong with the sum of the named probabilities, or "" when nothing is."""
    total = sum(named.values())
    if total > 1 + SUM_TOLERANCE:
        return f"the probabilities add up to {total:g}, more than 1"
    if total < 1 - SUM_TOLERANCE and not set(outcomes) - set(named):
        return f"the probabilities add up to {total:g}, and no outcome is left for the rest"
    return ""


def _fill(named: Mapping[str, float], weights: Mapping[str, float]) -> dict[str, float]:
    unnamed = {outcome: weight for outcome, weight in weights.items() if outcome not in named}
    rest = max(0.0, 1 - sum(named.values()))
    total = sum(unnamed.values())
    return {
        outcome: named[outcome]
        if outcome in named
        else rest * (unnamed[outcome] / total if total else 1 / len(unnamed))
        for outcome in weights
    }
