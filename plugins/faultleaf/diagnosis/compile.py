"""From cards to the problem of one call: what the card fields mean (DESIGN.md, model, rules 2 to 10)."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from faultleaf.cards import Fault as FaultCard
from faultleaf.cards import Feature, Library, Symptom, otherwise_rates, outcome_rates
from faultleaf.cards import Repair as RepairCard
from faultleaf.cards import Test as TestCard
from faultleaf.cards.vocabulary import RANKS, rank_level
from faultleaf.diagnosis.problem import (
    UNLISTED,
    Conditions,
    DiagnosisError,
    Floats,
    Problem,
    ProblemError,
    Repair,
    Test,
    cycles,
    frozen_array,
    one_of,
)

WAITED_OUT = 30.0
"""Minutes of waiting that are spent on the spot; anything longer is one return visit (rule 6)."""
ASKING = 1.0
"""Minutes of asking after a feature of the system (rule 4)."""
SAME = 1e-9
"""Probabilities that differ by less are equal: what rounding leaves behind must not make a test worth doing."""
RUN_LIMIT = 5
"""Repairs in one box of a printed chart (rule 12)."""

Choices = Mapping[str, tuple[str, ...]]


def compile_problem(
    library: Library,
    symptoms: Sequence[str],
    *,
    equipment: Mapping[str, str] = {},
    absent: Sequence[str] = (),
    cannot: Sequence[str] = (),
    who: str = "licensed",
) -> Problem:
    """The problem of a call with these symptoms; the first is the one it came in for.

    `equipment`: feature → value, as far as known. `absent`: symptoms looked for and not there.
    `cannot`: ids of tests or repairs that cannot be done on this job. `who`: the highest rank at
    hand; a repair above it is not offered, so that handing on (with the fault named) takes its place.
    Faults that cannot exist on the equipment are left out. Every test of the library is in the
    problem, so that any finding counts; those not usable here are not `offered`.
    Raises DiagnosisError for an unknown name, ProblemError for needs that go round in a circle.
    """
    call = _Call(library, tuple(symptoms), dict(equipment), tuple(absent), frozenset(cannot), who)
    _check(call)
    faults, weights = _prior(call)
    questions = tuple(_question(call, faults, feature) for feature in _asked_for(call, faults))
    tests = (*questions, *(_test(call, faults, card) for card in library.tests.values()))
    first = _first(call)
    repairs = tuple(_repairs(call, faults))
    tests = _offer_useful(tests, repairs, first)
    offered = {test.id for test in tests if test.offered}
    if trails := tuple(cycles({test.id: test.needs for test in tests})):
        raise ProblemError(tuple(f"needs go round in a circle: {' → '.join(trail)}" for trail in trails))
    present = [library.symptoms[name] for name in symptoms]
    return Problem(
        faults=(*(fault.id for fault in faults), UNLISTED),
        weights=weights,
        tests=tests,
        repairs=repairs,
        first=tuple(name for name in first if name in offered),
        hand_on=library.site.hand_on if present[0].hand_on is None else present[0].hand_on,
        emergency=any(symptom.emergency for symptom in present),
        refused=tuple(name for name in first if name not in offered and _fitted(call, library.tests[name])),
        run_limit=RUN_LIMIT,
    )


@dataclass(frozen=True)
class _Call:
    library: Library
    symptoms: tuple[str, ...]
    equipment: Mapping[str, str]
    absent: tuple[str, ...]
    cannot: frozenset[str]
    who: str

    def allows(self, rank: str) -> bool:
        return rank_level(rank) <= rank_level(self.who)


def _check(call: _Call) -> None:
    """Every name exists; a caller's slip must not become a silent no-op."""
    if call.who not in RANKS:
        raise DiagnosisError(f"there is no rank '{call.who}'")
    if not call.symptoms:
        raise DiagnosisError("a call has at least one symptom")
    for name in (*call.symptoms, *call.absent):
        if name not in call.library.symptoms:
            raise DiagnosisError(f"there is no symptom '{name}'")
    if both := sorted(set(call.symptoms) & set(call.absent)):
        raise DiagnosisError(f"symptom '{both[0]}' is said to be there and not to be there")
    for feature, value in call.equipment.items():
        if feature not in call.library.equipment:
            raise DiagnosisError(f"there is no equipment feature '{feature}'")
        if value not in call.library.equipment[feature].values:
            raise DiagnosisError(f"equipment '{feature}' has no value '{value}'")
    steps = {*call.library.tests, *(f"equipment.{name}" for name in call.library.equipment)}
    steps |= {name for fault in call.library.faults.values() for name, _ in fault.named_repairs}
    if unknown := sorted(call.cannot - steps):
        raise DiagnosisError(f"there is no test or repair '{unknown[0]}'")


