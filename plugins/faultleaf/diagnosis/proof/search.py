"""The search for the cheapest plan without a box budget: bounds from both sides until they meet.

States of a call form an AND/OR graph: at a state one step is chosen, and every outcome of it must be
gone on from. Each state has a lower bound (`bounds.py`) and an upper bound (minutes of a plan at hand).
A *trial* goes down from the root, always by the step that looks cheapest by lower bounds and by the
outcome whose two bounds lie farthest apart by its share. What follows an outcome has at first a bound that
comes with its parent's; where its own says more, the choice is made again, for that costs less than opening
it. The trial opens the first state that was not open, and brings the bounds up to date on the way back. A
state that is reached in several ways is kept once.

Reference: T. Smith and R. Simmons, "Heuristic search value iteration for POMDPs", Uncertainty in
Artificial Intelligence 20 (2004); here on a finite graph, without discount, with bounds of our own.
"""

from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from faultleaf.diagnosis.model.problem import HAND_ON, Floats, Problem, Repair, Test
from faultleaf.diagnosis.model.state import (
    State,
    after_failed,
    after_test,
    due_first,
    minutes_of_test,
    open_repairs,
    open_tests,
)
from faultleaf.diagnosis.proof.bounds import (
    Bools,
    Bounds,
    bounds_of,
    entropy_bound,
    known_fault_minutes,
    pair_table,
    sharper_surplus,
)
from faultleaf.diagnosis.proof.spot import Place, Spot, Steps, View
from faultleaf.diagnosis.step.leaf import best_run, leaf_values
from faultleaf.diagnosis.step.look import step_spent, worth_doing
from faultleaf.diagnosis.step.steps import Choice, look_ahead

DIGITS = 12
"""Beliefs that agree to so many decimals are one state."""


