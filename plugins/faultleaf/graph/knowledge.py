"""How the knowledge itself stands: mistakes in its order, and warnings where it is weak.

A warning is no failure: the site is built. It says where a card would earn its keep.
"""

import datetime as dt
import itertools
from collections.abc import Collection, Iterable, Iterator, Mapping

import networkx as nx

from faultleaf.cards import Fault, Library, Mistake, Origin, Repair, Symptom, Test, fault_rates, otherwise_rates
from faultleaf.cards.measuring import wait_minutes
from faultleaf.cards.mistakes import Loc
from faultleaf.cards.models import Card, Numbered
from faultleaf.cards.text import every, words_of
from faultleaf.graph.idle import idle_spots
from faultleaf.words import minutes_text

TOLD_APART = 0.3
"""Total variation between two faults' rows at one test from which it tells them apart (model, rule 15)."""

CONFIRMING = 5.0
"""Likelihood ratio of one outcome against the rest from which it confirms a fault (model, rule 15)."""

HAZARDOUS_WORDS = ("boiling", "drain", "hot", "live", "power off", "pressure", "steam", "wire", "wiring")
"""Words in numbered steps that want at least one caution on the card (common practice, no source)."""


def order_mistakes(library: Library) -> tuple[Mistake, ...]:
    """Cycles: in the tests' needs, in the causes of causes, in the parts of components."""
    needs = {name: set(test.needs) for name, test in library.tests.items()}
    causes = {name: set(fault.comes_from) for name, fault in library.faults.items()}
    parts = {name: {c.part_of} if c.part_of else set() for name, c in library.components.items()}
    return (
        *_cycles(library, "test", "needs", needs),
        *_cycles(library, "fault", "comes_from", causes),
        *_cycles(library, "component", "part_of", parts),
        *_contradictions(library),
    )


def weak_spots(library: Library, as_of: dt.date | None = None) -> tuple[Mistake, ...]:
    """Warnings where the knowledge is thin, sorted by file and line.

    With `as_of`, cards whose last review is older than the site's `review_every` are named too (no
    clock is read here).
    """
    found = [
        *_unconfirmed(library), *_not_told_apart(library), *_unused_tests(library), *_lonely_symptoms(library),
        *_unguarded(library), *_without_basis(library), *_reversals(library), *_without_steps(library),
        *idle_spots(library), *_short_waits(library),
    ]  # fmt: skip
    if as_of:
        found += _overdue(library, as_of)
    return tuple(sorted(found))


def _short_waits(library: Library) -> Iterator[Mistake]:
    for test in library.tests.values():
        wanted = test.wait_from
        if wanted and test.wait < (least := wait_minutes(library.worksheets[wanted.worksheet], wanted)):
            message = f"the test waits {minutes_text(test.wait)}, its worksheet asks for {minutes_text(least)}"
            yield _warn(library, test, ("wait",), "short-wait", message, "Wait longer, or look for a larger leak.")


def usable_tests(library: Library, *faults: Fault) -> list[Test]:
    """The tests that equipment allows wherever all of these faults can exist."""
    return [test for test in library.tests.values() if all(_can_meet(test.found_on, f.found_on) for f in faults)]


def _can_meet(one: Mapping[str, tuple[str, ...]], other: Mapping[str, tuple[str, ...]]) -> bool:
    return all(set(values) & set(other[feature]) for feature, values in one.items() if feature in other)


def total_variation(test: Test, one: Fault, other: Fault) -> float:
    """Half the summed difference of the two faults' rows at the test: 0 alike, 1 always told apart."""
    rows = [fault_rates(test, fault) for fault in (one, other)]
    return sum(abs(rows[0][outcome] - rows[1][outcome]) for outcome in rows[0]) / 2


def _warn(library: Library, card: Card, loc: Loc, code: str, message: str, hint: str) -> Mistake:
    return library.origins[(card.kind, card.id)].mistake(loc, code, message, hint, "warning")


def _cycles(library: Library, kind: str, field: str, arrows: Mapping[str, set[str]]) -> Iterator[Mistake]:
    """One mistake for each tangle: a real way round in it, shown from the first of its cards by id."""
    graph = nx.DiGraph([(a, b) for a in sorted(arrows) for b in sorted(arrows[a])])
    for tangle in sorted(sorted(part) for part in nx.strongly_connected_components(graph)):
        if len(tangle) > 1 or graph.has_edge(tangle[0], tangle[0]):
            round_trip = _way_round(graph, tangle)
            message = f"these {kind}s go round in a circle: {' → '.join([*round_trip, round_trip[0]])}"
            origin = library.origins[(kind, round_trip[0])]
            yield origin.mistake((field,), "cycle", message, "Take one of the links out.")