def _prior(call: _Call) -> tuple[tuple[FaultCard, ...], Floats]:
    """The candidates that can exist here and their weights, the unlisted cause's last (rules 3, 4, 9)."""
    entry, *further = (call.library.symptoms[name] for name in call.symptoms)
    named = {fault.id: fault for name in call.symptoms for fault in call.library.candidates(name)}
    faults: list[FaultCard] = []
    weights: list[float] = []
    for name in sorted(named):
        share = _equipment_share(call, named[name].place(entry.id))
        if share > 0:
            faults.append(named[name])
            weights.append(named[name].how_common * _shows(named[name], entry) * share)
    if entry.unlisted >= 1:
        raise DiagnosisError(f"symptom '{entry.id}': the unlisted share must be below 1")
    # Where no card can exist on this equipment, whatever it is has no card.
    weights.append(entry.unlisted / (1 - entry.unlisted) * (sum(weights) or 1.0))
    prior = np.array(weights)
    for symptom in further:
        prior = prior * [*(_shows(fault, symptom) for fault in faults), symptom.otherwise]
    for symptom in (call.library.symptoms[name] for name in call.absent):
        prior = prior * [*(1 - _shows(fault, symptom) for fault in faults), 1 - symptom.otherwise]
    return tuple(faults), frozen_array(prior)


def _shows(fault: FaultCard, symptom: Symptom) -> float:
    return fault.symptoms.get(symptom.id, symptom.otherwise)


def _equipment_share(call: _Call, found_on: Choices) -> float:
    """P(the equipment is such that the card applies): 0 or 1 for known features, shares for the others."""
    share = 1.0
    for feature, allowed in found_on.items():
        if feature in call.equipment:
            share *= call.equipment[feature] in allowed
        else:
            shares = feature_shares(call.library.equipment[feature])
            share *= sum(shares[value] for value in sorted(set(allowed)))
    return share


def feature_shares(feature: Feature) -> dict[str, float]:
    """The shares of a feature's values among systems, brought to a sum of 1."""
    values = feature.values
    total = sum(value.share for value in values.values())
    return {name: value.share / total for name, value in values.items()}


def _fitted(call: _Call, card: TestCard | RepairCard | FaultCard) -> bool:
    """False where the known equipment rules the card out."""
    known = ((call.equipment[name], allowed) for name, allowed in card.found_on.items() if name in call.equipment)
    return all(value in allowed for value, allowed in known)


def _needs(call: _Call, needs: Choices, *found_on: Choices) -> Conditions:
    """The findings a step needs, those about equipment not known yet included."""
    conditions = dict(one_of(needs))
    for applies in found_on:
        for feature, allowed in applies.items():
            if feature not in call.equipment:
                question = f"equipment.{feature}"
                conditions[question] = conditions.get(question, frozenset(allowed)) & frozenset(allowed)
    return conditions


def _asked_for(call: _Call, faults: tuple[FaultCard, ...]) -> list[str]:
    """The unknown features that decide whether a candidate can exist or a step can be taken."""
    cards: list[TestCard | RepairCard] = [repair for fault in faults for _, repair in fault.named_repairs]
    cards += [card for card in call.library.tests.values() if _fitted(call, card)]
    features = {feature for card in cards for feature in card.found_on}
    features |= {feature for fault in faults for feature in fault.place(call.symptoms[0])}
    return sorted(features - set(call.equipment))