@dataclass(eq=False)
class Search:
    """The search on one problem; `opened` counts the states opened so far."""

    problem: Problem
    spots: dict[object, Spot] = field(default_factory=dict)
    opened: int = 0
    held: tuple[Spot, View] | None = None
    """The view of the spot that was sharpened last: mostly it is opened next."""

    @cached_property
    def bounds(self) -> Bounds:
        """What the lower bounds need."""
        return bounds_of(self.problem)

    @cached_property
    def gating(self) -> frozenset[str]:
        """Steps that decide what others may still do or cost, and those that come first."""
        steps: list[Test | Repair] = [*self.problem.tests, *self.problem.repairs]
        named = {name for step in steps for name in (*step.needs, *step.never_when)}
        named |= {name for test in self.problem.tests for name in (*test.perishes_after, *test.together)}
        renewing = {test.id for test in self.problem.tests if test.renews}
        return frozenset(named | renewing | self.problem.gating | set(self.problem.first))

    def spot(self, state: State) -> Spot:
        """The one spot of this state, with bounds."""
        spot = self._spot(state)
        self.sharpen(spot)
        return spot

    def _spot(self, state: State) -> Spot:
        key = self._key(state)
        if key not in self.spots:
            self.spots[key] = Spot(state, 0.0, self._high(state))
        return self.spots[key]

    def sharpen(self, spot: Spot) -> bool:
        """Work out the spot's own lower bound, once; true where that says more than what was known."""
        if spot.sharp:
            return False
        known, spot.sharp = spot.low, True
        if not self._over(spot.state):
            self.held = (spot, self._view(spot.state))
            spot.tighten(self.held[1].low, spot.high)
        return spot.low > known

    def _view(self, state: State) -> View:
        belief = state.weights / state.total
        left, free = self._left(state)
        surplus = sharper_surplus(self.bounds, belief, left)
        bits = entropy_bound(self.bounds, belief[None], surplus.sum(axis=1)[None], free[None])
        base, table = pair_table(self.bounds, belief, left, free)
        return View(max(float(bits[0]), base + (0.0 if table is None else table.here())), surplus, table)

    def trial(self, root: Spot) -> None:
        """Open one more state below the root; bring the bounds on the way up to date."""
        way = [root]
        while way[-1].steps is not None and (place := way[-1].widest()) is not None:
            kid = self.kid(way[-1], place)
            if self.sharpen(kid):
                way[-1].refresh()
            else:
                way.append(kid)
        if way[-1].steps is None and not way[-1].solved:
            self.open(way[-1])
        for spot in reversed(way):
            spot.refresh()

    def kid(self, spot: Spot, place: Place) -> Spot:
        """The spot after a step's outcome; the bounds guessed when its parent was opened are kept."""
        if place not in spot.kids and spot.steps is not None:
            kid = self._spot(self._after(spot.state, spot.steps.choices[place[0]], place[1]))
            kid.tighten(float(spot.steps.lows[place]), float(spot.steps.highs[place]))
            spot.kids[place] = kid
        return spot.kids[place]

    def open(self, spot: Spot) -> None:
        """Work out every step that may be taken here, and bounds of what follows it."""
        self.opened += 1
        state, due = spot.state, due_first(self.problem, spot.state)
        if due is not None:
            spot.steps = self._steps(spot, [due], [], hand_on=False)
            return
        telling = self._telling(state.weights > 0)
        tests = [
            place
            for place in open_tests(self.problem, state)
            if telling[place] or self.problem.tests[place].id in self.gating
        ]
        doing = worth_doing(self.problem, state.weights)
        repairs = [] if self.problem.identify else [r for r in open_repairs(self.problem, state) if doing[r]]
        spot.steps = self._steps(spot, tests, repairs, hand_on=self.problem.hand_on is not None)

    def _after(self, state: State, choice: Choice, outcome: int) -> State:
        if choice.kind == "test":
            return after_test(self.problem, state, choice.place, (outcome,))
        return after_failed(self.problem, state, choice.place)

    def _steps(self, spot: Spot, tests: list[int], repairs: list[int], *, hand_on: bool) -> Steps:
        problem, state = self.problem, spot.state
        choices = [Choice("test", place, problem.tests[place].id) for place in tests]
        choices += [Choice("repair", place, problem.repairs[place].id) for place in repairs]
        choices += [Choice("hand-on", -1, HAND_ON)] * hand_on
        minutes = np.array([step_spent(problem, state, choice) for choice in choices]) / state.total
        width = max(problem.tables.shape[1], 1)
        after = np.zeros((len(choices), width, len(problem.faults)))
        after[: len(tests), : problem.tables.shape[1]] = state.weights * problem.tables[tests]
        after[len(tests) : len(tests) + len(repairs), 0] = state.weights * (1 - problem.fixes[repairs])
        shares = after.sum(axis=2) / state.total
        highs = self._highs(state, tests, repairs, after) / np.where(shares > 0, shares * state.total, 1.0)
        lows = self._lows(spot, tests, repairs, after, shares)
        return Steps(tuple(choices), minutes, shares, np.minimum(lows, highs), highs)

    def _highs(self, state: State, tests: list[int], repairs: list[int], after: Floats) -> Floats:
        """Minutes × weight of a plan at hand after every step's outcome, (steps, outcomes)."""
        problem = self.problem
        highs = np.zeros(after.shape[:2])
        if problem.identify or due_first(problem, state) is not None:
            for row, place in enumerate(tests):
                for column in range(len(problem.tests[place].outcomes)):
                    highs[row, column] = self._total_high(after_test(problem, state, place, (column,)))
        elif tests:
            highs[: len(tests), : problem.tables.shape[1]] = look_ahead(problem, [(state, t) for t in tests]).values
        free = np.isin(np.arange(len(problem.repairs)), open_repairs(problem, state))
        allowed = np.tile(free, (len(repairs), 1))
        allowed[np.arange(len(repairs)), repairs] = False
        rows = np.arange(len(tests), len(tests) + len(repairs))
        if repairs:
            highs[rows, 0] = leaf_values(problem, after[rows, 0], allowed)[0]
        for row, place in enumerate(repairs, len(tests)):
            if problem.repairs[place].restore:
                highs[row, 0] = self._total_high(after_failed(problem, state, place))
        return highs

    def _lows(self, spot: Spot, tests: list[int], repairs: list[int], after: Floats, shares: Floats) -> Floats:
        bounds, state = self.bounds, spot.state
        view = self.held[1] if self.held is not None and self.held[0] is spot else self._view(state)
        steps, width, _ = after.shape
        _, free = self._left(state)
        taken = np.tile(view.surplus.sum(axis=1), (steps, 1, 1))
        taken[: len(tests)] -= view.surplus[:, tests].transpose(1, 0, 2)
        tried = slice(len(tests), len(tests) + len(repairs))
        open_ = np.tile(free, (steps, 1))
        open_[np.arange(tried.start, tried.stop), repairs] = False
        rows, columns = np.nonzero(shares > 0)
        beliefs = after[rows, columns] / (shares[rows, columns] * state.total)[:, None]
        floor = np.where(beliefs > 0, known_fault_minutes(bounds, open_[rows]), 0.0)
        pay = np.zeros((steps, width))
        if view.table is not None:
            if tests:
                pay[: len(tests), : self.problem.tables.shape[1]] = view.table.after_tests(bounds.odds, np.array(tests))
            if repairs:
                pay[tried, 0] = view.table.after_repairs(self.problem.fixes[repairs] > 0)
        plain = np.einsum("nf,nf->n", beliefs, floor) + pay[rows, columns] / shares[rows, columns]
        lows = np.zeros((steps, width))
        lows[rows, columns] = np.maximum(plain, entropy_bound(bounds, beliefs, taken[rows], open_[rows]))
        return lows

    def _left(self, state: State) -> tuple[Bools, Bools]:
        """Which tests may still tell something, and which repairs were not tried."""
        telling = self._telling(state.weights > 0)
        new = [test.offered and test.id not in state.known for test in self.problem.tests]
        free = [repair.id not in state.tried for repair in self.problem.repairs]
        return telling & np.array(new, dtype=np.bool_), np.array(free, dtype=np.bool_)

    def _high(self, state: State) -> float:
        return 0.0 if self._over(state) else self._total_high(state) / state.total

    def _total_high(self, state: State) -> float:
        """Minutes × weight of a plan at hand: what comes first, then the best run of repairs."""
        if self._over(state):
            return 0.0
        due = due_first(self.problem, state)
        if due is None:
            return float("inf") if self.problem.identify else best_run(self.problem, state)[1]
        card = self.problem.tests[due]
        after = (after_test(self.problem, state, due, (column,)) for column in range(len(card.outcomes)))
        own: float = minutes_of_test(self.problem, state, due) * state.total
        return own + sum(self._total_high(each) for each in after)

    def _over(self, state: State) -> bool:
        alive = int((state.weights > 0).sum())
        return alive <= (1 if self.problem.identify else 0)

    def _key(self, state: State) -> object:
        """What the value depends on: the belief, the gates, and which steps of use are spent."""
        problem = self.problem
        belief = np.round(state.weights / (state.total or 1.0), DIGITS)
        telling = self._telling(state.weights > 0)
        done = [name for name in sorted(state.known) if name in self.gating or telling[problem.test_index[name]]]
        gates = tuple((name, *sorted(state.known[name])) for name in done if name in self.gating)
        curing = problem.fixes @ belief > 0
        tried = tuple(n for n in sorted(state.tried) if curing[problem.repair_index[n]] or n in self.gating)
        return belief.tobytes(), tuple(done), gates, tried

    def _telling(self, alive: Bools) -> Bools:
        """(T,): whether a test's rows differ among these faults."""
        rows = self.problem.tables[:, :, alive]
        if not rows.size:
            return np.zeros(len(self.problem.tests), dtype=np.bool_)
        return np.asarray((np.ptp(rows, axis=2) > 0).any(axis=1))
