"""The next step for any belief, quick enough for every click, without proof.

*Estimate* of a belief: Σ w·r + min(what the best run of repairs costs beyond that, κ·W·H). r is the
least that each fault costs, H the entropy in bits, W the weight and κ the price of the cheapest bit at
hand: a test's minutes over the bits it tells now. The first term of the min is what is paid without
further tests, the second what telling the causes apart would cost if every bit stayed as cheap.

*One step*: the step whose minutes plus the estimates after it are least. *Rollout*: going on by one
step to the end; its minutes are exact, so they are an upper bound of what is best. The best steps by one
step are compared by rollout, a short one for many, a long one for few. One price per bit is too
hopeful where the cheap tests are soon used up, so rollouts are made with κ and with twice κ, and after
every outcome the better one counts. Reference for rollout: D. P. Bertsekas and D. A. Castanon, "Rollout
algorithms for stochastic scheduling problems", Journal of Heuristics 5 (1999).
"""

import heapq
from math import ceil

import numpy as np

from faultleaf.diagnosis.leaf import best_run, leaf_values
from faultleaf.diagnosis.problem import HAND_ON, Floats, Problem
from faultleaf.diagnosis.state import State, after_failed, after_test, due_first, open_repairs, open_tests
from faultleaf.diagnosis.steps import Choice, look_ahead

TRUSTS = (1.0, 2.0)
"""κ is multiplied by these; every rollout is made with each of them, and the better one counts."""
ROLLOUTS = ((12, 12), (3, 60))
"""How many of the best steps are compared by rollout, and how many beliefs each rollout opens."""
LEAST_BITS = 1e-9
"""A test that tells less than this tells nothing."""


def bits(weights: Floats) -> Floats:
    """W·H: weight × entropy in bits along the last axis.

    >>> float(bits(np.array([2.0, 2.0])))
    4.0
    """
    total = weights.sum(axis=-1, keepdims=True)
    safe = np.where(weights > 0, weights, 1.0)
    return np.asarray((weights * np.log2(np.where(total > 0, total, 1.0) / safe)).sum(axis=-1))


def one_step(problem: Problem, state: State, trust: float = 1.0) -> list[tuple[float, Choice]]:
    """Every step that may be taken now with its estimated minutes × weight, best first (rule 13).

    Only the due test while `first` tests wait. `trust` multiplies κ: above 1, later bits are taken to
    be dearer. O(tests × outcomes × faults), numpy over all at once.
    """
    due = due_first(problem, state)
    if due is not None:
        return _scored_tests(problem, state, [due], np.inf)
    tests = open_tests(problem, state)
    price = trust * _cheapest_bit(problem, state, tests)
    scored = _scored_tests(problem, state, tests, price) + _scored_repairs(problem, state, price)
    if problem.hand_on is not None:
        scored.append((problem.hand_on * state.total, Choice("hand-on", -1, HAND_ON)))
    return sorted(scored, key=lambda pair: pair[1].order(pair[0]))


def _cheapest_bit(problem: Problem, state: State, tests: list[int]) -> float:
    """κ: minutes per bit of the test that tells most for its minutes now; infinite where none tells."""
    told = bits(state.weights) - bits(state.weights * problem.tables[tests]).sum(axis=1)
    telling = told > LEAST_BITS * state.total
    prices = problem.test_minutes[tests][telling] * state.total / told[telling]
    return float(prices.min(initial=np.inf))


def _estimates(problem: Problem, weights: Floats, runs: Floats, price: float) -> Floats:
    if not price < np.inf:
        return runs
    floor = np.where(weights > 0, problem.floor, 0.0)
    return np.asarray(np.minimum(runs, (weights * floor).sum(axis=-1) + price * bits(weights)))


def _scored_tests(problem: Problem, state: State, tests: list[int], price: float) -> list[tuple[float, Choice]]:
    if not tests:
        return []
    runs = look_ahead(problem, [(state, test) for test in tests]).values
    after = _estimates(problem, state.weights * problem.tables[tests], runs, price).sum(axis=1)
    scores = problem.test_minutes[tests] * state.total + after
    return [
        (float(score), Choice("test", test, problem.tests[test].id)) for score, test in zip(scores, tests, strict=True)
    ]


