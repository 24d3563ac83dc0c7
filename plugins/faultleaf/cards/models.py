"""The cards: one frozen model per kind.

The folder decides the kind and the file name is the id, so neither stands in the front matter. `id`
and `body` are filled in by `intake`. Fields that name other cards say so in their type (`names.py`).
"""

from collections.abc import Mapping
from typing import ClassVar, Final

from pydantic import Field

from faultleaf.cards.base import Body, Card, Model, Numbered, Section
from faultleaf.cards.measuring import Measurement, WaitFrom, WorkedOut
from faultleaf.cards.names import (
    CardPath,
    CautionId,
    ComponentId,
    FaultId,
    FeatureId,
    FeatureValue,
    Outcome,
    Outcomes,
    PictureId,
    ProofId,
    Reference,
    ShownThere,
    StepId,
    SymptomId,
    TestId,
)  # fmt: skip
from faultleaf.cards.short import LONGEST_DANGER, Key, Short
from faultleaf.cards.survey import Survey
from faultleaf.cards.values import (
    Acts,
    Choices,
    Count,
    Hazard,
    Line,
    Minutes,
    Otherwise,
    Probability,
    Rank,
    Rate,
    Signal,
    Slug,
    Truth,
    Way,
    Work,
)  # fmt: skip
from faultleaf.cards.worksheet import Worksheet

__all__ = [
    "CARD_TYPES", "Body", "Card", "Caution", "Component", "Fault", "FirstCheck", "Look", "Measurement",
    "Mode", "Model", "Numbered", "Picture", "Proof", "Reading", "ReadingStep", "Reference", "Repair", "Section", "Stop",
    "Survey", "Symptom", "Term", "Test", "WaitFrom", "WorkedOut", "Worksheet",
]  # fmt: skip


SAID_IN_PRINT: Final = 20


class FirstCheck(Model):
    """A test that comes before anything else on a symptom, and why."""

    test: TestId
    because: Line


class Symptom(Numbered):
    """What the caller or the technician notices; the reason for the call."""

    kind = "symptom"
    folder = "symptoms"
    sections = ("What it means",)

    also_said: tuple[Line, ...] = Field((), description="What callers say, in their own words; the best 20 first")
    make_safe: tuple[CautionId, ...] = Field((), description="Cautions that come before everything else")
    first: tuple[FirstCheck, ...] = Field((), description="Tests done first, in this order")
    at_start: Line | None = Field(None, max_length=120, description="State of the system when the work begins")
    variants: Mapping[Line, Mapping[FeatureId, Outcome]] = Field({}, description="Equipment a chart is made for")
    unlisted: Probability = Field(0.1, description="Share kept for causes that no card names")
    otherwise: Probability = Field(0.1, description="Chance of it beside a fault that does not name it")
    emergency: Truth = Field(False, description="yes: make safe, then hand on; no plan is computed")
    hand_on: Work | None = Field(None, description="What handing on costs, where it differs")

    @property
    def said_in_print(self) -> tuple[str, ...]:
        """The first of the callers' words: pages and papers show these, the search hears them all."""
        return self.also_said[:SAID_IN_PRINT]


