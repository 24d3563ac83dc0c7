"""Whole calls with a hidden cause, told in YAML (`tests/cases/stories`), and worked by the advice that is given.

    stories:
    - id: loses-01-return-under-the-floor
      symptoms: [boiler-loses-water]
      who: licensed                           # licensed unless told
      equipment: {water-feed: manual}         # what is known from the start
      known: {low-water-look: water-in-glass} # findings that stand before the first step
      truth: {ids: [wet-return-leaking], words: "A return under the floor has rusted through."}
      answers: {leak-walk: none}              # test or equipment.FEATURE → outcome; else the truth's likeliest
      cures: {surging-water: cured}           # repair → cured or still-there; else the card's `fixes` says it
      never: [{step: hand-on, before: {all: [leak-walk]}, why: "..."}]
      by_step: [{step: leak-walk, by: 6}]     # questions about equipment are not counted; moot where it ended before
      end: [{repair: wet-return-leaking}, {hand_on: {cause: wet-return-leaking}}]   # any of these will do
      within: 120                             # hands-on minutes without long waits and the repair that cures

Steps are named by their ids (`repair:ID` for a repair) or by what they are: see `words_for`.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Literal

import yaml
from faultleaf.cards import Library, Test
from faultleaf.diagnosis import CURED, HAND_ON, STILL_THERE, Problem, ScoredStep, believe, not_cured, rank_steps
from pydantic import BaseModel, BeforeValidator, ConfigDict, Field

MOST_STEPS = 30
STOOD_THROUGH = 30.0
"""Minutes that somebody waits at the boiler; longer waits are no hands-on time."""

Words = Annotated[tuple[str, ...], BeforeValidator(lambda told: [told] if isinstance(told, str) else told)]


class Form(BaseModel):
    """A part of a story; a field that there is not is an error."""

    model_config = ConfigDict(extra="forbid", frozen=True, validate_by_name=True)


class Rule(Form):
    """A step that is not taken: at all, or before, after, until or so often as told."""

    step: Words
    before: Mapping[Literal["all", "any"], Words] = {}
    after: Mapping[str, Words] = {}
    until: Words = ()
    apart_from: Words = Field((), alias="except")
    in_a_row: int = 0
    why: str = ""


class ByStep(Form):
    """One of these steps is taken by this step of the call."""

    step: Words
    by: int
    why: str = ""


class HandOn(Form):
    """How a call may be handed on: the cause named, a caution shown on the way, findings made, steps taken."""

    cause: Words = ()
    at_least: float = 0.4
    caution: Words = ()
    after: Mapping[str, Words] = {}
    done: Words = ()


class End(Form):
    """One end that is accepted: cured by one of these repairs (the truth's own unless told), or handed on."""

    repair: Words = ()
    or_truth: bool = True
    done: Words = ()
    hand_on: HandOn | None = None


class Truth(Form):
    """What is wrong: the first of these cards that can be to blame here."""

    ids: Words
    words: str


class Story(Form):
    """A whole call; the module says what the fields mean. `probes` and `sees` are for readers."""

    id: str
    symptoms: Words
    who: str = "licensed"
    equipment: Mapping[str, str] = {}
    known: Mapping[str, str] = {}
    truth: Truth
    answers: Mapping[str, str] = {}
    cures: Mapping[str, str] = {}
    probes: Words = ()
    sees: Words = ()
    never: tuple[Rule, ...] = ()
    by_step: tuple[ByStep, ...] = ()
    end: tuple[End, ...]
    within: float | None = None


def read_stories(folder: Path) -> Iterator[Story]:
    """The stories of all files of the folder."""
    for path in sorted(folder.glob("*.yaml")):
        yield from map(Story.model_validate, yaml.safe_load(path.read_text(encoding="utf-8"))["stories"])


@dataclass(frozen=True)
class Taken:
    """A step of a call: its number, what it is, how it ended, the hands-on minutes up to then, the causes before it."""

    number: int
    kind: str
    id: str
    outcome: str
    minutes: float
    causes: tuple[tuple[str, float], ...]
    offered: tuple[tuple[str, str], ...]
    cautions: tuple[str, ...]


def play_story(library: Library, problem: Problem, story: Story) -> list[Taken]:
    """The call with the first step that is offered taken each time, to a cure or to handing on."""
    findings, path, minutes, number = dict(story.known), list[Taken](), 0.0, 0
    for _ in range(MOST_STEPS):
        belief = believe(problem, findings)
        steps = rank_steps(problem, belief)
        step = steps[0]
        number += not step.id.startswith("equipment.")
        outcome = _outcome(problem, story, step)
        if outcome != CURED:
            minutes += _hands_on(library, step)
        causes, offered = tuple(belief.ranked()[:3]), tuple((each.kind, each.id) for each in steps)
        cautions = (*library.cautions_of(step.id), *step.cautions)
        path.append(Taken(number, step.kind, step.id, outcome, minutes, causes, offered, cautions))
        if outcome == STILL_THERE:
            findings = not_cured(problem, findings, step.id)
        elif step.kind == "test":
            findings[step.id] = outcome
        else:
            return path
    raise AssertionError(f"{story.id} does not end: {[step.id for step in path]}")


def row_of(problem: Problem, story: Story) -> int:
    """The row of the truth; that of the unlisted cause where none of its cards can be to blame here."""
    return next((problem.faults.index(name) for name in story.truth.ids if name in problem.faults), -1)


def _outcome(problem: Problem, story: Story, step: ScoredStep) -> str:
    """What is seen at the step; "" where it ends the call."""
    row = row_of(problem, story)
    if step.kind == "test":
        test = problem.tests[problem.test_index[step.id]]
        return story.answers.get(step.id) or test.outcomes[int(test.table[row].argmax())]
    if step.kind != "repair":
        return ""
    fixes = problem.repairs[problem.repair_index[step.id]].fixes[row]
    return story.cures.get(step.id) or (CURED if fixes >= 0.5 else STILL_THERE)


def _hands_on(library: Library, step: ScoredStep) -> float:
    """Minutes at the boiler, making safe included; a question about equipment takes one."""
    setup = sum(library.cautions[name].setup for name in library.cautions_of(step.id))
    if (card := library.tests.get(step.id)) is not None:
        return card.takes + setup + (card.wait if card.wait <= STOOD_THROUGH else 0.0)
    pair = library.find_repair(step.id)
    if pair is None or step.kind != "repair":
        return float(step.kind == "test")
    return pair[1].takes + setup + library.proofs[pair[1].proof].takes


def words_for(library: Library, kind: str, name: str) -> set[str]:
    """Everything that a step may be called by in a story.

    Tests: id, way (ask is `talk`), firing, feeding, drawing, opening by what it does, hold, make-safe.
    Repairs: `repair`, `repair:ID`, glass-repair, cutoff-repair. The rest is `hand-on`.
    """
    if kind == "test":
        return {name, *(_words_for_test(library.tests[name]) if name in library.tests else ())}
    pair = library.find_repair(name)
    if kind != "repair" or pair is None:
        return {HAND_ON}
    restored = {"gauge-glass-blowdown": "glass-repair", "cutoff-trip-test": "cutoff-repair"}
    return {"repair", f"repair:{pair[0].id}", *(restored[test] for test in pair[1].restore if test in restored)}


DOES = {"fire": "firing", "fill": "feeding", "drain": "drawing", "open": "opening"}


def _words_for_test(card: Test) -> Iterator[str]:
    if "low-water-look" in card.renews:  # the one way back from an empty glass: it fills, but as the last thing
        yield "make-safe"
        return
    yield "talk" if card.way == "ask" else card.way
    yield from (DOES[act] for act in card.does)
    if card.way == "open":
        yield "opening"
    if card.way == "measure" and (card.wait > STOOD_THROUGH or card.wait_from is not None) and not card.does:
        yield "hold"


def all_words(library: Library) -> set[str]:
    """All words that mean some step of the library, questions about equipment among them."""
    repairs = [name for fault in library.faults.values() for name, _ in fault.named_repairs]
    tests = {word for name in library.tests for word in words_for(library, "test", name)}
    words = {word for name in repairs for word in words_for(library, "repair", name)}
    return tests | words | {HAND_ON} | {f"equipment.{name}" for name in library.equipment}