def _way_round(graph: "nx.DiGraph[str]", tangle: list[str]) -> list[str]:
    """The shortest way from the first node of a tangle back to itself, without the return."""
    first = tangle[0]
    ways = [nx.shortest_path(graph, after, first) for after in sorted(graph.successors(first)) if after in tangle]
    return [first, *min(ways, key=lambda way: (len(way), way))[:-1]]


def _contradictions(library: Library) -> Iterator[Mistake]:
    """Needs that nobody can meet: forbidden by the same step, or of a test that its equipment rules out."""
    for origin, loc, step in _steps(library):
        for other, outcomes in step.needs.items():
            place = (*loc, "needs", other)
            if set(outcomes) <= set(step.never_when.get(other, ())):
                message = f"'{other}' is needed with an outcome under which this must not be done"
                yield origin.mistake(place, "unmeetable-need", message)
            elif other in library.tests and not _can_meet(step.found_on, library.tests[other].found_on):
                message = f"'{other}' is needed, and no system has the equipment for both"
                yield origin.mistake(place, "unmeetable-need", message)


def _steps(library: Library) -> Iterator[tuple[Origin, Loc, Test | Repair]]:
    """Every test and every repair, with the place where it stands."""
    for test in library.tests.values():
        yield library.origins[("test", test.id)], (), test
    for fault in library.faults.values():
        origin = library.origins[("fault", fault.id)]
        if fault.repair:
            yield origin, ("repair",), fault.repair
        for index, repair in enumerate(fault.repairs):
            yield origin, ("repairs", index), repair


def _unconfirmed(library: Library) -> Iterator[Mistake]:
    for fault in library.faults.values():
        if fault.symptoms and not any(_confirms(library, test, fault) for test in usable_tests(library, fault)):
            message = "no test confirms this fault"
            hint = f"Name an outcome under 'shows' that is {CONFIRMING:g} times likelier with it than without."
            yield _warn(library, fault, ("shows",), "unconfirmed-fault", message, hint)


def _confirms(library: Library, test: Test, fault: Fault) -> bool:
    """Whether some outcome is CONFIRMING times likelier than on average over the other candidates."""
    others = [f for f in library.faults.values() if f.id != fault.id and _are_rivals(f, fault)]
    own = fault_rates(test, fault)
    # Alone, its rival is the unlisted cause, which takes `otherwise`.
    rows: list[tuple[float, dict[str, float]]] = [(f.how_common, fault_rates(test, f)) for f in others] or [
        (1.0, otherwise_rates(test))
    ]
    total = sum(weight for weight, _ in rows)
    rest = {outcome: sum(weight * row[outcome] for weight, row in rows) / total for outcome in own}
    return any(rate > 0 and rate >= CONFIRMING * rest[outcome] for outcome, rate in own.items())


def _are_rivals(one: Fault, other: Fault) -> bool:
    """Whether both may lie behind one call: a symptom in common, on a system where either shows as it."""
    shared = set(one.symptoms) & set(other.symptoms)
    return any(_can_meet(one.place(symptom), other.place(symptom)) for symptom in shared)


def undistinguished(
    library: Library, faults: Iterable[Fault], tests: Collection[str] | None = None
) -> Iterator[tuple[Fault, Fault]]:
    """Pairs of these faults that may lie behind one call, want different repairs, and that no test tells
    apart (model, rule 15). `tests`: the ids of those that may be done, None for every test."""
    for one, other in itertools.combinations(faults, 2):
        if not _are_rivals(one, other) or _same_repair(one, other):
            continue
        usable = (test for test in usable_tests(library, one, other) if tests is None or test.id in tests)
        if not any(total_variation(test, one, other) > TOLD_APART for test in usable):
            yield one, other


def _not_told_apart(library: Library) -> Iterator[Mistake]:
    for one, other in undistinguished(library, library.faults.values()):
        message = f"no test tells this fault from '{other.id}', and their repairs differ"
        hint = "Give them different outcomes at a test, or write a test that does."
        yield _warn(library, one, ("shows",), "not-told-apart", message, hint)


def _same_repair(one: Fault, other: Fault) -> bool:
    """Whether telling them apart would change nothing: one repair mends both, or both are handed on."""
    if not one.all_repairs and not other.all_repairs:
        return True
    return any(other.id in r.also_fixes for r in one.all_repairs) or any(
        one.id in r.also_fixes for r in other.all_repairs
    )


