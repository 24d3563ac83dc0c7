"""What one card alone cannot show: names of other cards, outcomes, sums, limits."""

import math
from collections.abc import Iterator, Mapping, Sequence, Set
from dataclasses import dataclass
from functools import cached_property

from faultleaf.cards import (
    CardKey,
    Caution,
    Fault,
    Library,
    Mistake,
    Origin,
    Reference,
    Survey,
    Test,
    Worksheet,
    did_you_mean,
)
from faultleaf.cards.likelihood import SUM_TOLERANCE, sum_mistake
from faultleaf.cards.mistakes import Loc, quoted
from faultleaf.cards.models import CARD_TYPES, Card, Numbered, Symptom
from faultleaf.cards.names import references_in
from faultleaf.cards.short import LONGEST_ORDER
from faultleaf.cards.urls import slug
from faultleaf.cards.values import LONGEST_ID
from faultleaf.intake.measuring import measuring_mistakes
from faultleaf.intake.short import short_mistakes
from faultleaf.intake.validate import field_names
from faultleaf.intake.worksheets import OwnMistake, survey_mistakes, worksheet_mistakes

_KIND_OF_FOLDER = {card_type.folder: card_type.kind for card_type in CARD_TYPES}


@dataclass(frozen=True)
class Known:
    """Every name that a card may use, those of cards that could not be read included."""

    cards: Set[CardKey]
    equipment: Set[str]
    sources: Set[str]

    def ids(self, kind: str) -> Set[str]:
        """The ids of one kind."""
        return self._by_kind.get(kind, set())

    @cached_property
    def _by_kind(self) -> dict[str, Set[str]]:
        kinds = {kind for kind, _ in self.cards}
        cards = {kind: {name for of, name in self.cards if of == kind} for kind in sorted(kinds)}
        return {**cards, "source": self.sources, "equipment": self.equipment}


def check_references(
    library: Library, known: Known, site_origin: Origin, broken: Sequence[tuple[Card, Origin]] = ()
) -> list[Mistake]:
    """Every mistake in what cards say of each other, and in sums and limits.

    `broken` are what can be saved of cards with mistakes of their own: their names are checked too.
    """
    mistakes: list[Mistake] = []
    for card, origin in broken:
        for reference in card.references():
            mistakes += _check(library, known, origin, reference)
        mistakes += [origin.mistake(*wrong) for wrong in _basis_mistakes(card)]
    for key, card in library.cards.items():
        origin = library.origins[key]
        for reference in card.references():
            mistakes += _check(library, known, origin, reference)
        mistakes += [origin.mistake(*wrong) for wrong in _own_mistakes(library, card)]
    for name, feature in library.equipment.items():
        for reference in references_in(feature, (name,)):
            mistakes += _check(library, known, library.origins[("equipment", name)], reference)
    for reference in references_in(library.site):
        mistakes += _check(library, known, site_origin, reference)
    mistakes += _key_mistakes(library)
    return mistakes + _equipment_mistakes(library) + _renamed_mistakes(library, known)


def _check(library: Library, known: Known, origin: Origin, reference: Reference) -> Iterator[Mistake]:
    kind, target, loc = reference.kind, reference.target, reference.loc
    if kind == "card":
        folder, _, target = target.partition("/")
        kind = _KIND_OF_FOLDER.get(folder, "")
        if not kind:
            hint = did_you_mean(folder, _KIND_OF_FOLDER)
            yield origin.mistake(loc, "unknown-kind", f"there is no folder {quoted(folder)}", hint)
            return
    if kind == "step":  # a test, or a fault whose repair is meant
        kind = "fault" if target in known.ids("fault") else "test"
    if target and target not in known.ids(kind):
        word = "feature" if kind == "equipment" else kind
        renamed = library.renamed.get((kind, target))
        near = f"It is called '{renamed}' now." if renamed else did_you_mean(target, known.ids(kind))
        yield origin.mistake(loc, f"unknown-{kind}", f"there is no {word} {quoted(target)}", near)
        return
    yield from _check_outcomes(library, origin, Reference(loc, kind, target, reference.outcomes))


