"""From cards to the problem of one call: what the card fields mean (MODEL.md, rules 2 to 10)."""

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

import numpy as np

from faultleaf.cards import Fault as FaultCard
from faultleaf.cards import Library, otherwise_rates, outcome_rates
from faultleaf.cards import Repair as RepairCard
from faultleaf.cards import Test as TestCard
from faultleaf.diagnosis.model.minutes import (
    hands_on_minutes,
    minutes_of_failed,
    minutes_of_repair,
    minutes_of_test,
    work_of_repair,
    work_of_test,
)
from faultleaf.diagnosis.model.prior import Call, Row, by_row, check_names, feature_shares, fitted, needs_of, prior_of
from faultleaf.diagnosis.model.problem import (
    UNLISTED,
    Conditions,
    Floats,
    Problem,
    ProblemError,
    Repair,
    Stop,
    Test,
    cycles,
    frozen_array,
    one_of,
)

ASKING = 1.0
"""Minutes of asking after a feature of the system (rule 4)."""
SAME = 1e-9
"""Probabilities that differ by less are equal: what rounding leaves behind must not make a test worth doing."""
RUN_LIMIT = 3
"""Repairs in one box of a printed chart (rule 12)."""


def compile_problem(
    library: Library,
    symptoms: Sequence[str],
    *,
    equipment: Mapping[str, str] = {},
    absent: Sequence[str] = (),
    cannot: Sequence[str] = (),
    done: Sequence[str] = (),
    who: str = "licensed",
) -> Problem:
    """The problem of a call with these symptoms; the first is the one it came in for.

    `equipment`: feature → value, as far as known. `absent`: symptoms looked for and not there.
    `cannot`: ids of tests or repairs that cannot be done on this job. `done`: repairs that did not cure, which tell of
    the causes and have set findings, whatever can be done here now. `who`: the highest rank at
    hand; a repair above it is done by others, so that the call ends with the cause named (rule 8).
    Faults that cannot exist on the equipment are left out. Every test of the library is in the
    problem, so that any finding counts; those not usable here are not `offered`.
    Raises DiagnosisError for an unknown name, ProblemError for needs that go round in a circle.
    """
    call = Call(library, tuple(symptoms), dict(equipment), tuple(absent), frozenset(cannot), frozenset(done), who)
    check_names(call)
    faults, weights = prior_of(call)
    rows = tuple(Row(fault, *way) for fault in faults for way in fault.rows)
    first = _first(call)
    repairs = (*_repairs(call, rows), *_menders(call, rows, first))
    questions = tuple(_question(call, rows, feature) for feature in _asked_for(call, faults, repairs))
    tests = (*questions, *(_test(call, rows, card) for card in library.tests.values()))
    stops = (*_stops(call), *_mended_first(call, repairs, first))
    tests = _offer_useful(tests, repairs, first, stops)
    offered = {test.id for test in tests if test.offered}
    if trails := tuple(cycles({test.id: test.needs for test in tests})):
        raise ProblemError(tuple(f"needs go round in a circle: {' → '.join(trail)}" for trail in trails))
    present = [library.symptoms[name] for name in symptoms]
    return Problem(
        faults=(*(row.id for row in rows), UNLISTED),
        weights=by_row(faults, rows, weights),
        causes=(*(row.fault.id for row in rows), UNLISTED),
        owed=_owed(call, rows, weights),
        stops=stops,
        tests=tests,
        repairs=repairs,
        first=tuple(name for name in first if name in offered),
        hand_on=library.site.hand_on if present[0].hand_on is None else present[0].hand_on,
        emergency=any(symptom.emergency for symptom in present),
        refused=tuple(name for name in first if name not in offered and fitted(call, library.tests[name])),
        run_limit=RUN_LIMIT,
    )


def _asked_for(call: Call, faults: tuple[FaultCard, ...], repairs: Sequence[Repair]) -> list[str]:
    """The unknown features that decide whether a candidate can exist or a step can be taken."""
    cards: list[TestCard | RepairCard] = [repair for fault in faults for _, repair in fault.named_repairs]
    cards += [card for card in call.library.tests.values() if fitted(call, card)]
    features = {feature for card in cards for feature in card.found_on}
    features |= {feature for fault in faults for feature in fault.place(call.symptoms[0])}
    # A mender's fault need not be a candidate here.
    features |= {name.removeprefix("equipment.") for card in repairs for name in card.needs if "." in name}
    return sorted(features - set(call.equipment))


