"""A drawn call played to its end against anything that shows a step and takes its outcome."""

from collections.abc import Mapping, Sequence
from typing import Protocol

from faultleaf.diagnosis import CURED, HAND_ON, STILL_THERE, Problem, not_cured
from faultleaf.diagnosis.model.state import State, after_failed, after_test, minutes_of_test, start_state
from faultleaf.diagnosis.step.rank import StepKind

from tests.calls.deciding import Decider, Decision, Findings, Key, key_of
from tests.calls.played import DrawnCall, PlayedCall

MOST_STEPS = 400
"""No call takes nearly so many: whoever shows more goes round in a circle."""


class Table(Protocol):
    """Where a call is worked: an engine, or a page that is clicked."""

    def next(self) -> tuple[StepKind, str]:
        """The step that is shown: a test (`equipment.FEATURE` among them), a repair, or handing on."""
        ...

    def answer(self, outcome: str) -> None:
        """The outcome of that step: one of the test's, or of the proof "cured" or "still-there"."""
        ...


def play(problem: Problem, call: DrawnCall, table: Table, start: State | None = None) -> PlayedCall:
    """The call worked at this table, to a cure or to handing on; a cause that is named is repaired by others.

    What a step has set anew is seen so from then on, however often it is looked at.
    """
    state, minutes, steps = start or start_state(problem), 0.0, list[tuple[str, str]]()
    while len(steps) < MOST_STEPS:
        kind, step = table.next()
        if kind == "hand-on":
            minutes += float(problem.ending[problem.faults.index(call.fault)])
            return PlayedCall((*steps, (HAND_ON, "")), minutes)
        if kind == "test":
            place = problem.test_index[step]
            outcome = next(iter(state.known.get(step, (call.shows[step],))))
            minutes += minutes_of_test(problem, state, place)
            state = after_test(problem, state, place, (problem.tests[place].outcomes.index(outcome),))
        else:
            outcome, repair = CURED if step in call.cures else STILL_THERE, problem.repair_index[step]
            card = problem.repairs[repair]
            minutes += card.minutes if outcome == CURED else card.failed_minutes
            state = after_failed(problem, state, repair)
        steps.append((step, outcome))
        table.answer(outcome)
        if outcome == CURED:
            return PlayedCall(tuple(steps), minutes)
    raise AssertionError(f"a call with {call.fault} goes round in a circle: {steps[-8:]}")


class UndecidedError(Exception):
    """Nobody has decided yet what to do after these findings."""

    def __init__(self, findings: Findings) -> None:
        super().__init__(f"no step is decided after {dict(findings)}")
        self.findings = findings


class EngineTable:
    """A call worked by decisions made before, with the findings that the page goes on with."""

    def __init__(self, problem: Problem, decided: Mapping[Key, Decision]) -> None:
        self._problem, self._decided = problem, decided
        self._findings: Findings = {}

    def next(self) -> tuple[StepKind, str]:
        """The step decided on; raises UndecidedError where none is."""
        key = key_of(self._findings)
        if key not in self._decided:
            raise UndecidedError(self._findings)
        return self._decided[key]

    def answer(self, outcome: str) -> None:
        """Goes on by the outcome; a cure ends the call."""
        kind, step = self.next()
        if kind == "test":
            self._findings = {**self._findings, step: outcome}
        elif outcome == STILL_THERE:
            self._findings = not_cured(self._problem, self._findings, step)


def play_all(
    problem: Problem, calls: Sequence[DrawnCall], decide: Decider, decided: dict[Key, Decision]
) -> list[PlayedCall]:
    """All calls of a problem; every belief is decided on once, those that wait at the same time together.

    `decided` is added to. A call that comes to a new belief begins anew once it is decided: looking up is cheap.
    """
    waiting, ended, start = dict(enumerate(calls)), dict[int, PlayedCall](), start_state(problem)
    while waiting:
        unknown: dict[Key, Findings] = {}
        for number, call in waiting.items():
            try:
                ended[number] = play(problem, call, EngineTable(problem, decided), start)
            except UndecidedError as error:
                unknown[key_of(error.findings)] = error.findings
        decided |= zip(unknown, decide(list(unknown.values())), strict=True)
        waiting = {number: call for number, call in waiting.items() if number not in ended}
    return [ended[number] for number in sorted(ended)]
