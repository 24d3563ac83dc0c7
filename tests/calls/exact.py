"""What the shipped policy costs, worked out over everything that may be seen instead of played.

Two ways to one belief do not meet: the policy takes one step at each, so its findings tell their order. Calls have one
cause each, so a share Σ weights there over Σ weights at the start comes to a belief, where weights are those of the
planner (`State`); what the policy is asked with is the belief of a call being worked (rule 7). Where fewer than a
given share of the calls come, the unfolding ends: what is before that *edge* is exact, what is after it is bounded.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from faultleaf.diagnosis import CURED, HAND_ON, Problem, not_cured
from faultleaf.diagnosis.model.state import State, after_failed, after_test, start_state
from faultleaf.diagnosis.step.look import step_spent
from faultleaf.diagnosis.step.steps import Choice

from tests.calls.deciding import Decider, Decision, Findings, Key, key_of
from tests.calls.played import PlayedCall


@dataclass(frozen=True)
class Exact:
    """The policy's cost per call.

    `states`: beliefs before the edge. `minutes`, `handed_on`: what comes before the edge. `past`: the share of calls
    that go past it, `least` and `most` the minutes that they cost there at least and at most, times that share.
    """

    states: int = 0
    minutes: float = 0.0
    handed_on: float = 0.0
    past: float = 0.0
    least: float = 0.0
    most: float = 0.0


@dataclass(frozen=True)
class Before:
    """What of a played call lies before the edge, to be held beside `Exact`."""

    minutes: float
    handed_on: bool
    past: bool


@dataclass(frozen=True)
class _Come:
    """What is found, and the calls that come there."""

    findings: Findings
    state: State


def unfold(problem: Problem, decide: Decider, decided: dict[Key, Decision], edge: float) -> Exact:
    """The cost of the policy, exact as far as a share of at least `edge` of the calls comes; `decided` is added to."""
    start = start_state(problem)
    found, level = Exact(), [_Come({}, start)]
    while level:
        for come in level:
            found = found if come.state.total >= edge * start.total else _past(problem, found, come.state)
        level = [come for come in level if come.state.total >= edge * start.total]
        new = [come.findings for come in level if key_of(come.findings) not in decided]
        decided |= zip(map(key_of, new), decide(new), strict=True)
        for come in level:
            found = _before(problem, found, decided[key_of(come.findings)], come.state)
        level = [on for come in level for on in _after(problem, come, decided[key_of(come.findings)])]
    return found


def before_edge(problem: Problem, call: PlayedCall, edge: float, start: State) -> Before:
    """The part of a call that lies before the edge; `start` is the state before any finding."""
    state, minutes = start, 0.0
    for step, outcome in call.steps:
        if state.total < edge * start.total:
            return Before(minutes, handed_on=False, past=True)
        choice = _choice(problem, step)
        if choice.kind == "hand-on":
            break
        if choice.kind == "test":
            minutes += step_spent(problem, state, choice) / state.total
            column = problem.tests[choice.place].outcomes.index(outcome)
            state = after_test(problem, state, choice.place, (column,))
        else:
            card = problem.repairs[choice.place]
            minutes += card.minutes if outcome == CURED else card.failed_minutes
            state = after_failed(problem, state, choice.place)
    else:
        return Before(minutes, handed_on=False, past=False)
    return Before(call.minutes, call.handed_on, past=False)


def _choice(problem: Problem, step: str) -> Choice:
    if step in problem.test_index:
        return Choice("test", problem.test_index[step], step)
    return Choice("repair", problem.repair_index[step], step) if step in problem.repair_index else _HAND_ON


_HAND_ON = Choice("hand-on", -1, HAND_ON)


def _before(problem: Problem, found: Exact, decision: Decision, state: State) -> Exact:
    kind, step = decision
    whole = float(problem.weights.sum())
    minutes = found.minutes + step_spent(problem, state, _choice(problem, step)) / whole
    handed_on = found.handed_on + state.total / whole * (kind == "hand-on")
    return replace(found, states=found.states + 1, minutes=minutes, handed_on=handed_on)


def _after(problem: Problem, come: _Come, decision: Decision) -> Iterator[_Come]:
    """The beliefs that the step leads to, without those that nobody comes to."""
    choice = _choice(problem, decision[1])
    if choice.kind == "hand-on":
        return
    if choice.kind == "repair":
        failed = after_failed(problem, come.state, choice.place)
        ways = [_Come(not_cured(problem, come.findings, choice.id), failed)]
    else:
        ways = [
            _Come({**come.findings, choice.id: outcome}, after_test(problem, come.state, choice.place, (column,)))
            for column, outcome in enumerate(problem.tests[choice.place].outcomes)
        ]
    yield from (way for way in ways if way.state.total > 0)


def _past(problem: Problem, found: Exact, state: State) -> Exact:
    """Past the edge: at least the cheapest end for each cause, at most all steps that are left, and handing on."""
    whole = float(problem.weights.sum())
    steps = [test.minutes for test in problem.tests if test.offered and test.id not in state.known]
    steps += [max(repair.minutes, repair.failed_minutes) for repair in problem.repairs if repair.id not in state.tried]
    least = float(state.weights @ problem.floor)
    most = sum(steps) * state.total + (0.0 if problem.hand_on is None else float(state.weights @ problem.ending))
    past = found.past + state.total / whole
    return replace(found, past=past, least=found.least + least / whole, most=found.most + most / whole)