def _check_outcomes(library: Library, origin: Origin, reference: Reference) -> Iterator[Mistake]:
    target, loc = reference.target, reference.loc
    if reference.kind == "test" and target in library.tests:
        names, code, what = set(library.tests[target].outcomes), "unknown-outcome", "test"
    elif reference.kind == "equipment" and target in library.equipment:
        names, code, what = set(library.equipment[target].values), "unknown-value", "feature"
    else:
        return
    noun = "outcome" if what == "test" else "value"
    for outcome in reference.outcomes:
        if outcome not in names:
            message = f"the {what} '{target}' has no {noun} '{outcome}'"
            place = (*loc, outcome) if (*loc, outcome) in origin.lines else loc
            yield origin.mistake(place, code, message, did_you_mean(outcome, names))


def _basis_mistakes(card: Card) -> Iterator[OwnMistake]:
    names = field_names(type(card))
    for field in card.basis_of if isinstance(card, Numbered) else ():
        if field.split(".")[0] not in names:
            yield ("basis_of", field), "unknown-field", f"there is no field {quoted(field)}", did_you_mean(field, names)


def _own_mistakes(library: Library, card: Card) -> Iterator[OwnMistake]:
    yield from _basis_mistakes(card)
    if isinstance(card, Test):
        yield from _test_mistakes(card)
        yield from measuring_mistakes(library, card)
    elif isinstance(card, Fault):
        yield from _fault_mistakes(library, card)
    elif isinstance(card, Symptom):
        yield from _symptom_mistakes(card)
    elif isinstance(card, Caution):
        yield from _caution_mistakes(card)
    elif isinstance(card, Worksheet):
        yield from worksheet_mistakes(card)
    elif isinstance(card, Survey):
        yield from survey_mistakes(library, card)


def _fault_mistakes(library: Library, fault: Fault) -> Iterator[OwnMistake]:
    for loc, shows in ((), fault.shows), *((("modes", name), mode.shows) for name, mode in fault.modes.items()):
        for name, shown in shows.items():
            test = library.tests.get(name)
            if test and set(shown) <= set(test.outcomes) and (wrong := sum_mistake(tuple(test.outcomes), shown)):
                yield (*loc, "shows", name), "bad-sum", wrong, ""
    total = math.fsum(mode.share for mode in fault.modes.values())
    if fault.modes and abs(total - 1) > SUM_TOLERANCE:
        yield ("modes",), "bad-sum", f"the shares add up to {total:g}, not to 1", ""
    yield from _repair_mistakes(library, fault)
    for symptom in fault.shows_on:
        if symptom not in fault.symptoms:
            message = f"the fault does not name '{symptom}' under 'symptoms'"
            yield ("shows_on", symptom), "unused-place", message, did_you_mean(symptom, fault.symptoms)
        elif not all(fault.place(symptom).values()):
            hint = "Leave a value that both allow."
            yield ("shows_on", symptom), "unused-place", "'found_on' rules out the equipment named here", hint


def _repair_mistakes(library: Library, fault: Fault) -> Iterator[OwnMistake]:
    """A look of a proof that there is not, and an instrument that is mended without a finding to show for it."""
    for index, repair in enumerate(fault.all_repairs):
        loc: Loc = ("repair",) if fault.repair and index == 0 else ("repairs", index - (fault.repair is not None))
        proof = library.proofs.get(repair.proof)
        if proof and repair.fails_at > len(proof.looks):
            message = f"the proof '{proof.id}' has {len(proof.looks)} looks"
            yield (*loc, "fails_at"), "out-of-range", message, ""
        for test in repair.mends:
            if test not in repair.restore:
                hint = f"Say under 'restore' what '{test}' shows once it is mended."
                yield (*loc, "mends", test), "unmeetable-need", f"nothing is said to be found at '{test}' then", hint


def _symptom_mistakes(symptom: Symptom) -> Iterator[OwnMistake]:
    if symptom.unlisted >= 1:
        yield ("unlisted",), "out-of-range", "the share of unlisted causes must be below 1", ""
    pages: dict[str, str] = {}
    for name in symptom.variants:
        page = slug(name)
        if not page:
            hint = "Use some plain letters or digits."
            yield ("variants", name), "bad-variant", f"no address can be made of the name {quoted(name)}", hint
        elif len(page) > LONGEST_ID:
            message = f"the name makes an address of {len(page)} letters, more than {LONGEST_ID}"
            yield ("variants", name), "bad-variant", message, "Shorten it."
        elif page in pages:
            message = f"the name {quoted(name)} gives the same address as {quoted(pages[page])}"
            yield ("variants", name), "bad-variant", message, "Rename one of them."
        pages.setdefault(page, name)


