"""“What would you do next?”: for each fault up to three moments of a call for it, with the engine's answer.

A call is drawn from the cards: the symptom and system on which the fault is the likeliest, at every step what the
fault most likely shows. Moments with a due first check are no questions, and none is asked where a stop holds.
"""

import hashlib
from collections.abc import Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from functools import cache
from math import isfinite
from pathlib import Path
from typing import Final

from pydantic import TypeAdapter, ValidationError

from faultleaf.diagnosis import STILL_THERE, UNLISTED, Belief, Problem, ScoredStep, believe, rank_steps
from faultleaf.diagnosis.model.state import due_first
from faultleaf.pages import Asked
from faultleaf.pipeline.figures import key_of, statements
from faultleaf.pipeline.shelf import MOST_KEPT, NOTHING_KEPT, Kept, Store

QUESTIONS: Final = 3
CLEARLY_WORSE: Final = 5.0
"""Minutes by which a step offered beside the best one must cost more: nobody is told off for a tie."""
LIKELIEST: Final = 3
NEAR: Final = 0.45
"""A variant is left for a later one where the fault is clearly likelier there."""
FOLDER: Final = "asked"

Findings = tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Moment:
    """What comes next at a moment of a call, "" where nothing does, and the question asked of it where there is one."""

    step: str
    kind: str
    question: Asked | None


_ADAPTER = TypeAdapter(list[tuple[Findings, Moment]])


@dataclass(frozen=True, eq=False)
class _Calls:
    """Calls on one variant; a moment that several faults lead to is worked out once."""

    symptom: str
    variant: str
    problem: Problem
    belief: Belief
    moments: dict[Findings, Moment]

    def asked(self, fault: str) -> tuple[Asked, ...]:
        """The questions of a call for this fault, in the order of the call."""
        found = Findings()
        questions: list[Asked] = []
        while len(questions) < QUESTIONS:
            belief = believe(self.problem, dict(found))
            if any(stop.caution for stop in belief.stops):
                break
            moment = self._moment(found, belief)
            if moment.question:
                questions.append(moment.question)
            seen = _shown(self.problem, belief, moment, fault)
            if not seen:
                break
            found = (*found, (moment.step, seen))
        return tuple(questions)

    def _moment(self, found: Findings, belief: Belief) -> Moment:
        if found not in self.moments:
            steps = rank_steps(self.problem, belief)
            due = due_first(self.problem, belief.state)
            question = None if due is not None or not steps else self._question(found, belief, steps)
            step, kind = (steps[0].id, steps[0].kind) if steps else ("", "")
            self.moments[found] = Moment(step, kind, question)
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
            self.variant,
            found,
            best.id,
            best.splits,
            best.why.removes,
            best.reason == "stop",
            tuple((step.id, more) for step, more in others),
            belief.ranked()[:LIKELIEST],
        )


def _shown(problem: Problem, belief: Belief, moment: Moment, fault: str) -> str:
    """What a step most likely shows beside this fault; "" where the call ends."""
    rows = list(problem.cause_rows[fault])
    if moment.kind == "test":
        test = problem.tests[problem.test_index[moment.step]]
        return test.outcomes[int((belief.probabilities[rows] @ test.table[rows]).argmax())]
    if moment.kind != "repair":
        return ""
    fixes = problem.repairs[problem.repair_index[moment.step]].fixes
    return "" if fixes[rows].any() else STILL_THERE


def ask_all(
    problems: Mapping[tuple[str, str], Problem], kept: Kept = NOTHING_KEPT, most: int = MOST_KEPT
) -> Mapping[str, tuple[Asked, ...]]:
    """The questions of every fault that a variant has, by its id; `problems` by symptom and name of the variant.

    The moments of a variant are kept under its key, beside its plans: they are taken from there while nothing that
    they hang on changes. `most`: how many files are kept at most.
    """
    keys = {name: _key(name, problem) for name, problem in problems.items()}
    known = {name: _known(kept.folders, key) for name, key in keys.items()}
    calls = [_Calls(*name, problem, believe(problem, {}), dict(known[name])) for name, problem in problems.items()]
    asked = {fault: tuple(_of_fault(calls, fault)) for fault in sorted(_faults(calls))}
    if kept.own:
        store = Store(kept.own / FOLDER)
        for one in calls:
            name = one.symptom, one.variant
            if one.moments.keys() != known[name].keys():
                store.put(keys[name], _ADAPTER.dump_json(list(one.moments.items())))
        store.tidy(set(keys.values()), most)
    return asked


def _faults(calls: Sequence[_Calls]) -> set[str]:
    return {fault for one in calls for fault, share in one.belief.ranked() if share > 0} - {UNLISTED}


def _of_fault(calls: Sequence[_Calls], fault: str) -> Iterator[Asked]:
    """From the symptom on which it is likeliest; then from others, while fewer than three were found."""
    best: dict[str, tuple[float, _Calls]] = {}
    for one in calls:
        share = one.belief.by_cause.get(fault, 0.0)
        # The first variant that comes near: calls of several faults then share their moments.
        if share > 0 and share * NEAR > best.get(one.symptom, (0.0, one))[0]:
            best[one.symptom] = share, one
    asked: dict[tuple[Findings, str], Asked] = {}
    for _, one in sorted(best.values(), key=lambda pair: -pair[0]):
        for question in one.asked(fault) if len(asked) < QUESTIONS else ():
            asked.setdefault((question.found, question.best), question)
    yield from list(asked.values())[:QUESTIONS]


def _key(name: tuple[str, str], problem: Problem) -> str:
    """A digest of all that the questions hang on: the variant, its problem, the engine and what stands here."""
    said = [*name, key_of(problem, None), _here()]
    return hashlib.sha256("\n".join(said).encode()).hexdigest()


@cache
def _here() -> str:
    return statements(Path(__file__).read_text(encoding="utf-8"))


def _known(folders: Sequence[Path], key: str) -> Mapping[Findings, Moment]:
    """The moments kept under this key in any of these folders: a library's faults may lead to fewer than a site's."""
    found: dict[Findings, Moment] = {}
    for content in (Store(folder / FOLDER).take(key) for folder in folders):
        with suppress(ValidationError):
            found.update(_ADAPTER.validate_json(content or b"[]"))
    return found
