"""Calls drawn from the cards and worked to their end: what a rule for the next step does on each.

A call has one cause, drawn by weight; what every test would show and which repairs would cure are drawn with
it, once, so that two ways of working it meet the same call. As the planner does (model, rule 7), findings are
kept when a repair did not cure.
"""

import random
from collections.abc import Mapping
from dataclasses import dataclass

from faultleaf.diagnosis.model.problem import CURED, HAND_ON, STILL_THERE, Problem
from faultleaf.diagnosis.model.state import State, after_failed, after_test, minutes_of_test, start_state
from faultleaf.diagnosis.step.leaf import best_run
from faultleaf.diagnosis.step.steps import Choice
from faultleaf.diagnosis.worth.heuristics import Rule, state_key


@dataclass(frozen=True)
class DrawnCall:
    """A call as it is, which nobody at it knows: its cause, what each test would show, the repairs that would cure."""

    fault: str
    shows: Mapping[str, str]
    cures: frozenset[str]


@dataclass(frozen=True)
class PlayedCall:
    """A call worked to its end: each step with its outcome ("" for handing on), and the minutes of all steps."""

    steps: tuple[tuple[str, str], ...]
    minutes: float

    @property
    def repairs(self) -> tuple[str, ...]:
        """The repairs done, in order."""
        return tuple(step for step, outcome in self.steps if outcome in (CURED, STILL_THERE))

    @property
    def handed_on(self) -> bool:
        """Whether it was not cured."""
        return self.steps[-1:] == ((HAND_ON, ""),)


def draw_call(problem: Problem, draw: random.Random) -> DrawnCall:
    """A call of the cards: P(cause) by weight, outcomes and cures independent given the cause (rules 2, 3, 7)."""
    (place,) = draw.choices(range(len(problem.faults)), problem.weights.tolist())
    shows = {test.id: draw.choices(test.outcomes, test.table[place].tolist())[0] for test in problem.tests}
    cures = frozenset(repair.id for repair in problem.repairs if draw.random() < repair.fixes[place])
    return DrawnCall(problem.faults[place], shows, cures)


def play_call(problem: Problem, call: DrawnCall, rule: Rule) -> PlayedCall:
    """The call worked by the rule; where it names no step, by the best run of repairs and handing on."""
    state, steps, minutes = start_state(problem), list[tuple[str, str]](), 0.0
    waiting: list[Choice] = []
    while True:
        if not waiting:
            choice = rule(problem, state)
            waiting = _last_run(problem, state) if choice is None else [choice]
        step = waiting.pop(0)
        if step.kind == "hand-on":
            owed = float(problem.ending[problem.faults.index(call.fault)])
            return PlayedCall((*steps, (HAND_ON, "")), minutes + owed)
        state, outcome, spent = _done(problem, state, call, step)
        steps.append((step.id, outcome))
        minutes += spent
        if outcome == CURED:
            return PlayedCall(tuple(steps), minutes)


def _done(problem: Problem, state: State, call: DrawnCall, step: Choice) -> tuple[State, str, float]:
    """The state after a step, its outcome and its minutes."""
    if step.kind == "repair":
        cured = step.id in call.cures
        card = problem.repairs[step.place]
        if cured:
            return state, CURED, card.minutes
        return after_failed(problem, state, step.place), STILL_THERE, card.failed_minutes
    test = problem.tests[step.place]
    outcome = call.shows[step.id]
    minutes = minutes_of_test(problem, state, step.place)
    return after_test(problem, state, step.place, (test.outcomes.index(outcome),)), outcome, minutes


def _last_run(problem: Problem, state: State) -> list[Choice]:
    run, _ = best_run(problem, state)
    return [*(Choice("repair", place, problem.repairs[place].id) for place in run), Choice("hand-on", -1, HAND_ON)]


def remembering(rule: Rule) -> Rule:
    """The same rule, asked once for each state: many calls begin alike."""
    known: dict[object, Choice | None] = {}

    def chosen(problem: Problem, state: State) -> Choice | None:
        key = state_key(state)
        if key not in known:
            known[key] = rule(problem, state)
        return known[key]

    return chosen
