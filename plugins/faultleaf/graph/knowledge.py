"""How the knowledge itself stands: mistakes in its order, and warnings where it is weak.

A warning is no failure: the site is built. It says where a card would earn its keep.
"""

import datetime as dt
import itertools
from collections.abc import Iterator, Mapping

import networkx as nx

from faultleaf.cards import Fault, Library, Mistake, Origin, Repair, Symptom, Test
from faultleaf.cards.measuring import wait_minutes
from faultleaf.cards.mistakes import Loc
from faultleaf.cards.models import Card, Numbered
from faultleaf.cards.text import every, words_of
from faultleaf.graph.apart import CONFIRMING, can_meet, unconfirmed, undistinguished
from faultleaf.graph.idle import idle_spots
from faultleaf.words import minutes_text

MOST_NAMED = 3
"""Other cards that one warning names."""

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
        *_unheard(library), *_unguarded(library), *_without_basis(library), *_reversals(library),
        *_without_steps(library), *idle_spots(library), *_short_waits(library),
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
            elif other in library.tests and not can_meet(step.found_on, library.tests[other].found_on):
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
    for fault in unconfirmed(library):
        message = "no test confirms this fault"
        hint = f"Name an outcome under 'shows' that is {CONFIRMING:g} times likelier with it than without."
        yield _warn(library, fault, ("shows",), "unconfirmed-fault", message, hint)


def _not_told_apart(library: Library) -> Iterator[Mistake]:
    for one, pairs in itertools.groupby(undistinguished(library, library.faults.values()), key=lambda pair: pair[0]):
        message = f"no test tells this fault from {_named([other.id for _, other in pairs])}, and their repairs differ"
        hint = "Give them different outcomes at a test, or write a test that does."
        yield _warn(library, one, ("shows",), "not-told-apart", message, hint)


def _named(names: list[str]) -> str:
    """Some names in quotes, and how many more there are.

    >>> _named(["a", "b", "c", "d"])
    "'a', 'b', 'c' and 1 more"
    """
    more = f" and {len(names) - MOST_NAMED} more" if len(names) > MOST_NAMED else ""
    return ", ".join(f"'{name}'" for name in names[:MOST_NAMED]) + more


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


def _unheard(library: Library) -> Iterator[Mistake]:
    for symptom in library.symptoms.values():
        if not symptom.also_said:
            message = "nothing is said of how callers tell this symptom, so the search cannot hear it"
            yield _warn(library, symptom, (), "unheard-symptom", message, "Write 'also_said', ten sayings or more.")


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
        alike: dict[str, list[tuple[float, float, Fault]]] = {}
        for fault in library.candidates(symptom.id):
            share = fault.how_common * fault.symptoms[symptom.id]
            alike.setdefault(repr(sorted(fault.place(symptom.id).items())), []).append((fault.how_common, share, fault))
        for common, share, one in itertools.chain.from_iterable(alike.values()):
            rivals = alike[repr(sorted(one.place(symptom.id).items()))]
            if passed := [other.id for its, its_share, other in rivals if its < common and its_share > share]:
                message = f"commoner than {_named(passed)}, yet a lesser share of calls for '{symptom.id}'"
                hint = "Meant so? Then it needs nothing."
                yield _warn(library, one, ("how_common",), "reversed-order", message, hint)


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