def _question(call: Call, rows: tuple[Row, ...], feature: str) -> Test:
    """The noiseless question about a feature; its answer is as likely as the systems that remain."""
    shares = feature_shares(call.library.equipment[feature])
    general = np.array(list(shares.values()))
    table = []
    for row in rows:
        allowed = row.fault.place(call.symptoms[0]).get(feature, tuple(shares))
        chances = np.array([share if value in allowed else 0.0 for value, share in shares.items()])
        table.append(chances / chances.sum())
    name = f"equipment.{feature}"
    return Test(
        name, ASKING, tuple(shares), frozen_array([*table, general]), frozen_array(general),
        offered=name not in call.cannot, equipment=True, way="ask",
    )  # fmt: skip


def _test(call: Call, rows: tuple[Row, ...], card: TestCard) -> Test:
    entry = call.symptoms[0]
    otherwise = list(otherwise_rates(card, call.systems({}), entry).values())
    table = []
    for row in rows:
        elsewhere = otherwise_rates(card, call.systems(row.fault.place(entry)), entry) if card.otherwise_on else None
        plain = dict(zip(card.outcomes, otherwise, strict=True)) if elsewhere is None else elsewhere
        table.append(list(outcome_rates(card, row.shows.get(card.id), plain).values()))
    return Test(
        card.id,
        minutes_of_test(call.library, card),
        tuple(card.outcomes),
        frozen_array([*table, otherwise]),
        frozen_array(otherwise),
        needs_of(call, card.needs, card.found_on),
        one_of(card.never_when),
        card.who,
        offered=_offered(call, card),
        way=card.way,
        renews=_renewing(card),
        perishes_after=_perishing(call.library, card),
        together=frozenset(card.together_with),
        minutes_together=hands_on_minutes(call.library, card),
        hands_on=work_of_test(call.library, card),
    )


def _offered(call: Call, card: TestCard) -> bool:
    """Whether the plan may ask for the test: not refused, within the rank, fitted, and meant for such calls."""
    asked = not card.only_at or not set(card.only_at).isdisjoint(call.symptoms)
    return asked and card.id not in call.cannot and call.allows(card.who) and fitted(call, card)


def _renewing(card: TestCard) -> dict[str, dict[str, str]]:
    """Own outcome → the findings that it sets anew (rule 17); cards name the other test first."""
    found: dict[str, dict[str, str]] = {}
    for test, new in card.renews.items():
        for own, outcome in new.items():
            found.setdefault(own, {})[test] = outcome
    return found


def _perishing(library: Library, card: TestCard) -> frozenset[str]:
    """The steps that do something after which this test is worth nothing (rule 19)."""
    gone = set(card.perishes)
    steps = {test.id: test.does for test in library.tests.values() if test.id != card.id}
    steps |= {name: repair.does for fault in library.faults.values() for name, repair in fault.named_repairs}
    return frozenset(name for name, does in steps.items() if gone & set(does))


def _repairs(call: Call, rows: tuple[Row, ...]) -> Iterable[Repair]:
    """The repairs of this job. One is done only where its fault can exist; by others where it is above the rank
    at hand or a job to quote (rule 8)."""
    for fault in {row.fault.id: row.fault for row in rows}.values():
        for name, card in fault.named_repairs:
            if name not in call.done and (name in call.cannot or not fitted(call, card)):
                continue
            fixed = {**card.also_fixes, fault.id: card.fixes}
            fixes = [fixed.get(row.fault.id, 0.0) for row in rows]
            needs = needs_of(call, card.needs, fault.place(call.symptoms[0]), card.found_on)
            yield _repair(call, fault, name, card, fixes, needs)


def _repair(
    call: Call, fault: FaultCard, name: str, card: RepairCard, fixes: Sequence[float], needs: Conditions
) -> Repair:
    return Repair(
        name,
        fault.id,
        minutes_of_repair(call.library, fault, card),
        frozen_array([*fixes, 0.0]),
        needs,
        one_of(card.never_when),
        dict(card.restore),
        card.who,
        minutes_of_failed(call.library, fault, card),
        by_other=card.quote or not call.allows(card.who),
        hands_on=work_of_repair(call.library, fault, card),
    )