def _scored_repairs(problem: Problem, state: State, price: float) -> list[tuple[float, Choice]]:
    free = open_repairs(problem, state)
    curing = problem.fixes @ state.weights > 0
    repairs = [place for place in free if curing[place]]
    if not repairs:
        return []
    allowed = np.tile(np.isin(np.arange(len(problem.repairs)), free), (len(repairs), 1))
    allowed[np.arange(len(repairs)), repairs] = False
    left = state.weights * (1 - problem.fixes[repairs])
    runs = leaf_values(problem, left, allowed)[0]
    scores = problem.repair_minutes[repairs] * state.total + _estimates(problem, left, runs, price)
    return [
        (float(score), Choice("repair", place, problem.repairs[place].id))
        for score, place in zip(scores, repairs, strict=True)
    ]


def followers(problem: Problem, state: State, choice: Choice) -> list[State]:
    """The states that a step leads to, without those that nobody comes to."""
    if choice.kind == "hand-on":
        return []
    if choice.kind == "repair":
        after = [after_failed(problem, state, choice.place)]
    else:
        outcomes = range(len(problem.tests[choice.place].outcomes))
        after = [after_test(problem, state, choice.place, (column,)) for column in outcomes]
    return [each for each in after if each.total > 0]


def step_minutes(problem: Problem, choice: Choice) -> float:
    """What the step itself costs."""
    if choice.kind == "test":
        return problem.tests[choice.place].minutes
    return problem.repairs[choice.place].minutes if choice.kind == "repair" else problem.hand_on or 0.0


def run_minutes(problem: Problem, state: State) -> float:
    """Minutes × weight of the best run of repairs; what comes `first` is done first."""
    due = due_first(problem, state)
    if due is None:
        return best_run(problem, state)[1]
    after = (after_test(problem, state, due, (column,)) for column in range(len(problem.tests[due].outcomes)))
    rest = sum(run_minutes(problem, each) for each in after if each.total > 0)
    return problem.tests[due].minutes * state.total + rest


def rollout(problem: Problem, state: State, count: int, trust: float = 1.0) -> float:
    """Minutes × weight of going on by one step from this state, as far as `count` beliefs are opened.

    The beliefs that most calls come to are opened first; in the others the best run of repairs goes on.
    Never more than the best run from the state itself.
    """
    spent, number = 0.0, 0
    waiting = [(-state.total, number, state)]
    while waiting:
        here = heapq.heappop(waiting)[2]
        choice = next((choice for _, choice in one_step(problem, here, trust)), None) if count > 0 else None
        if choice is None:
            spent += run_minutes(problem, here)
            continue
        count -= 1
        spent += step_minutes(problem, choice) * here.total
        for after in followers(problem, here, choice):
            number += 1
            heapq.heappush(waiting, (-after.total, number, after))
    return min(spent, run_minutes(problem, state))


def rolled_minutes(problem: Problem, state: State, choice: Choice, count: int) -> float:
    """Minutes × weight of a step and of the best rollout after each of its outcomes.

    The beliefs to open are shared out by how many calls come to each outcome; none where `count` is 0.
    """
    spent = step_minutes(problem, choice) * state.total
    for after in followers(problem, state, choice):
        share = ceil(count * after.total / state.total)
        tries = [rollout(problem, after, share, trust) for trust in TRUSTS] if count else [run_minutes(problem, after)]
        spent += min(tries)
    return spent


def rolled_steps(problem: Problem, state: State) -> list[tuple[float, Choice]]:
    """Every step that may be taken now with its minutes × weight, best first (rule 13).

    A short rollout compares the best by one step, a long one the best of these; all others go on by the
    best run of repairs. So the minutes are exact for a call that goes on like that, never too low.
    """
    scores = {choice: rolled_minutes(problem, state, choice, 0) for _, choice in one_step(problem, state)}
    if len(scores) > 1:
        ranks = [[choice for _, choice in one_step(problem, state, trust)] for trust in TRUSTS]
        first = sorted(scores, key=lambda choice: min(rank.index(choice) for rank in ranks))
        for kept, count in ROLLOUTS:
            for choice in first[:kept]:
                scores[choice] = min(scores[choice], rolled_minutes(problem, state, choice, count))
            first = sorted(first[:kept], key=lambda choice: choice.order(scores[choice]))
    return sorted(((score, choice) for choice, score in scores.items()), key=lambda pair: pair[1].order(pair[0]))
