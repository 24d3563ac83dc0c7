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
from dataclasses import dataclass, field
from math import ceil

import numpy as np

from faultleaf.diagnosis.leaf import best_run, leaf_values
from faultleaf.diagnosis.problem import HAND_ON, Floats, Problem
from faultleaf.diagnosis.state import State, after_failed, after_test, due_first, open_repairs, open_tests
from faultleaf.diagnosis.steps import Choice, look_ahead

TRUSTS = (1.0, 2.0)
"""κ is multiplied by these; every rollout is made with each of them, and the better one counts."""
ROLLOUTS = ((16, 24), (4, 120))
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


@dataclass(frozen=True, eq=False)
class Look:
    """Every step that may be taken from a state, and what an estimate after it is made of.

    All in minutes × weight or bits × weight: `spent` (steps,) on the step itself; (steps, outcomes) `runs`
    of the best run of repairs after each outcome, `floors` of Σ w·r, `doubts` of W·H. `price` is κ.
    """

    choices: tuple[Choice, ...]
    spent: Floats
    runs: Floats
    floors: Floats
    doubts: Floats
    price: float

    def scores(self, trust: float) -> Floats:
        """Minutes × weight of each step with the estimates after it, κ taken `trust` times, (steps,)."""
        if not self.price < np.inf:
            return np.asarray(self.spent + self.runs.sum(axis=1))
        likely = np.minimum(self.runs, self.floors + trust * self.price * self.doubts)
        return np.asarray(self.spent + likely.sum(axis=1))

    def ranked(self, trust: float) -> list[Choice]:
        """The steps, best first (rule 13)."""
        scores = zip(self.scores(trust), self.choices, strict=True)
        return [choice for _, choice in sorted(scores, key=lambda pair: pair[1].order(float(pair[0])))]

    def best(self, trust: float) -> Choice | None:
        """The first of them, None where nothing can be done."""
        if not self.choices:
            return None
        scores = self.scores(trust)
        # Only what could be equal to 9 digits is rounded.
        near = np.flatnonzero(scores <= scores.min() * (1 + 1e-7))
        return min(
            (self.choices[row] for row in near), key=lambda choice: choice.order(float(scores[self._row(choice)]))
        )

    def _row(self, choice: Choice) -> int:
        return self.choices.index(choice)


def look(problem: Problem, state: State) -> Look:
    """What may be done from this state, one step ahead; only the due test while `first` tests wait.

    O(tests × outcomes × faults) beside the runs of repairs, numpy over all at once.
    """
    due = due_first(problem, state)
    tests = open_tests(problem, state) if due is None else [due]
    free = open_repairs(problem, state) if due is None else []
    curing = problem.fixes @ state.weights > 0
    repairs = [place for place in free if curing[place]]
    ends = due is None and problem.hand_on is not None
    width = max(problem.tables.shape[1], 1)
    after = np.zeros((len(tests) + len(repairs) + ends, width, len(problem.faults)))
    after[: len(tests), : problem.tables.shape[1]] = state.weights * problem.tables[tests]
    after[len(tests) : len(tests) + len(repairs), 0] = state.weights * (1 - problem.fixes[repairs])
    minutes = [*problem.test_minutes[tests], *problem.repair_minutes[repairs], *[problem.hand_on or 0.0] * ends]
    runs = np.zeros(after.shape[:2])
    if tests:
        runs[: len(tests), : problem.tables.shape[1]] = look_ahead(problem, [(state, test) for test in tests]).values
    if repairs:
        rows = slice(len(tests), len(tests) + len(repairs))
        runs[rows, 0] = _runs_after(problem, after[rows, 0], free, repairs)
    doubts = bits(after)
    spent = np.array(minutes, dtype=np.float64) * state.total
    choices = _choices(problem, tests, repairs, ends)
    price = np.inf if due is not None else _cheapest_bit(state, spent[: len(tests)], doubts[: len(tests)])
    return Look(choices, spent, runs, after @ np.where(problem.weights > 0, problem.floor, 0.0), doubts, price)


