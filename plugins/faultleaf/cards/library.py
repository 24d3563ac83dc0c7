"""The library: every card of a site, checked, in one frozen value."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import TypeVar, cast

from faultleaf.cards.mistakes import Origin
from faultleaf.cards.models import (
    Card,
    Caution,
    Component,
    Fault,
    Picture,
    Proof,
    Reading,
    Repair,
    Survey,
    Symptom,
    Term,
    Test,
    Worksheet,
)  # fmt: skip
from faultleaf.cards.settings import Feature, Notion, SiteValues, Source

C = TypeVar("C", bound=Card)
CardKey = tuple[str, str]
"""Kind and id, for example ("fault", "bypass-seat-worn")."""


@dataclass(frozen=True)
class Library:
    """All cards by kind and id (sorted by id), the equipment, the sources, the callers' words and the site's values.

    Every reference in it has been checked by intake, so look-ups by a card's own references succeed.
    """

    cards: Mapping[CardKey, Card] = field(default_factory=dict)
    equipment: Mapping[str, Feature] = field(default_factory=dict)
    sources: Mapping[str, Source] = field(default_factory=dict)
    site: SiteValues = field(default_factory=SiteValues)
    origins: Mapping[CardKey, Origin] = field(default_factory=dict)
    notions: Mapping[str, Notion] = field(default_factory=dict)

    def of_type(self, card_type: type[C]) -> dict[str, C]:
        """All cards of one type by id, sorted by id."""
        found = {name: card for (kind, name), card in self.cards.items() if kind == card_type.kind}
        return cast("dict[str, C]", dict(sorted(found.items())))

    @cached_property
    def symptoms(self) -> Mapping[str, Symptom]:
        """The symptoms by id."""
        return self.of_type(Symptom)

    @cached_property
    def faults(self) -> Mapping[str, Fault]:
        """The faults by id."""
        return self.of_type(Fault)

    @cached_property
    def components(self) -> Mapping[str, Component]:
        """The components by id."""
        return self.of_type(Component)

    @cached_property
    def tests(self) -> Mapping[str, Test]:
        """The tests by id."""
        return self.of_type(Test)

    @cached_property
    def proofs(self) -> Mapping[str, Proof]:
        """The proofs by id."""
        return self.of_type(Proof)

    @cached_property
    def cautions(self) -> Mapping[str, Caution]:
        """The cautions by id."""
        return self.of_type(Caution)

    @cached_property
    def worksheets(self) -> Mapping[str, Worksheet]:
        """The worksheets by id."""
        return self.of_type(Worksheet)

    @cached_property
    def surveys(self) -> Mapping[str, Survey]:
        """The surveys by id."""
        return self.of_type(Survey)

    @cached_property
    def terms(self) -> Mapping[str, Term]:
        """The terms by id."""
        return self.of_type(Term)

    @cached_property
    def readings(self) -> Mapping[str, Reading]:
        """The readings by id."""
        return self.of_type(Reading)

    @cached_property
    def pictures(self) -> Mapping[str, Picture]:
        """The pictures by id."""
        return self.of_type(Picture)

    @cached_property
    def renamed(self) -> Mapping[CardKey, str]:
        """Former ids of cards: (kind, old id) → the id of today."""
        return {(card.kind, old): card.id for card in self.cards.values() for old in card.formerly}

    def find(self, kind: str, name: str) -> Card | None:
        """The card of this id, today's or a former one, or None."""
        return self.cards.get((kind, self.renamed.get((kind, name), name)))

    def find_repair(self, step: str) -> tuple[Fault, Repair] | None:
        """The fault and the repair that a repair's id means (`Fault.named_repairs`), or None."""
        fault = self.faults.get(step.partition(".")[0])
        if fault is None:
            return None
        return next(((fault, repair) for name, repair in fault.named_repairs if name == step), None)

    def cautions_of(self, step: str) -> tuple[str, ...]:
        """The ids of the cautions of a test or repair, as the cards order them; none of any other step."""
        if step in self.tests:
            return self.tests[step].cautions
        found = self.find_repair(step)
        return () if found is None else tuple(dict.fromkeys((*found[0].cautions, *found[1].cautions)))

    def candidates(self, symptom: str) -> Iterator[Fault]:
        """The faults that name this symptom, by id."""
        return (fault for fault in self.faults.values() if symptom in fault.symptoms)
