"""Laws of the step that is offered first, by exact evaluation on small problems with all rules on."""

import random
from collections.abc import Iterator

import pytest
from faultleaf.diagnosis import STILL_THERE, Problem, believe, next_step, parse_problem, rank_steps
from faultleaf.diagnosis.model.state import (
    State,
    after_failed,
    after_test,
    due_first,
    open_repairs,
    open_tests,
    start_state,
)
from faultleaf.diagnosis.step.policy import rolled_steps

from tests.diagnosis.all_rules import with_all_rules
from tests.diagnosis.brute import Policy
from tests.diagnosis.problems import exact


def walked(problem: Problem, draw: random.Random) -> Iterator[State]:
    """The states of one call worked in any order that is open, by what may be seen."""
    state = start_state(problem)
    while state.total > 1e-6:
        yield state
        due = due_first(problem, state)
        tests = open_tests(problem, state) if due is None else [due]
        ways = [after_test(problem, state, t, (o,)) for t in tests for o in range(len(problem.tests[t].outcomes))]
        ways += [
            after_failed(problem, state, repair) for repair in (open_repairs(problem, state) if due is None else [])
        ]
        if not ways:
            return
        state = draw.choice(ways)


@pytest.mark.parametrize("block", range(6))
def test_where_handing_on_comes_first_every_other_step_is_worse(block: int) -> None:
    """Exactly: what the best policy after any other step costs, beside handing on at once with what is owed."""
    handed_on = 0
    for seed in range(30 * block, 30 * (block + 1)):
        data, problem = with_all_rules(seed, 3, 3)
        policy = Policy(data)
        for state in walked(problem, random.Random(seed)):
            step = next_step(problem, believe(problem, findings_of(state)))
            if step is None or step.kind != "hand-on":
                continue
            # The planner's weights: those of the page speak for two causes too once a repair has failed (rule 7).
            weights = believe(problem, findings_of(state)).weights.tolist()
            costs = policy.steps(weights, seen(state), state.tried)
            best = min((cost for name, cost in costs.items() if name != "hand-on"), default=float("inf"))
            assert best >= costs["hand-on"] * (1 - 1e-9), (seed, seen(state), sorted(state.tried))
            handed_on += 1
    assert handed_on > 20


@pytest.mark.parametrize("block", range(6))
def test_minutes_by_rollout_are_nearly_exact_on_small_problems(block: int) -> None:
    """Never too low, at most 1 % too high, and so is the step: mostly both are exact."""
    exact_ones = states = 0
    for seed in range(20 * block, 20 * (block + 1)):
        data, problem = with_all_rules(seed, 3, 3, menders=False)
        policy = Policy(data)
        for state in walked(problem, random.Random(seed)):
            costs = policy.steps(state.weights.tolist(), seen(state), state.tried)
            minutes, choice = rolled_steps(problem, state)[0]
            best = min(costs.values())
            assert best * (1 - 1e-9) <= costs[choice.id] <= best * 1.01
            assert best * (1 - 1e-9) <= minutes * state.total <= best * 1.01
            states, exact_ones = states + 1, exact_ones + (minutes * state.total <= best * (1 + 1e-9))
    assert exact_ones > 0.97 * states


def test_what_mending_an_instrument_opens_is_seen_from_before() -> None:
    """The rest of the call goes on by the mended glass: it is no handing on."""
    data = exact((1,), (30,), [({0}, 2)], hand_on=180, noise=0.3)
    mender = {"id": "mender", "minutes": 6, "fixes": {}, "needs": {"t0": "no"}, "restore": {"t0": "yes"}}
    data["repairs"].append(mender)
    data |= {"first": ["t0"], "stops": [{"test": "t0", "outcome": "no", "allows": ["mender"]}]}
    (step,) = rank_steps(parse_problem(data), believe(parse_problem(data), {}))
    assert step.expected_minutes == pytest.approx(2 + 0.3 * 6 + 30)


def seen(state: State) -> dict[str, str]:
    return {test: next(iter(outcomes)) for test, outcomes in state.known.items()}


def findings_of(state: State) -> dict[str, str]:
    return {**seen(state), **dict.fromkeys(sorted(state.tried), STILL_THERE)}
