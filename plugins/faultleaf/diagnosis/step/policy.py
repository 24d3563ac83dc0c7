"""The next step for any belief, quick enough for every click, without proof.

At first every step counts what the best run of repairs after it costs (`look.py`). Then some beliefs that
it leads to are *opened*: there the best step counts. A *walk* opens beliefs below one step, going on by the
step with the best estimate and first to where most is still to be saved. The steps that look best share the
walks; after every round the best go on. A belief that is reached in several ways is opened once,
and keeps the best that any walk found. So the minutes are exact for a plan that is at hand: an upper bound
of what is best.

One price per bit is too hopeful where the cheap tests are soon used up, and blind to a dear test that pays
only with the next one, so walks are made with κ, with half and with twice κ. Reference for comparing steps
by going on from each with a simple rule: D. P. Bertsekas and D. A. Castanon, "Rollout algorithms for
stochastic scheduling problems", Journal of Heuristics 5 (1999); for dropping the worse ones round by round:
Z. Karnin, T. Koren and O. Somekh, "Almost optimal exploration in multi-armed bandits", ICML (2013).
"""

import heapq
from dataclasses import dataclass, field
from itertools import count as counting

import numpy as np

from faultleaf.diagnosis.model.problem import Floats, Problem
from faultleaf.diagnosis.model.state import State, Step
from faultleaf.diagnosis.step.leaf import round9
from faultleaf.diagnosis.step.look import Look, Place, after_outcome, look
from faultleaf.diagnosis.step.steps import Choice

TRUSTS = (0.5, 1.0, 2.0)
"""κ is multiplied by these; every walk is made with each of them."""
KEPT = (6, 2)
"""How many of the steps that look best share the walks, round by round."""
WORK = 600_000
"""Cells of tables (fault × outcome, fault × repair) that may be read for one answer beyond the first look."""
LEAST_STAKE = 1e-9
"""An outcome with less than this share of the weight × minutes is not worth opening."""


@dataclass(frozen=True, eq=False)
class Opened:
    """A belief that was looked at. `after` (steps, outcomes) is minutes × weight of the best plan at hand
    after every step's outcome; it only falls, as walks bring it up to date."""

    seen: Look
    after: Floats
    kids: dict[Place, "Opened"] = field(default_factory=dict)

    def scores(self) -> Floats:
        """Minutes × weight of each step with the plan at hand after it, (steps,)."""
        return np.asarray(self.seen.spent + self.after.sum(axis=1))

    def best(self) -> Choice | None:
        """The step that the plan at hand takes, None where nothing can be done."""
        return next((self.seen.choices[row] for row in self.seen.ranked(self.scores())), None)

    def minutes(self) -> float:
        """Minutes × weight of the plan at hand; infinite where nothing can be done."""
        return float(self.scores().min(initial=np.inf))

    def take_over(self, place: Place) -> None:
        """What the belief after this outcome found below it, where that is better."""
        kid = self.kids[place]
        if len(kid.after):
            self.after[place] = min(float(self.after[place]), kid.minutes())

    def stakes(self, row: int | None) -> list[tuple[float, Place]]:
        """What could be saved at most after each outcome of a step, where that is anything."""
        if row is None:
            return []
        saved = self.seen.runs[row] - self.seen.floors[row]
        least = LEAST_STAKE * self.seen.state.total
        return [(float(saved[column]), (row, int(column))) for column in np.flatnonzero(saved > least)]


Way = tuple[tuple[Opened, Place], ...]
"""From the belief that is asked for, the places that were gone through."""
Waiting = tuple[float, int, Way]
"""Less what is at stake, the order of coming, and the way to a place that waits to be opened."""


@dataclass(frozen=True, eq=False)
class Outlook:
    """The beliefs opened on one problem while a step is chosen; grows as walks are made."""

    problem: Problem
    beliefs: dict[frozenset[Step], Opened] = field(default_factory=dict)

    def open(self, state: State) -> Opened:
        """The belief of this state, looked at once however it was reached."""
        key = frozenset(state.path)
        if key not in self.beliefs:
            seen = look(self.problem, state)
            self.beliefs[key] = Opened(seen, seen.runs.copy())
        return self.beliefs[key]

    def opened(self, state: State) -> bool:
        """True where the belief of this state was looked at."""
        return frozenset(state.path) in self.beliefs

    def compare(self, root: Opened, count: int) -> None:
        """Walk from this belief, opening about so many others, until its best steps are told apart."""
        ranks = [root.seen.ranked(root.seen.scores(trust)) for trust in TRUSTS]
        best = sorted(ranks[0], key=lambda row: min(rank.index(row) for rank in ranks))
        for kept in KEPT if count else ():
            best = best[:kept]
            for row in best:
                for trust in TRUSTS:
                    self.walk(root, row, trust, max(1, count // (len(KEPT) * len(best) * len(TRUSTS))))
            best = [row for row in root.seen.ranked(root.scores()) if row in best]
        self._refresh()

    def _refresh(self) -> None:
        """Bring every belief up to date, the last ones first: a walk does so on its own way alone."""
        for opened in sorted(self.beliefs.values(), key=lambda each: -len(each.seen.state.path)):
            for place in opened.kids:
                opened.take_over(place)

    def walk(self, root: Opened, row: int | None, trust: float, most: int) -> None:
        """Open so many more beliefs below a step at most, those with most at stake first."""
        number, most = counting(), most + len(self.beliefs)
        waiting: list[Waiting] = []
        here, way = root, Way()
        while here is root or len(self.beliefs) < most:
            for stake, place in here.stakes(row):
                item: Waiting = (-round9(stake), next(number), (*way, (here, place)))
                heapq.heappush(waiting, item)
            if not waiting:
                return
            way = heapq.heappop(waiting)[2]
            here = self._follow(*way[-1])
            for opened, place in reversed(way):
                opened.take_over(place)
            row = here.seen.best(trust)

    def _follow(self, opened: Opened, place: Place) -> Opened:
        if place not in opened.kids:
            opened.kids[place] = self.open(after_outcome(self.problem, opened.seen, place))
        return opened.kids[place]


def cells(problem: Problem) -> int:
    """Cells that one look reads at most: faults × (outcomes of all tests + repairs)."""
    return max(len(problem.faults) * (sum(len(test.outcomes) for test in problem.tests) + len(problem.repairs)), 1)


def rolled_steps(problem: Problem, state: State) -> list[tuple[float, Choice]]:
    """Every step that may be taken now with its expected minutes, best first, ties by kind and id.

    The minutes are exact for a call that goes on by the plan at hand: never too low.
    """
    ahead = Outlook(problem)
    root = ahead.open(state)
    ahead.compare(root, WORK // cells(problem))
    scores = root.scores()
    return [(float(scores[row]) / state.total, root.seen.choices[row]) for row in root.seen.ranked(scores)]
