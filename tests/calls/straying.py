"""Calls worked in every way that is open, not by the policy alone: what each way offers is held beside the cards."""

import random
from collections.abc import Iterator, Mapping

from faultleaf.diagnosis import HAND_ON, STILL_THERE, Problem, ScoredStep, believe, rank_steps
from faultleaf.diagnosis.model.state import (
    State,
    after_failed,
    after_test,
    due_first,
    open_repairs,
    open_tests,
    start_state,
)

from tests.calls.forbidden import Forbidden
from tests.calls.played import DrawnCall


def offered(problem: Problem, state: State) -> set[str]:
    """The steps that the engine would let one take here, handing on aside."""
    due = due_first(problem, state)
    if due is not None:
        return {problem.tests[due].id}
    found = {problem.tests[place].id for place in open_tests(problem, state)}
    return found | {problem.repairs[place].id for place in open_repairs(problem, state)}


def seen(state: State) -> dict[str, str]:
    """What is known at a state that only single outcomes led to."""
    return {test: next(iter(outcomes)) for test, outcomes in state.known.items()}


def wrongly_offered(problem: Problem, rules: Forbidden, state: State) -> set[str]:
    """Steps that the engine offers and the cards forbid, and those that it keeps back although nothing forbids them."""
    found, banned = offered(problem, state), rules.after(seen(state), state.tried)
    if due_first(problem, state) is not None:
        return found & banned
    tests = {test.id for test in problem.tests if test.offered and test.id not in state.known}
    repairs = {repair.id for repair in problem.repairs if repair.id not in state.tried}
    return found ^ ((tests | repairs) - banned)


def strays(problem: Problem, call: DrawnCall, draw: random.Random) -> Iterator[State]:
    """The states of a call worked in any order that is open; it ends with a cure or where nothing is left."""
    state = start_state(problem)
    while True:
        yield state
        ways = sorted(offered(problem, state))
        if not ways:
            return
        step = draw.choice(ways)
        if step in problem.test_index:
            place = problem.test_index[step]
            state = after_test(problem, state, place, (problem.tests[place].outcomes.index(call.shows[step]),))
        elif step in call.cures:
            return
        else:
            state = after_failed(problem, state, problem.repair_index[step])


Findings = Mapping[str, str]


def policy_states(problem: Problem, edge: float) -> Iterator[tuple[State, tuple[ScoredStep, ...]]]:
    """The states of the policy's own plan that a share of at least `edge` of the calls comes to, with what is offered
    there, and those one step beside it, by any step offered, with nothing."""
    whole, waiting = float(problem.weights.sum()), [start_state(problem)]
    while waiting:
        state = waiting.pop()
        findings = {**seen(state), **dict.fromkeys(sorted(state.tried), STILL_THERE)}
        steps = rank_steps(problem, believe(problem, findings))
        yield state, steps
        for number, step in enumerate(steps):
            if step.id == HAND_ON or (step.kind == "named" and number == 0):
                continue
            after = [way for way in _after(problem, state, step) if way.total >= edge * whole]
            if number == 0:
                waiting += after
            else:
                yield from ((way, ()) for way in after)


def _after(problem: Problem, state: State, step: ScoredStep) -> list[State]:
    if step.kind == "test":
        place = problem.test_index[step.id]
        return [after_test(problem, state, place, (column,)) for column, _ in enumerate(problem.tests[place].outcomes)]
    return [after_failed(problem, state, problem.repair_index[step.id])]
