"""“What would you do next?”: for each fault up to three moments of a call for it, with the engine's answer.

A call is drawn from the cards: the symptom and system on which the fault is the likeliest, at every step what the
fault most likely shows. Moments with a due first check are no questions, and none is asked where a stop holds.
"""

import hashlib
import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass, field
from math import isfinite
from pathlib import Path
from typing import Final

from pydantic import TypeAdapter, ValidationError

from faultleaf.diagnosis import STILL_THERE, UNLISTED, Belief, Problem, ScoredStep, believe, rank_steps
from faultleaf.diagnosis.model.state import due_first
from faultleaf.pages import Asked, WorkedSymptom, WorkedVariant
from faultleaf.pipeline.figures import key_of
from faultleaf.pipeline.shelf import MOST_KEPT, Store

QUESTIONS: Final = 3
CLEARLY_WORSE: Final = 5.0
"""Minutes by which a step offered beside the best one must cost more: nobody is told off for a tie."""
LIKELIEST: Final = 3
NEAR: Final = 0.45
"""A variant is left for a later one where the fault is clearly likelier there."""
FOLDER: Final = "asked"
_ADAPTER = TypeAdapter(dict[str, tuple[Asked, ...]])

Findings = tuple[tuple[str, str], ...]


@dataclass(frozen=True, eq=False)
class _Calls:
    """Calls on one variant; a moment that several faults lead to is worked out once."""

    symptom: str
    variant: WorkedVariant
    moments: dict[Findings, tuple[Belief, ScoredStep | None, Asked | None]] = field(default_factory=dict)

    def asked(self, fault: str) -> tuple[Asked, ...]:
        """The questions of a call for this fault, in the order of the call."""
        found = Findings()
        questions: list[Asked] = []
        while len(questions) < QUESTIONS:
            belief, step, question = self._moment(found)
            if step is None or any(stop.caution for stop in belief.stops):
                break
            if question:
                questions.append(question)
            seen = _shown(self.variant.problem, belief, step, fault)
            if not seen:
                break
            found = (*found, (step.id, seen))
        return tuple(questions)

    def _moment(self, found: Findings) -> tuple[Belief, ScoredStep | None, Asked | None]:
        if found not in self.moments:
            problem = self.variant.problem
            belief = believe(problem, dict(found))
            due = due_first(problem, belief.state)
            steps = rank_steps(problem, belief)
            question = None if due is not None or not steps else self._question(found, belief, steps)
            self.moments[found] = belief, next(iter(steps), None), question
        return self.moments[found]

    def _question(self, found: Findings, belief: Belief, steps: Sequence[ScoredStep]) -> Asked | None:
        """None where nothing worse is at hand, so that there is nothing to choose."""
        best = steps[0]
        worse = [
            (step, step.expected_minutes - best.expected_minutes)
            for step in steps[1:]
            if step.kind in ("test", "repair") and isfinite(step.expected_minutes)
        ]
        worse = [(step, more) for step, more in worse if more >= CLEARLY_WORSE]
        # A repair tempts whoever has a favourite cause; tests that come next are the finer choice.
        repairs = [each for each in worse if each[0].kind == "repair"][:1]
        tests = [each for each in worse if each[0].kind == "test" and each[0].splits]
        others = sorted(
            [*repairs, *tests[:1], *tests[len(tests) // 2 + 1 :][:1]], key=lambda each: (each[1], each[0].id)
        )
        if not others or best.kind == "hand-on":
            return None
        return Asked(
            self.symptom,
            self.variant.name,
            found,
            best.id,
            best.splits,
            best.why.removes,
            best.reason == "stop",
            tuple((step.id, more) for step, more in others),
            belief.ranked()[:LIKELIEST],
        )


def _shown(problem: Problem, belief: Belief, step: ScoredStep, fault: str) -> str:
    """What a step most likely shows beside this fault; "" where the call ends."""
    if step.kind == "test":
        test, rows = problem.tests[problem.test_index[step.id]], list(problem.cause_rows[fault])
        return test.outcomes[int((belief.probabilities[rows] @ test.table[rows]).argmax())]
    if step.kind != "repair":
        return ""
    fixes = problem.repairs[problem.repair_index[step.id]].fixes
    return "" if fixes[list(problem.cause_rows[fault])].any() else STILL_THERE


def ask_all(worked: Mapping[str, WorkedSymptom], kept: Path | None = None) -> Mapping[str, tuple[Asked, ...]]:
    """The questions of every fault that a variant has, by its id; kept from build to build in `kept`."""
    variants = [(name, variant) for name, each in worked.items() for variant in each.variants]
    key = _key(variants)
    store = Store(kept / FOLDER) if kept else None
    if store and (found := _read(store.take(key))) is not None:
        return found
    calls = [_Calls(name, variant) for name, variant in variants]
    asked = {fault: tuple(_of_fault(calls, fault)) for fault in sorted(_faults(variants))}
    if store:
        store.put(key, json.dumps({fault: [asdict(one) for one in each] for fault, each in asked.items()}).encode())
        store.tidy({key}, MOST_KEPT)
    return asked


def _faults(variants: Sequence[tuple[str, WorkedVariant]]) -> set[str]:
    return {fault for _, variant in variants for fault, share in variant.belief.ranked() if share > 0} - {UNLISTED}


def _of_fault(calls: Sequence[_Calls], fault: str) -> Iterator[Asked]:
    """From the symptom on which it is likeliest; then from others, while fewer than three were found."""
    best: dict[str, tuple[float, _Calls]] = {}
    for one in calls:
        share = one.variant.belief.by_cause.get(fault, 0.0)
        # The first variant that comes near: calls of several faults then share their moments.
        if share > 0 and share * NEAR > best.get(one.symptom, (0.0, one))[0]:
            best[one.symptom] = share, one
    asked: dict[tuple[Findings, str], Asked] = {}
    for _, one in sorted(best.values(), key=lambda pair: -pair[0]):
        for question in one.asked(fault) if len(asked) < QUESTIONS else ():
            asked.setdefault((question.found, question.best), question)
    yield from list(asked.values())[:QUESTIONS]


def _key(variants: Sequence[tuple[str, WorkedVariant]]) -> str:
    """A digest of all that the questions hang on: the problems, the engine and this file."""
    text = json.dumps([(name, variant.name, key_of(variant.problem, None)) for name, variant in variants])
    return hashlib.sha256(text.encode() + Path(__file__).read_bytes()).hexdigest()


def _read(content: bytes | None) -> Mapping[str, tuple[Asked, ...]] | None:
    try:
        return None if content is None else _ADAPTER.validate_json(content)
    except ValidationError:
        return None