def _test_mistakes(test: Test) -> Iterator[OwnMistake]:
    yield from _otherwise_mistakes(test, ("otherwise",), test.otherwise)
    for field in ("otherwise_on", "otherwise_at"):
        for name, said in getattr(test, field).items():
            yield from _otherwise_mistakes(test, (field, name), said)
    for field in ("stops", "also_said"):
        for outcome in getattr(test, field):
            if outcome not in test.outcomes:
                yield (field, outcome), *_no_outcome(test, outcome)
    for name, new in test.renews.items():
        for outcome in new:
            if outcome not in test.outcomes:
                yield ("renews", name, outcome), *_no_outcome(test, outcome)
        if name == test.id:
            yield ("renews", name), "cycle", "a test cannot renew its own finding", ""
    if test.short:
        yield from short_mistakes(("short",), test.short, test.outcomes)


def _no_outcome(test: Test, outcome: str) -> tuple[str, str, str]:
    return "unknown-outcome", f"this test has no outcome '{outcome}'", did_you_mean(outcome, test.outcomes)


def _otherwise_mistakes(test: Test, loc: Loc, said: Mapping[str, float] | str | None) -> Iterator[OwnMistake]:
    named = {said: 0.9} if isinstance(said, str) else dict(said or {})
    for outcome in named:
        if outcome not in test.outcomes:
            yield loc if isinstance(said, str) else (*loc, outcome), *_no_outcome(test, outcome)
    if named and set(named) <= set(test.outcomes) and (wrong := sum_mistake(tuple(test.outcomes), named)):
        yield loc, "bad-sum", wrong, ""


def _caution_mistakes(caution: Caution) -> Iterator[OwnMistake]:
    for harmed in caution.harms:
        if harmed not in ("people", "property"):
            hint = did_you_mean(harmed, ["people", "property"])
            yield ("harms",), "unknown-word", f"'{harmed}' is neither people nor property", hint
    people = "people" in caution.harms
    if caution.signal == "notice" and people:
        hint = "Use caution, warning or danger (ANSI Z535.6)."
        yield ("signal",), "wrong-signal", "NOTICE is for damage to property alone", hint
    if caution.signal != "notice" and not people:
        hint = "Use notice (ANSI Z535.6)."
        yield ("signal",), "wrong-signal", f"{caution.signal.upper()} is for harm to people", hint

    if caution.signal != "danger" and len(caution.order) > LONGEST_ORDER:
        message = f"the order of a {caution.signal} has at most {LONGEST_ORDER} letters, this has {len(caution.order)}"
        yield ("order",), "too-long", message, "Say it shorter: it stands beside its key on a sheet."


def _key_mistakes(library: Library) -> Iterator[Mistake]:
    """Two cautions with one key: on paper nobody could tell them apart."""
    owners: dict[str, str] = {}
    for name, caution in library.cautions.items():
        owner = owners.setdefault(caution.key, name)
        if owner != name:
            message = f"the key '{caution.key}' belongs to the caution '{owner}'"
            yield library.origins[("caution", name)].mistake(("key",), "duplicate-key", message)


def _equipment_mistakes(library: Library) -> list[Mistake]:
    mistakes = []
    for name, feature in library.equipment.items():
        total = sum(value.share for value in feature.values.values())
        if abs(total - 1) > SUM_TOLERANCE:
            message = f"the shares add up to {total:g}, not to 1"
            mistakes.append(library.origins[("equipment", name)].mistake((name, "values"), "bad-sum", message))
        if feature.short:
            wrong = short_mistakes((name, "short"), feature.short, feature.values)
            mistakes += [library.origins[("equipment", name)].mistake(*one) for one in wrong]
    return mistakes


def _renamed_mistakes(library: Library, known: Known) -> list[Mistake]:
    mistakes = []
    owners: dict[CardKey, str] = {}
    for (kind, name), card in library.cards.items():
        for index, old in enumerate(card.formerly):
            owner = old if old in known.ids(kind) else owners.get((kind, old))
            if owner:
                message = f"the former id '{old}' belongs to the {kind} '{owner}'"
                mistakes.append(library.origins[(kind, name)].mistake(("formerly", index), "duplicate-id", message))
            owners[(kind, old)] = name
    return mistakes