def _unused_tests(library: Library) -> Iterator[Mistake]:
    used = {name for fault in library.faults.values() for name in fault.named_tests}
    used |= {check.test for symptom in library.symptoms.values() for check in symptom.first}
    used |= {name for test in library.tests.values() for name in (*test.needs, *test.never_when)}
    repairs = [repair for fault in library.faults.values() for repair in fault.all_repairs]
    used |= {name for repair in repairs for name in (*repair.needs, *repair.never_when, *repair.restore)}
    used |= {name for test in library.tests.values() for stop in test.stops.values() for name in stop.allows}
    used |= {name for test in library.tests.values() for name in (*test.renews, *(test.id,) * bool(test.stops))}
    for test in library.tests.values():
        if test.id not in used:
            yield _warn(library, test, (), "unused-test", "no fault, symptom or test names this test", "")


def _lonely_symptoms(library: Library) -> Iterator[Mistake]:
    for symptom in library.symptoms.values():
        count = len(list(library.candidates(symptom.id)))
        if count < 2 and not symptom.emergency:  # no plan is computed in an emergency
            message = f"this symptom has {'one candidate' if count else 'no candidate'}"
            yield _warn(library, symptom, (), "few-candidates", message, "Write the faults that show as it.")


def _unguarded(library: Library) -> Iterator[Mistake]:
    guarded: list[tuple[Card, tuple[str, ...]]] = [(test, test.cautions) for test in library.tests.values()]
    guarded += [(fault, fault.all_cautions) for fault in library.faults.values()]
    for card, named in guarded:
        steps = (words_of(part.text) for part in card.body.sections if part.title in ("Steps", "Repair"))
        text = f" {' '.join(steps)}".lower()
        word = next((word for word in HAZARDOUS_WORDS if f" {word}" in text), None)
        if word and not named:
            message = f"a step speaks of '{word}', and the card names no caution"
            yield _warn(library, card, ("cautions",), "no-caution", message, "Name the cautions of this step.")


def _without_basis(library: Library) -> Iterator[Mistake]:
    for card in library.cards.values():
        if isinstance(card, Numbered) and card.basis is None:
            message = "this card's numbers do not say where they come from"
            yield _warn(library, card, (), "no-provenance", message, "Write 'basis: judgement', or better.")
    for name, feature in library.equipment.items():
        if feature.basis is None:
            message, hint = "these shares do not say where they come from", "Write 'basis: judgement', or better."
            yield library.origins[("equipment", name)].mistake((name,), "no-provenance", message, hint, "warning")


def _reversals(library: Library) -> Iterator[Mistake]:
    """Faults that are commoner than others before any symptom, yet come later within one (rule 1)."""
    for symptom in library.symptoms.values():
        candidates = list(library.candidates(symptom.id))
        for one in candidates:
            if passed := [f"'{other.id}'" for other in candidates if _is_reversed(one, other, symptom.id)]:
                more = f" and {len(passed) - 3} more" if len(passed) > 3 else ""
                names = ", ".join(passed[:3]) + more
                message = f"commoner than {names}, yet a lesser share of calls for '{symptom.id}'"
                hint = "Meant so? Then it needs nothing."
                yield _warn(library, one, ("how_common",), "reversed-order", message, hint)


def _is_reversed(one: Fault, other: Fault, symptom: str) -> bool:
    shares = [fault.how_common * fault.symptoms[symptom] for fault in (one, other)]
    return one.how_common > other.how_common and shares[0] < shares[1] and one.place(symptom) == other.place(symptom)


def _without_steps(library: Library) -> Iterator[Mistake]:
    repairable = [fault for fault in library.faults.values() if fault.all_repairs]
    for card in [*library.tests.values(), *repairable]:
        heading = "Steps" if isinstance(card, Test) else "Repair"
        section = card.body.section(heading)
        if section is None or not any(every(section.text, "ol")):
            message = f"there are no numbered steps under '## {heading}'"
            yield _warn(library, card, (), "no-steps", message, "Write '1. …' lines, one action each.")


def _overdue(library: Library, as_of: dt.date) -> Iterator[Mistake]:
    every = dt.timedelta(minutes=library.site.review_every)
    for card in library.cards.values():
        if card.reviewed and as_of - card.reviewed > every:
            message = f"last reviewed on {card.reviewed}, overdue on {as_of}"
            yield _warn(library, card, ("reviewed",), "review-overdue", message, "Read it again and set the date.")


def candidates_of(library: Library, symptom: Symptom) -> tuple[Fault, ...]:
    """The faults that may cause this symptom, likeliest first before equipment is known."""
    faults = library.candidates(symptom.id)
    return tuple(sorted(faults, key=lambda fault: (-fault.how_common * fault.symptoms[symptom.id], fault.id)))
