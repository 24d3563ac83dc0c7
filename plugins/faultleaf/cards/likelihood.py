"""P(outcome | fault): what a card's words mean as a row of probabilities (MODEL.md, rule 2)."""

import itertools
import math
from collections.abc import Mapping
from types import MappingProxyType

from faultleaf.cards.models import Fault, Test
from faultleaf.cards.vocabulary import OTHERWISE_SHARE

SUM_TOLERANCE = 1e-9


def otherwise_rates(
    test: Test, systems: Mapping[str, Mapping[str, float]] = MappingProxyType({}), symptom: str = ""
) -> dict[str, float]:
    """What the test shows when the fault lies elsewhere: a distribution over its outcomes, in their order.

    One word means .9 with the rest shared equally; a map is taken as written (outcomes it leaves out
    share what is left); absent means flat. `otherwise_at` the call's `symptom` comes before all. Else
    `otherwise_on` the equipment counts: `systems` gives each feature's values with their shares, known ones
    with 1, and what is not known is mixed by share; of several entries that fit the author's first counts.
    """
    if symptom in test.otherwise_at:
        return _distribution(test, test.otherwise_at[symptom])
    features = [
        name for name in dict.fromkeys(where.partition("=")[0] for where in test.otherwise_on) if name in systems
    ]
    mixed = dict.fromkeys(test.outcomes, 0.0)
    for values in itertools.product(*(systems[name].items() for name in features)):
        here = {f"{name}={value}" for name, (value, _) in zip(features, values, strict=True)}
        said = next((given for where, given in test.otherwise_on.items() if where in here), test.otherwise)
        share = math.prod(part for _, part in values)
        for outcome, chance in _distribution(test, said).items():
            mixed[outcome] += share * chance
    return mixed


def outcome_rates(
    test: Test, shown: Mapping[str, float] | None, otherwise: Mapping[str, float] | None = None
) -> dict[str, float]:
    """P(outcome | a fault that shows `shown` at this test), in the order of the test's outcomes.

    A fault that does not name the test (None) takes `otherwise` (the test's own plain one unless given).
    One that names some outcomes gets those; the remainder goes to the unnamed ones in proportion to
    `otherwise` (equally, where that gives them nothing). The result sums to 1 if `sum_mistake` finds
    nothing wrong.
    """
    otherwise = otherwise_rates(test) if otherwise is None else otherwise
    return dict(otherwise) if shown is None else _fill(shown, otherwise)


def fault_rates(test: Test, fault: Fault, otherwise: Mapping[str, float] | None = None) -> dict[str, float]:
    """P(outcome | the fault) over all its ways of showing, by their shares (rule 18)."""
    mixed = dict.fromkeys(test.outcomes, 0.0)
    for _, share, shows in fault.rows:
        for outcome, chance in outcome_rates(test, shows.get(test.id), otherwise).items():
            mixed[outcome] += share * chance
    return mixed


def _distribution(test: Test, said: Mapping[str, float] | str | None) -> dict[str, float]:
    outcomes = tuple(test.outcomes)
    if said is None:
        return dict.fromkeys(outcomes, 1 / len(outcomes))
    if isinstance(said, str):
        rest = (1 - OTHERWISE_SHARE) / (len(outcomes) - 1)
        return {outcome: OTHERWISE_SHARE if outcome == said else rest for outcome in outcomes}
    return _fill(said, dict.fromkeys(outcomes, 1.0))


def sum_mistake(outcomes: tuple[str, ...], named: Mapping[str, float]) -> str:
    """What is wrong with the sum of the named probabilities, or "" when nothing is."""
    total = math.fsum(named.values())
    if total > 1 + SUM_TOLERANCE:
        return f"the probabilities add up to {total:g}, more than 1"
    if total < 1 - SUM_TOLERANCE and not set(outcomes) - set(named):
        return f"the probabilities add up to {total:g}, and no outcome is left for the rest"
    return ""


def _fill(named: Mapping[str, float], weights: Mapping[str, float]) -> dict[str, float]:
    unnamed = {outcome: weight for outcome, weight in weights.items() if outcome not in named}
    rest = max(0.0, 1 - math.fsum(named.values()))
    total = math.fsum(unnamed.values())
    return {
        outcome: named[outcome]
        if outcome in named
        else rest * (unnamed[outcome] / total if total else 1 / len(unnamed))
        for outcome in weights
    }