def _question(call: _Call, faults: tuple[FaultCard, ...], feature: str) -> Test:
    """The noiseless question about a feature; its answer is as likely as the systems that remain."""
    shares = feature_shares(call.library.equipment[feature])
    general = np.array(list(shares.values()))
    rows = []
    for fault in faults:
        allowed = fault.place(call.symptoms[0]).get(feature, tuple(shares))
        row = np.array([share if value in allowed else 0.0 for value, share in shares.items()])
        rows.append(row / row.sum())
    name = f"equipment.{feature}"
    return Test(
        name, ASKING, tuple(shares), frozen_array([*rows, general]), frozen_array(general),
        offered=name not in call.cannot, equipment=True,
    )  # fmt: skip


def _test(call: _Call, faults: tuple[FaultCard, ...], card: TestCard) -> Test:
    otherwise = list(otherwise_rates(card).values())
    rows = [list(outcome_rates(card, fault.shows.get(card.id)).values()) for fault in faults]
    return Test(
        card.id,
        minutes_of_test(call.library, card),
        tuple(card.outcomes),
        frozen_array([*rows, otherwise]),
        frozen_array(otherwise),
        _needs(call, card.needs, card.found_on),
        one_of(card.never_when),
        card.who,
        offered=card.id not in call.cannot and call.allows(card.who) and _fitted(call, card),
    )


def minutes_of_test(library: Library, card: TestCard) -> float:
    """The whole cost of a test in minutes (rule 6)."""
    return card.takes + _setup(library, card.cautions) + _visit(library, card.wait)


def minutes_of_repair(library: Library, fault: FaultCard, card: RepairCard) -> float:
    """The whole cost of a fault's repair in minutes, its proof included (rule 6)."""
    proof = library.proofs[card.proof]
    setup = _setup(library, (*fault.cautions, *card.cautions))
    return card.takes + setup + proof.takes + _visit(library, proof.over)


def _setup(library: Library, cautions: Iterable[str]) -> float:
    """Minutes of making safe: every caution once."""
    return sum(library.cautions[name].setup for name in dict.fromkeys(cautions))


def _visit(library: Library, wait: float) -> float:
    """Minutes that a wait costs: itself while one stays, else one return visit."""
    return wait if wait <= WAITED_OUT else library.site.return_visit


def _repairs(call: _Call, faults: tuple[FaultCard, ...]) -> Iterable[Repair]:
    """The repairs that may be done on this job. One is done only where its fault can exist."""
    places = {fault.id: place for place, fault in enumerate(faults)}
    for fault in faults:
        for name, card in fault.named_repairs:
            if name in call.cannot or not call.allows(card.who) or not _fitted(call, card):
                continue
            fixes = np.zeros(len(faults) + 1)
            for other, chance in {**card.also_fixes, fault.id: card.fixes}.items():
                if other in places:
                    fixes[places[other]] = chance
            yield Repair(
                name,
                fault.id,
                minutes_of_repair(call.library, fault, card),
                frozen_array(fixes),
                _needs(call, card.needs, fault.place(call.symptoms[0]), card.found_on),
                one_of(card.never_when),
                dict(card.restore),
                card.who,
                tuple(sorted(fault.shows)),
            )


def _first(call: _Call) -> tuple[str, ...]:
    """The tests that come first for any of the symptoms, once each, in order."""
    symptoms = (call.library.symptoms[name] for name in call.symptoms)
    return tuple(dict.fromkeys(check.test for symptom in symptoms for check in symptom.first))


def _offer_useful(tests: tuple[Test, ...], repairs: tuple[Repair, ...], first: tuple[str, ...]) -> tuple[Test, ...]:
    """The tests, those not offered that tell no causes apart and that nothing waits for."""
    by_id = {test.id: test for test in tests}
    wanted = [*first, *(name for repair in repairs for name in repair.needs)]
    wanted += [test.id for test in tests if test.offered and _tells_apart(test)]
    kept: set[str] = set()
    while wanted:
        name = wanted.pop()
        if name not in kept and by_id[name].offered:
            kept.add(name)
            wanted.extend(by_id[name].needs)
    return tuple(test if test.id in kept or not test.offered else _not_offered(test) for test in tests)


def _tells_apart(test: Test) -> bool:
    return bool((np.ptp(test.table, axis=0) > SAME).any())


def _not_offered(test: Test) -> Test:
    return Test(
        test.id, test.minutes, test.outcomes, test.table, test.otherwise, test.needs, test.never_when,
        test.who, offered=False, equipment=test.equipment,
    )  # fmt: skip
