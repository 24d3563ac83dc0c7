"""Warnings about what a card says without effect, or can hardly mean: it counts for nothing in any call.

Each looks at one card beside those that it names, so that all together are linear in the library, but for the
shares of faults, which take every symptom's candidates once.
"""

import math
from collections.abc import Iterator, Mapping, Sequence

from faultleaf.cards import Fault, Library, Mistake, Repair, Test, otherwise_rates, outcome_rates
from faultleaf.cards.mistakes import Loc
from faultleaf.cards.models import Card
from faultleaf.words import minutes_text

SAME = 1e-9
"""Probabilities that differ by less are equal."""
NEVER_COUNTS = 1 / 500
"""A fault with a lesser share of the calls on its own equipment counts for nothing (judgement)."""
CONVICTING = 3.0
"""Odds between two outcomes that differ by less over all faults tell nothing apart (judgement)."""
HARDLY = 0.005
"""Chances below this are alike: nobody meets such calls."""
LONG_REPAIR = 240.0
"""Minutes of a repair from which it is mostly a job to quote (judgement)."""


def idle_spots(library: Library) -> Iterator[Mistake]:
    """Every warning of this kind, in no order."""
    yield from _same_otherwise(library)
    yield from _same_modes(library)
    yield from _never_counting(library)
    yield from _idle_outcomes(library)
    yield from _closed_stops(library)
    yield from _long_repairs(library)


def _warn(library: Library, card: Card, loc: Loc, code: str, message: str, hint: str) -> Mistake:
    return library.origins[(card.kind, card.id)].mistake(loc, code, message, hint, "warning")


def _same_otherwise(library: Library) -> Iterator[Mistake]:
    """`otherwise_on` and `otherwise_at` that say nothing new, or speak of systems that the test is not done on."""
    for test in library.tests.values():
        plain = otherwise_rates(test)
        for where in test.otherwise_on:
            feature, _, value = where.partition("=")
            if value not in test.found_on.get(feature, (value,)):
                message = f"the test is not done on systems with {where}"
                hint = "Take the line out, or widen 'found_on'."
                yield _warn(library, test, ("otherwise_on", where), "otherwise-not-here", message, hint)
            elif _alike(plain, otherwise_rates(test, {feature: {value: 1.0}})):
                yield _same(library, test, ("otherwise_on", where))
        for symptom in test.otherwise_at:
            if _alike(plain, otherwise_rates(test, symptom=symptom)):
                yield _same(library, test, ("otherwise_at", symptom))


def _same(library: Library, test: Test, loc: Loc) -> Mistake:
    message = "this says what 'otherwise' says already"
    return _warn(library, test, loc, "same-otherwise", message, "Take the line out, or write what differs.")


def _alike(one: Mapping[str, float], other: Mapping[str, float]) -> bool:
    return all(abs(one[outcome] - other[outcome]) < SAME for outcome in one)


def _same_modes(library: Library) -> Iterator[Mistake]:
    """Ways of showing that show the same at every test."""
    for fault in library.faults.values():
        tests = [library.tests[name] for name in fault.named_tests]
        rows = [(name, [outcome_rates(t, shows.get(t.id)) for t in tests]) for name, _, shows in fault.rows]
        for place, (name, row) in enumerate(rows):
            twin = next((other for other, its in rows[:place] if all(map(_alike, row, its))), None)
            if twin is not None:
                message = f"this way of showing shows the same as '{twin}' at every test"
                hint = "Put the two together, or name a test at which they differ."
                yield _warn(library, fault, ("modes", name), "same-modes", message, hint)


def _never_counting(library: Library) -> Iterator[Mistake]:
    """Faults whose share stays below NEVER_COUNTS on every symptom, even where their own equipment is."""
    shares = dict.fromkeys(library.faults, 0.0)
    for symptom in library.symptoms.values():
        candidates = [(fault, fault.place(symptom.id)) for fault in library.candidates(symptom.id)]
        weights = {fault.id: fault.how_common * fault.symptoms[symptom.id] for fault, _ in candidates}
        places = {repr(sorted(place.items())): place for _, place in candidates}
        by_place = dict.fromkeys(places, 0.0)
        for fault, place in candidates:
            by_place[repr(sorted(place.items()))] += weights[fault.id]
        totals = {
            here: math.fsum(weight * _meets(library, places[here], places[there]) for there, weight in by_place.items())
            for here in places
        }
        for fault, place in candidates:
            total = totals[repr(sorted(place.items()))]
            share = (1 - symptom.unlisted) * weights[fault.id] / total if total > 0 else 0.0
            shares[fault.id] = max(shares[fault.id], share)
    for name, share in shares.items():
        fault = library.faults[name]
        if fault.symptoms and share < NEVER_COUNTS:
            message = f"even on its own equipment this is behind fewer than 1 in {1 / NEVER_COUNTS:g} calls"
            hint = "Count 'how_common' among owners of the equipment, or take the card out."
            yield _warn(library, fault, ("how_common",), "never-counts", message, hint)