class Repair(Model):
    """What removes a fault. Its steps stand in the card's body under "Repair"."""

    title: Line = Field(description="What is done, in the imperative")
    act: Line | None = Field(None, max_length=30, description="What is done, at most 30 letters, for a printed sheet")
    takes: Work = Field(description="Hands-on time")
    who: Rank = Field("technician", description="Lowest rank that may do it")
    fixes: Probability = Field(0.95, description="How often it cures this fault")
    also_fixes: Mapping[FaultId, Probability] = Field({}, description="Other faults it removes, and how often")
    prove_first: tuple[Line, ...] = Field((), max_length=3, description="Prove it before you replace it")
    parts: tuple[Line, ...] = Field((), description="What to have in the van")
    proof: ProofId = Field(description="The proof that shows that it holds")
    fails_at: Count = Field(1, description="Which look of the proof shows that it did not cure; the first unless told")
    quote: Truth = Field(False, description="yes: a job to quote; on a call it ends with the cause named")
    does: Acts = Field((), description="What it does to the system: drain, fill, fire, open")
    restore: Mapping[TestId, Outcome] = Field({}, description="Findings it sets when it did not cure")
    mends: Mapping[TestId, Outcomes] = Field(
        {}, description="Tests whose own instrument it mends on any symptom, and the outcomes that call for it"
    )
    found_on: Mapping[FeatureId, Outcomes] = Field({}, description="Equipment it can be done on")
    needs: Mapping[TestId, Outcomes] = Field({}, description="Findings without which it must not be done")
    never_when: Mapping[TestId, Outcomes] = Field({}, description="Findings under which it must not be done")
    cautions: tuple[CautionId, ...] = Field((), description="Cautions of this repair beside the card's own")


class Mode(Model):
    """One way in which a fault shows: signs that come or stay away together (rule 18)."""

    title: Line = Field(description="How it shows then, in a few words")
    share: Probability = Field(description="Share of this fault's cases; the shares add up to 1")
    shows: Mapping[TestId, ShownThere] = Field(
        {}, description="What it shows at each test, where the card says otherwise"
    )


class Fault(Numbered):
    """One cause of trouble that can be found and repaired."""

    kind = "fault"
    folder = "faults"
    sections = ("What happens", "How to confirm", "Repair", "So that it stays away")

    component: ComponentId = Field(description="The component it lives in")
    short: Line | None = Field(None, max_length=22, description="Its name in at most 22 letters, for a printed sheet")
    found_on: Mapping[FeatureId, Outcomes] = Field({}, description="Equipment on which it can exist")
    how_common: Rate = Field(description="Rate among systems that have the equipment, before any symptom")
    symptoms: Mapping[SymptomId, Probability] = Field({}, description="How often it shows as each symptom")
    shows_on: Mapping[SymptomId, Mapping[FeatureId, Outcomes]] = Field(
        {}, description="Equipment on which it shows as a symptom, where that is narrower than found_on"
    )
    shows: Mapping[TestId, ShownThere] = Field({}, description="What it shows at each test")
    modes: Mapping[Slug, Mode] = Field({}, description="Ways of showing whose signs go together")
    to_owner: Line | None = Field(None, description="What had happened, for the owner: one plain sentence, past tense")
    cue: Line | None = Field(None, description="What an old hand notices first")
    repair: Repair | None = Field(None, description="The repair, where there is one")
    repairs: tuple[Repair, ...] = Field((), description="Several repairs, where there are alternatives")
    comes_from: Mapping[FaultId, Probability] = Field({}, description="Causes of this cause")
    look_alikes: Mapping[FaultId, Line] = Field({}, description="Faults it is taken for, and how to tell")
    cautions: tuple[CautionId, ...] = ()

    @property
    def rows(self) -> tuple[tuple[str, float, Mapping[str, Mapping[str, float]]], ...]:
        """The ways it shows: name, share of its cases, and what is shown at each test. Without modes one, named ""."""
        if not self.modes:
            return (("", 1.0, self.shows),)
        return tuple((name, mode.share, {**self.shows, **mode.shows}) for name, mode in self.modes.items())

    def shown_at(self, test: str) -> dict[str, float]:
        """The outcomes that it names at this test, over all its ways of showing by share; {} where none does."""
        found: dict[str, float] = {}
        for _, share, shows in self.rows:
            for outcome, chance in shows.get(test, {}).items():
                found[outcome] = found.get(outcome, 0.0) + share * chance
        return found

    @property
    def named_tests(self) -> tuple[str, ...]:
        """The tests that it shows something at, in whatever way, once each, in the author's order."""
        return tuple(dict.fromkeys([*self.shows, *(test for mode in self.modes.values() for test in mode.shows)]))

    @property
    def all_repairs(self) -> tuple[Repair, ...]:
        """The repair or repairs, in the author's order."""
        return self.repairs if self.repair is None else (self.repair, *self.repairs)

    @property
    def named_repairs(self) -> tuple[tuple[str, Repair], ...]:
        """The repairs with their ids: the fault's own id for the first, then with .2, .3 for the others."""
        numbered = enumerate(self.all_repairs, 1)
        return tuple((self.id if number == 1 else f"{self.id}.{number}", repair) for number, repair in numbered)

    def place(self, symptom: str) -> dict[str, tuple[str, ...]]:
        """The equipment on which it exists and shows as this symptom: `found_on` narrowed by `shows_on`."""
        place = dict(self.found_on)
        for feature, values in self.shows_on.get(symptom, {}).items():
            allowed = place.get(feature, values)
            place[feature] = tuple(value for value in values if value in allowed)
        return place

    @property
    def all_cautions(self) -> tuple[str, ...]:
        """The card's cautions and its repairs', once each, in order."""
        return tuple(dict.fromkeys([*self.cautions, *(c for r in self.all_repairs for c in r.cautions)]))


