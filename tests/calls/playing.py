"""A drawn call played to its end against anything that shows a step and takes its outcome."""

from collections.abc import Callable, Mapping, Sequence
from typing import Protocol

from faultleaf.diagnosis import CURED, HAND_ON, STILL_THERE, Problem, not_cured
from faultleaf.diagnosis.played import DrawnCall, PlayedCall
from faultleaf.diagnosis.steps import Kind

from tests.calls.deciding import Decider, Decision, Findings, Key, key_of

MOST_STEPS = 400
"""No call takes nearly so many: whoever shows more goes round in a circle."""

Going = Callable[[Problem, Findings, str], Findings]
"""The findings to go on with when the repair of this id had not cured."""


class Table(Protocol):
    """Where a call is worked: an engine, or a page that is clicked."""

    def next(self) -> tuple[Kind, str]:
        """The step that is shown: a test (`equipment.FEATURE` among them), a repair, or handing on."""
        ...

    def answer(self, outcome: str) -> None:
        """The outcome of that step: one of the test's, or of the proof "cured" or "still-there"."""
        ...


def play(problem: Problem, call: DrawnCall, table: Table) -> PlayedCall:
    """The call worked at this table, to a cure or to handing on.

    What a repair that did not cure has mended is seen mended from then on, however often it is looked at.
    """
    repairs = {repair.id: repair for repair in problem.repairs}
    mended, steps = dict[str, str](), list[tuple[str, str]]()
    while len(steps) < MOST_STEPS:
        kind, step = table.next()
        if kind == "hand-on":
            steps.append((HAND_ON, ""))
            break
        if kind == "repair":
            outcome = CURED if step in call.cures else STILL_THERE
            mended |= repairs[step].restore
        else:
            outcome = mended.get(step, call.shows[step])
        steps.append((step, outcome))
        table.answer(outcome)
        if outcome == CURED:
            break
    else:
        raise AssertionError(f"a call with {call.fault} goes round in a circle: {steps[-8:]}")
    return PlayedCall(tuple(steps), sum(minutes_of(problem, step) for step, _ in steps))


def minutes_of(problem: Problem, step: str) -> float:
    """What a step itself costs (rule 6)."""
    if step == HAND_ON:
        return problem.hand_on or 0.0
    if step in problem.test_index:
        return problem.tests[problem.test_index[step]].minutes
    return problem.repairs[problem.repair_index[step]].minutes


def as_planned(problem: Problem, findings: Findings, repair: str) -> Findings:  # noqa: ARG001
    """The planner's way: one fault is there, so all findings still count (rule 7)."""
    return {**findings, repair: STILL_THERE}


def as_worked(problem: Problem, findings: Findings, repair: str) -> Findings:
    """The page's way: what the repaired card names may be looked at anew, since a second fault may be there."""
    return not_cured(problem, findings, repair)


class UndecidedError(Exception):
    """Nobody has decided yet what to do after these findings."""

    def __init__(self, findings: Findings) -> None:
        super().__init__(f"no step is decided after {dict(findings)}")
        self.findings = findings


class EngineTable:
    """A call worked by decisions made before."""

    def __init__(self, problem: Problem, decided: Mapping[Key, Decision], going: Going) -> None:
        self._problem, self._decided, self._going = problem, decided, going
        self._findings: Findings = {}

    def next(self) -> tuple[Kind, str]:
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
            self._findings = self._going(self._problem, self._findings, step)


def play_all(
    problem: Problem,
    calls: Sequence[DrawnCall],
    decide: Decider,
    decided: dict[Key, Decision],
    going: Going = as_planned,
) -> list[PlayedCall]:
    """All calls of a problem; every belief is decided on once, those that wait at the same time together.

    `decided` is added to. A call that comes to a new belief begins anew once it is decided: looking up is cheap.
    """
    waiting, ended = dict(enumerate(calls)), dict[int, PlayedCall]()
    while waiting:
        unknown: dict[Key, Findings] = {}
        for number, call in waiting.items():
            try:
                ended[number] = play(problem, call, EngineTable(problem, decided, going))
            except UndecidedError as error:
                unknown[key_of(error.findings)] = error.findings
        decided |= zip(unknown, decide(list(unknown.values())), strict=True)
        waiting = {number: call for number, call in waiting.items() if number not in ended}
    return [ended[number] for number in sorted(ended)]
