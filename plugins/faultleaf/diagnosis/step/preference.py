"""The order in which steps are offered: the least minutes, and among those as good as equal a master's manner.

Minutes are rough. Steps within NEAR of the best are as good as equal, and then the gentler one comes first: ask,
look, listen, feel, measure, open, run (rule 13). A test counts as equal only while it earns a share of its own
minutes (EARNED), so that nobody walks round the boiler for nothing. Knowing more never hurts: what forbids nothing
is never said to cost more than its own minutes beside the best (rule 21). A repair that did not cure is
followed by a test that parts the causes left, where there is one, not by the next guess. And nothing is
replaced on a hunch: a repair that is not likely to cure waits for a test that can prove its fault.
"""

import numpy as np

from faultleaf.cards.vocabulary import WAYS
from faultleaf.diagnosis.model.problem import Problem
from faultleaf.diagnosis.model.state import State, minutes_of_test
from faultleaf.diagnosis.step.leaf import round9
from faultleaf.diagnosis.step.look import TINY, step_spent
from faultleaf.diagnosis.step.steps import Choice

NEAR = 0.02
"""A step that costs at most this share more than the best is as good as equal …"""
NEAR_MINUTES = 3.0
"""… and so is one that costs at most so many minutes more."""
EARNED = 0.9
"""A test as good as equal saves at least this share of its own minutes."""
IN_QUESTION = 0.05
"""A row at least as likely as this is still in question after a repair that did not cure."""
PARTING = 0.3
"""Total variation between two rows from which a test parts them (rule 15)."""
LIKELY = 0.75
"""A repair that cures with at least this chance needs no further proof of its fault."""
CONFIRMING = 5.0
"""So many times likelier with the fault than without is the outcome that proves it (rule 15) …"""
SHOWN = 0.5
"""… and at least so often it is seen where the fault is there."""

Scored = tuple[float, Choice]
"""Expected minutes of a step with all that follows, and the step."""


def preferred(problem: Problem, state: State, scored: list[Scored]) -> list[Scored]:
    """The steps in the order in which they are offered, minutes bounded by rule 21; `scored` is best first."""
    if not scored:
        return []
    own = {choice: step_spent(problem, state, choice) / state.total for _, choice in scored}
    best = round9(scored[0][0])
    near, rest = list[Scored](), list[Scored]()
    for minutes, choice in scored:
        equal = round9(minutes) <= best + max(NEAR * best, NEAR_MINUTES)
        earned = choice.kind != "test" or round9(minutes) <= best + (1 - EARNED) * own[choice]
        bounded = minutes
        if choice.kind != "hand-on" and choice.id not in problem.ending_things:
            bounded = min(minutes, scored[0][0] + own[choice])
        (near if equal and earned else rest).append((bounded, choice))
    near.sort(key=lambda step: _manner(problem, step[0], step[1], own[step[1]]))
    rest.sort(key=lambda step: step[1].order(step[0]))
    return _test_before_repair(problem, state, [*near, *rest])


def _manner(problem: Problem, minutes: float, choice: Choice, own: float) -> tuple[int, int, float, str]:
    """Tests in a master's order, then repairs, then handing on."""
    if choice.kind == "test":
        return 0, WAYS.index(problem.tests[choice.place].way), round9(own), choice.id
    score, kind, name = choice.order(minutes)
    return kind, 0, score, name


def _test_before_repair(problem: Problem, state: State, steps: list[Scored]) -> list[Scored]:
    """The same with a test in front, where the best step is a repair and a test is wanted before it."""
    first = steps[0][1]
    if first.kind != "repair" or problem.mending[first.place]:
        return steps
    just_failed = bool(state.path) and state.path[-1][0] == "repair"
    tests = [step for step in steps if step[1].kind == "test"]
    wanted = [step for step in tests if proves(problem, state, step[1].place, first.place)]
    if just_failed and not wanted:
        wanted = [step for step in tests if parts(problem, state, step[1].place)]
    if not wanted:
        return steps
    front = min(wanted, key=lambda step: step[1].order(step[0]))
    return [front, *(step for step in steps if step is not front)]


def proves(problem: Problem, state: State, test: int, repair: int) -> bool:
    """Whether the test, for less work than the repair in vain, can prove what is still only likely: that the repair
    will cure."""
    fixes = problem.fixes[repair]
    there = state.weights * (fixes > 0)
    if round9(float(state.weights @ fixes) / state.total) >= LIKELY:
        return False
    if minutes_of_test(problem, state, test) >= problem.failed_minutes[repair]:
        return False
    shown = (there @ problem.tests[test].table / there.sum()).tolist()
    others = (state.weights - there) @ problem.tests[test].table / max(state.total - float(there.sum()), TINY)
    # Rounded, so that what the words of cards put on a limit falls on one side in both languages.
    pairs = zip(map(round9, shown), others.tolist(), strict=True)
    return any(often >= SHOWN and often >= round9(CONFIRMING * elsewhere) for often, elsewhere in pairs)


def parts(problem: Problem, state: State, test: int) -> bool:
    """Whether the test tells two rows apart that are still in question."""
    asked = state.weights >= IN_QUESTION * state.total
    rows = problem.tests[test].table[asked]
    far = np.abs(rows[:, None, :] - rows[None, :, :]).sum(axis=2) / 2
    return round9(float(far.max(initial=0.0))) > PARTING