class Component(Card):
    """The part of the system that faults live in."""

    kind = "component"
    folder = "components"
    sections = ("What it does", "Where to find it")

    also_called: tuple[Line, ...] = Field((), description="Other names people use")
    part_of: ComponentId | None = Field(None, description="The component it belongs to")
    found_on: Mapping[FeatureId, Outcomes] = Field({}, description="Equipment that has it")
    pictures: tuple[PictureId, ...] = ()


class Stop(Model):
    """What an outcome that means danger ends: everything but its own text and the steps it allows (rule 16)."""

    caution: CautionId = Field(description="The caution that says what to do now")
    allows: tuple[StepId, ...] = Field((), description="Tests, and faults whose repairs, may still be done")
    call: Line | None = Field(None, description="Whom to call; the site's own words unless told")


class Test(Numbered):
    """Something done or looked at, with named outcomes."""

    __test__: ClassVar[bool] = False  # the word is the trade's; pytest must not collect it
    kind = "test"
    folder = "tests"
    sections = ("Steps", "What it tells you")

    asks: Line = Field(description="The one question it answers, as it stands on a chart")
    short: Short | None = Field(None, description="The same in the few words that a printed sheet has room for")
    how: Line | None = Field(None, max_length=90, description="How, in at most 90 characters, for a chart")
    outcomes: Mapping[Slug, Line] = Field(min_length=2, description="Outcome ids and what is seen, in words")
    otherwise: Otherwise | None = Field(None, description="What is seen when the fault lies elsewhere")
    otherwise_on: Mapping[FeatureValue, Otherwise] = Field({}, description="The same on systems with one feature=value")
    otherwise_at: Mapping[SymptomId, Otherwise] = Field({}, description="The same on calls for one symptom")
    also_said: Mapping[Slug, tuple[Line, ...]] = Field(
        {}, description="Outcomes, and what callers say who have seen them, in their own words"
    )
    stops: Mapping[Slug, Stop] = Field({}, description="Outcomes that mean danger, and what they end")
    renews: Mapping[TestId, Mapping[Slug, Outcome]] = Field(
        {}, description="Other tests whose finding this one sets anew: its own outcome, and what is then found there"
    )
    only_at: tuple[SymptomId, ...] = Field((), description="Symptoms it is asked about; every symptom unless told")
    way: Way = Field("look", description="How it is done: ask, look, listen, feel, measure, open, run")
    does: Acts = Field((), description="What it does to the system: drain, fill, fire, open")
    perishes: Acts = Field((), description="Acts after which it is worth nothing: it looks at things as found")
    takes: Work = Field(description="Hands-on time")
    wait: Minutes = Field(0.0, description="Time until the reading, clock hours")
    wait_from: WaitFrom | None = Field(None, description="The worksheet that the wait comes from")
    read_by: Rank | None = Field(None, description="Who can read it after the wait and telephone, where not `who`")
    together_with: tuple[TestId, ...] = Field((), description="Tests that may wait at the same time undisturbed")
    who: Rank = Field("technician", description="Lowest rank that may do it")
    found_on: Mapping[FeatureId, Outcomes] = Field({}, description="Equipment it can be done on")
    needs: Mapping[TestId, Outcomes] = Field({}, description="Findings without which it means nothing")
    never_when: Mapping[TestId, Outcomes] = Field({}, description="Findings under which it must not be done")
    why: Line | None = Field(None, description="Why this test now: what it settles")
    tools: tuple[Line, ...] = ()
    at: ComponentId | None = Field(None, description="The component it is done at, for the picture beside it")
    cautions: tuple[CautionId, ...] = ()
    measures: Measurement | None = None
    works_out: tuple[WorkedOut, ...] = Field((), description="Worksheets whose results say which outcome was found")


