"""Where one stands in a call: weights, what is found, what was tried; and what may be done next.

A state may stand for several outcomes at once (a box of a chart that is entered by any of them): its
weights are then their sum, and `known` holds every outcome that may have been seen. A step is allowed
only where it is allowed whichever of them it was.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

from faultleaf.diagnosis.model.problem import Conditions, Floats, Problem, Repair, Test, frozen_array

Known = Mapping[str, frozenset[str]]
Step = tuple[str, int, tuple[int, ...]]
"""("test", its place, the places of the outcomes that may have been seen) or ("repair", its place, ())."""


@dataclass(frozen=True, eq=False)
class State:
    """Weights (not normalised), findings, repairs tried without cure, and the way that led here."""

    weights: Floats
    known: Known
    tried: frozenset[str] = frozenset()
    path: tuple[Step, ...] = ()
    followers: dict[Step, "State"] = field(default_factory=dict, repr=False)
    """States worked out from this one before: a growing tree comes by the same states again and again."""
    best: list[tuple[tuple[int, ...], float]] = field(default_factory=list, repr=False)
    """The best run of repairs from here and its minutes, once worked out (`leaf.best_run`)."""

    @cached_property
    def total(self) -> float:
        """The weight of all faults still in question: the share of calls that come here, times Σ w."""
        return float(self.weights.sum())


def start_state(problem: Problem) -> State:
    """The state before any finding."""
    return State(problem.weights, {})


def after_test(problem: Problem, state: State, test: int, outcomes: tuple[int, ...]) -> State:
    """The state once the test showed one of these outcomes (Bayes' rule, not normalised)."""
    step = ("test", test, outcomes)
    if step not in state.followers:
        card = problem.tests[test]
        weights = frozen_array(state.weights * card.table[:, list(outcomes)].sum(axis=1))
        names = frozenset(card.outcomes[index] for index in _credible(problem, state, test, outcomes))
        known = found_after(state.known, card, sorted(names))
        state.followers[step] = State(weights, known, state.tried, (*state.path, step))
    return state.followers[step]


def _credible(problem: Problem, state: State, test: int, outcomes: tuple[int, ...]) -> tuple[int, ...]:
    """The outcomes to reckon with. Where nobody can be handed on to, an outcome that cannot be seen goes
    on with others (it must go somewhere) and must not forbid what they allow."""
    if problem.hand_on is not None or len(outcomes) == 1:
        return outcomes
    shares = state.weights @ problem.tests[test].table
    return tuple(outcome for outcome in outcomes if shares[outcome] > 0) or outcomes


def after_failed(problem: Problem, state: State, repair: int) -> State:
    """The state once the repair was done, proved, and had not cured (MODEL.md, rule 7)."""
    step: Step = ("repair", repair, ())
    if step not in state.followers:
        card = problem.repairs[repair]
        weights = frozen_array(state.weights * (1 - card.fixes))
        known = {**state.known, **{test: frozenset([seen]) for test, seen in card.restore.items()}}
        state.followers[step] = State(weights, known, state.tried | {card.id}, (*state.path, step))
    return state.followers[step]


def allowed_by_stops(problem: Problem, known: Known) -> frozenset[str] | None:
    """The ids of the steps that the stops found still allow; None where nothing stops (rule 16)."""
    allowed: frozenset[str] | None = None
    for test in problem.stopping.keys() & known.keys():
        outcomes = problem.stopping[test]
        for seen in known[test] & outcomes.keys():
            allowed = outcomes[seen] if allowed is None else allowed & outcomes[seen]
    return allowed


def found_after(known: Known, test: Test, outcomes: Sequence[str]) -> dict[str, frozenset[str]]:
    """What is known once the test showed one of these outcomes, with what it sets anew elsewhere (rule 17)."""
    found = {**known, test.id: frozenset(outcomes)}
    for other in sorted({name for seen in outcomes for name in test.renews.get(seen, {})}):
        new = [test.renews.get(seen, {}).get(other) for seen in outcomes]
        kept = known.get(other, frozenset[str]()) if None in new else frozenset[str]()
        if kept or None not in new:
            found[other] = frozenset(seen for seen in new if seen is not None) | kept
    return found


def _met(needs: Conditions, known: Known) -> bool:
    return all(test in known and known[test] <= wanted for test, wanted in needs.items())


def _forbidden(never_when: Conditions, known: Known) -> bool:
    return any(known.get(test, frozenset()) & banned for test, banned in never_when.items())


def permitted(step: Test | Repair, known: Known) -> bool:
    """True where what the step needs is found and nothing is found that forbids it."""
    if step.needs and not _met(step.needs, known):
        return False
    return not (step.never_when and _forbidden(step.never_when, known))


def open_tests(problem: Problem, state: State) -> list[int]:
    """The tests that may be done now, by their place in the problem."""
    allowed = allowed_by_stops(problem, state.known)
    return [
        index
        for index, test in enumerate(problem.tests)
        if test.offered
        and test.id not in state.known
        and (allowed is None or test.id in allowed)
        and permitted(test, state.known)
        and not perished(test, state)
    ]


def minutes_of_test(problem: Problem, state: State, test: int) -> float:
    """What the test costs now: less where one that waits at the same time was done (rule 6)."""
    card = problem.tests[test]
    return card.minutes_together if card.together and not card.together.isdisjoint(state.known) else card.minutes


def perished(test: Test, state: State) -> bool:
    """True where something was done after which the test is worth nothing (rule 19)."""
    return bool(test.perishes_after) and not test.perishes_after.isdisjoint((*state.known, *state.tried))


def open_repairs(problem: Problem, state: State) -> list[int]:
    """The repairs that may be done now and were not tried yet, by their place in the problem."""
    allowed = allowed_by_stops(problem, state.known)
    return [
        index
        for index, repair in enumerate(problem.repairs)
        if repair.id not in state.tried and doable(repair, state.known, allowed)
    ]


def doable(repair: Repair, known: Known, allowed: frozenset[str] | None) -> bool:
    """True where neither a stop nor a condition forbids the repair."""
    if allowed is not None and repair.id not in allowed:
        return False
    return not (repair.needs or repair.never_when) or permitted(repair, known)


def way_to(problem: Problem, state: State, step: Test | Repair) -> str | None:
    """The id of what to do now so that the step may be done: itself, or a test that it waits for.

    None where it can no longer be done. Needs must not go in circles (checked when the problem is made).
    """
    allowed = allowed_by_stops(problem, state.known)
    if _forbidden(step.never_when, state.known) or (allowed is not None and step.id not in allowed):
        return None
    if isinstance(step, Test) and perished(step, state):
        return None
    for test_id, wanted in sorted(step.needs.items()):
        if test_id in state.known:
            if not state.known[test_id] <= wanted:
                return None
            continue
        index = problem.test_index.get(test_id)
        if index is None or not problem.tests[index].offered:
            return None
        return way_to(problem, state, problem.tests[index])
    return step.id


def first_ways(problem: Problem, state: State) -> tuple[str | None, ...]:
    """For every `first` test not done yet, what to do now towards it (None: it cannot be done)."""
    waiting = (problem.tests[problem.test_index[name]] for name in problem.first if name not in state.known)
    return tuple(way_to(problem, state, test) for test in waiting)


def due_first(problem: Problem, state: State) -> int | None:
    """The test that must come now because the `first` tests are not done; None when they are."""
    name = next((way for way in first_ways(problem, state) if way is not None), None)
    return None if name is None else problem.test_index[name]