def _meets(library: Library, here: Mapping[str, tuple[str, ...]], other: Mapping[str, tuple[str, ...]]) -> float:
    """The share of the systems described by `here` on which the other fault can exist."""
    share = 1.0
    for feature, allowed in other.items():
        values = library.equipment[feature].values
        mine = here.get(feature, tuple(values))
        total = math.fsum(values[value].share for value in mine)
        share *= math.fsum(values[value].share for value in mine if value in allowed) / total if total > 0 else 0.0
    return share


def _idle_outcomes(library: Library) -> Iterator[Mistake]:
    """Outcomes that tell no more than another one of the same test, and that nothing else waits for.

    Two outcomes tell the same where the odds between them are nearly the same with every fault. Tests that no fault
    names are there for their stops, or unused, which is told elsewhere.
    """
    awaited = _awaited(library)
    shown: dict[str, list[Mapping[str, float]]] = {}
    for fault in library.faults.values():
        for _, _, shows in fault.rows:
            for name, seen in shows.items():
                shown.setdefault(name, []).append(outcome_rates(library.tests[name], seen))
    for test in library.tests.values():
        rows = [*shown.get(test.id, ()), otherwise_rates(test)]
        rows += [otherwise_rates(test, symptom=symptom) for symptom in test.otherwise_at]
        for place, outcome in enumerate(test.outcomes):
            before = [one for one in list(test.outcomes)[:place] if (test.id, one) not in awaited]
            like = next((one for one in before if _tells_the_same(rows, one, outcome)), None)
            if test.id in shown and (test.id, outcome) not in awaited and like is not None:
                message = f"'{like}' and '{outcome}' tell the same: no fault changes their odds by {CONVICTING:g}"
                hint = "Name one of the two under 'shows' of a fault, or put them together."
                yield _warn(library, test, ("outcomes", outcome), "idle-outcome", message, hint)


def _tells_the_same(rows: Sequence[Mapping[str, float]], one: str, other: str) -> bool:
    """Whether the odds between two outcomes differ by less than `CONVICTING` over all rows."""
    odds = [max(row[one], HARDLY) / max(row[other], HARDLY) for row in rows]
    return max(odds) < CONVICTING * min(odds) * (1 - SAME)


def _awaited(library: Library) -> set[tuple[str, str]]:
    """Outcomes that stop, forbid, free, renew or call for a mending: they count without naming a fault."""
    steps: list[Test | Repair] = [*library.tests.values()]
    steps += [repair for fault in library.faults.values() for repair in fault.all_repairs]
    found = {(name, one) for step in steps for name, seen in step.needs.items() for one in seen}
    found |= {(name, one) for step in steps for name, seen in step.never_when.items() for one in seen}
    found |= {
        (name, one) for step in steps if isinstance(step, Repair) for name, seen in step.mends.items() for one in seen
    }
    for test in library.tests.values():
        found |= {(test.id, outcome) for outcome in test.stops}
        found |= {(test.id, own) for new in test.renews.values() for own in new}
    return found


def _closed_stops(library: Library) -> Iterator[Mistake]:
    """Steps that a stop allows and that its own outcome forbids, so that they can never be done after it."""
    for test in library.tests.values():
        for outcome, stop in test.stops.items():
            for name in stop.allows:
                if not any(_open_after(step, test.id, outcome) for step in _steps_of(library, name)):
                    message = f"'{name}' is allowed here and can never be done after this outcome"
                    hint = "Mend its 'needs' and 'never_when', or take it out of 'allows'."
                    yield _warn(library, test, ("stops", outcome, "allows"), "closed-stop", message, hint)


def _steps_of(library: Library, name: str) -> list[Test | Repair]:
    """The test of this name and the repairs of the fault of this name."""
    steps: list[Test | Repair] = [library.tests[name]] if name in library.tests else []
    return [*steps, *(library.faults[name].all_repairs if name in library.faults else ())]


def _open_after(step: Test | Repair, test: str, outcome: str) -> bool:
    return outcome in step.needs.get(test, (outcome,)) and outcome not in step.never_when.get(test, ())


def _long_repairs(library: Library) -> Iterator[Mistake]:
    """Repairs that hardly anybody does on a call, and that are not said to be quoted."""
    for fault in library.faults.values():
        for index, repair in enumerate(fault.all_repairs):
            if repair.takes >= LONG_REPAIR and not repair.quote:
                message = f"this repair takes {minutes_text(repair.takes)}, and is not said to be a job to quote"
                hint = "Is it one? Then write 'quote: yes'; done on the call it needs nothing."
                yield _warn(library, fault, _place_of(fault, index), "long-repair", message, hint)


def _place_of(fault: Fault, index: int) -> Loc:
    """Where a repair's minutes stand in its card."""
    if fault.repair is None:
        return ("repairs", index, "takes")
    return ("repairs", index - 1, "takes") if index else ("repair", "takes")