def _choices(problem: Problem, tests: list[int], repairs: list[int], ends: bool) -> tuple[Choice, ...]:
    found = [Choice("test", place, problem.tests[place].id) for place in tests]
    found += [Choice("repair", place, problem.repairs[place].id) for place in repairs]
    return (*found, *[Choice("hand-on", -1, HAND_ON)] * ends)


def _runs_after(problem: Problem, left: Floats, free: list[int], repairs: list[int]) -> Floats:
    """Minutes × weight of the best run after each of these repairs did not cure."""
    allowed = np.tile(np.isin(np.arange(len(problem.repairs)), free), (len(repairs), 1))
    allowed[np.arange(len(repairs)), repairs] = False
    return leaf_values(problem, left, allowed)[0]


def _cheapest_bit(state: State, spent: Floats, doubts: Floats) -> float:
    """κ: minutes per bit of the test that tells most for its minutes now; infinite where none tells."""
    told = bits(state.weights) - doubts.sum(axis=1)
    telling = told > LEAST_BITS * state.total
    return float((spent[telling] / told[telling]).min(initial=np.inf))


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


@dataclass(frozen=True, eq=False)
class Rollouts:
    """Rollouts on one problem, with what was looked at kept while one step is chosen."""

    problem: Problem
    looks: dict[State, Look] = field(default_factory=dict)

    def look(self, state: State) -> Look:
        """What may be done from a state, worked out once."""
        if state not in self.looks:
            self.looks[state] = look(self.problem, state)
        return self.looks[state]

    def minutes(self, state: State, count: int, trust: float) -> float:
        """Minutes × weight of going on by one step from this state, as far as `count` beliefs are opened.

        The beliefs that most calls come to are opened first; in the others the best run of repairs goes
        on. Never more than the best run from the state itself.
        """
        spent, number = 0.0, 0
        waiting = [(-state.total, number, state)]
        while waiting:
            here = heapq.heappop(waiting)[2]
            choice = self.look(here).best(trust) if count > 0 else None
            if choice is None:
                spent += run_minutes(self.problem, here)
                continue
            count -= 1
            spent += step_minutes(self.problem, choice) * here.total
            for after in followers(self.problem, here, choice):
                number += 1
                heapq.heappush(waiting, (-after.total, number, after))
        return min(spent, run_minutes(self.problem, state))

    def after(self, state: State, choice: Choice, count: int) -> float:
        """Minutes × weight of a step and of the best rollout after each of its outcomes.

        The beliefs to open are shared out by how many calls come to each outcome; none where `count` is 0.
        """
        spent = step_minutes(self.problem, choice) * state.total
        for each in followers(self.problem, state, choice):
            share = ceil(count * each.total / state.total)
            trusts = TRUSTS if count else TRUSTS[:1]
            spent += min(self.minutes(each, share, trust) for trust in trusts)
        return spent


def rolled_steps(problem: Problem, state: State) -> list[tuple[float, Choice]]:
    """Every step that may be taken now with its minutes × weight, best first (rule 13).

    A short rollout compares the best by one step, a long one the best of these; all others go on by the
    best run of repairs. So the minutes are exact for a call that goes on like that, never too low.
    """
    rollouts = Rollouts(problem)
    ranks = [rollouts.look(state).ranked(trust) for trust in TRUSTS]
    scores = {choice: rollouts.after(state, choice, 0) for choice in ranks[0]}
    best = sorted(scores, key=lambda choice: min(rank.index(choice) for rank in ranks))
    for kept, count in ROLLOUTS if len(scores) > 1 else ():
        best = best[:kept]
        for choice in best:
            scores[choice] = min(scores[choice], rollouts.after(state, choice, count))
        best.sort(key=lambda choice: choice.order(scores[choice]))
    return sorted(((score, choice) for choice, score in scores.items()), key=lambda pair: pair[1].order(pair[0]))