def _menders(call: Call, rows: tuple[Row, ...], first: Sequence[str]) -> Iterable[Repair]:
    """Repairs of faults that are no candidates here, which put the instrument of a `first` test right (rule 17)."""
    here = {row.fault.id for row in rows}
    for fault in call.library.faults.values():
        for name, card in fault.named_repairs if fault.id not in here else ():
            wrong = {test: outcomes for test, outcomes in card.mends.items() if test in first}
            useful = wrong and name not in call.cannot and fitted(call, fault) and fitted(call, card)
            if useful or name in call.done:
                needs = needs_of(call, {**card.needs, **wrong}, fault.found_on, card.found_on)
                yield _repair(call, fault, name, card, [0.0] * len(rows), needs)


def _stops(call: Call) -> Iterable[Stop]:
    """Every outcome of the library that stops a call, whichever symptom it is for (rule 16)."""
    for card in call.library.tests.values():
        for outcome, stop in card.stops.items():
            allowed = set(stop.allows) & call.library.tests.keys()
            for name in set(stop.allows) & call.library.faults.keys():
                allowed |= {repair for repair, _ in call.library.faults[name].named_repairs}
            whom = stop.call or call.library.site.call
            yield Stop(card.id, outcome, frozenset(allowed), stop.caution, whom)


def _mended_first(call: Call, repairs: Sequence[Repair], first: Sequence[str]) -> Iterable[Stop]:
    """An instrument that must be mended before anything else is done (rule 17): a stop that allows the repairs
    which put it right, and the tests that tell what is wrong with it, alone."""
    cards = [card for fault in call.library.faults.values() for _, card in fault.named_repairs]
    wrong = {
        (test, seen) for card in cards for test, outcomes in card.mends.items() for seen in outcomes if test in first
    }
    for test, outcome in sorted(wrong):
        mending = {repair.id for repair in repairs if test in repair.restore}
        bad = {seen for name, seen in wrong if name == test}
        telling = {
            card.id
            for card in call.library.tests.values()
            if outcome in card.needs.get(test, ()) and bad.issuperset(card.needs[test])
        }
        if mending:
            yield Stop(test, outcome, frozenset(mending | telling))


def _owed(call: Call, rows: tuple[Row, ...], weights: Floats) -> Floats:
    """(F,): what each fault still costs somebody when the call is handed on (rule 6): the cheapest expected minutes
    of a repair that removes it, tried until it does; the weighted mean for a fault without one and the unlisted."""
    known = dict.fromkeys((row.fault.id for row in rows), np.inf)
    for fault in {row.fault.id: row.fault for row in rows}.values():
        for _, card in fault.named_repairs:
            for other, chance in {**card.also_fixes, fault.id: card.fixes}.items():
                if other in known and chance > 0:
                    again = (1 - chance) / chance * minutes_of_failed(call.library, fault, card)
                    known[other] = min(known[other], minutes_of_repair(call.library, fault, card) + again)
    ids = list(known)
    pairs = [(weight, known[name]) for name, weight in zip(ids, weights, strict=False) if np.isfinite(known[name])]
    total = math.fsum(weight for weight, _ in pairs)
    mean = math.fsum(weight * minutes for weight, minutes in pairs) / total if total > 0 else 0.0
    return frozen_array([*(known[row.fault.id] if np.isfinite(known[row.fault.id]) else mean for row in rows), mean])


def _first(call: Call) -> tuple[str, ...]:
    """The tests that come first for any of the symptoms, once each, in order."""
    symptoms = (call.library.symptoms[name] for name in call.symptoms)
    return tuple(dict.fromkeys(check.test for symptom in symptoms for check in symptom.first))


def _offer_useful(
    tests: tuple[Test, ...], repairs: tuple[Repair, ...], first: tuple[str, ...], stops: tuple[Stop, ...]
) -> tuple[Test, ...]:
    """The tests, those not offered that tell no causes apart, that nothing waits for and that lift no stop."""
    by_id = {test.id: test for test in tests}
    stopping = {stop.test for stop in stops}
    wanted = [*first, *(name for repair in repairs for name in repair.needs)]
    wanted += [test.id for test in tests if any(stopping & new.keys() for new in test.renews.values())]
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
    return replace(test, offered=False)