class Look(Model):
    """One look of a proof: when, and what must be seen."""

    when: Line
    see: Line
    after: Minutes = Field(0.0, description="Time since the repair")


class Proof(Numbered):
    """How a repair is shown to hold, over hours, days or a season."""

    kind = "proof"
    folder = "proofs"
    sections = ("How to prove it",)

    takes: Work = Field(description="Hands-on time of all its looks together")
    over: Minutes = Field(0.0, description="Time until the last look")
    looks: tuple[Look, ...] = Field(min_length=1, description="What to look at, and when")
    holds_when: Line = Field(description="What must be true at the end")
    cautions: tuple[CautionId, ...] = ()


class Caution(Card):
    """A hazard, what it can do, and how to keep clear of it."""

    kind = "caution"
    folder = "cautions"

    key: Key = Field(description="One word in capitals that stands at a step on paper; no other caution has it")
    order: Line = Field(max_length=LONGEST_DANGER, description="What to do about it, at most 28 letters; danger: 80")
    signal: Signal = Field(description="danger, warning, caution: people; notice: property alone")
    hazard: Line = Field(description="What is dangerous")
    consequence: Line = Field(description="What it can do")
    avoid: Line = Field(description="How to keep clear of it")
    brief: Line | None = Field(None, max_length=40, description="Hazard and how to keep clear of it, in a few words")
    harms: Choices = Field(("people",), description="people, property, or both")
    symbol: Hazard = Field("general", description="Which pictogram")
    setup: Work = Field(0.0, description="Minutes of making safe before the step (lock out, let cool)")
    rule: Line = Field(description="The rule behind it, or 'common practice, no source'")


class Term(Card):
    """A word of the trade, explained."""

    kind = "term"
    folder = "terms"

    means: Line = Field(description="What it means, in one sentence")
    also_called: tuple[Line, ...] = ()
    see: tuple[ComponentId, ...] = Field((), description="Components to look at")


class ReadingStep(Model):
    """One card of an order of reading, and why it comes here."""

    read: CardPath = Field(description="folder/id of a card, for example faults/bypass-seat-worn")
    because: Line


class Reading(Card):
    """An order of reading for apprentices."""

    kind = "reading"
    folder = "readings"

    who: Rank = Field("apprentice", description="Whom it is for")
    steps: tuple[ReadingStep, ...] = Field(min_length=1)


class Picture(Card):
    """A drawing or photograph, described so that nobody needs to see it."""

    kind = "picture"
    folder = "pictures"

    file: Line = Field(description="File name in the pictures folder (svg, png, jpg)")
    alt: Line = Field(description="What it shows, in words")
    credit: Line
    licence: Line


CARD_TYPES: tuple[type[Card], ...] = (
    Symptom, Fault, Component, Test, Proof, Caution, Worksheet, Survey, Term, Reading, Picture,
)  # fmt: skip
