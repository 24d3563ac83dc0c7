"""How calls end that are worked by a plan: cured and proved, cause named, handed on, or stopped.

The minutes of a plan weigh these ends against each other; a reader wants them one by one. They are counted
over all paths, exactly: weights flow through the boxes as in `boxes.passages`, kept apart by the stops that
hold on the way (rule 16), since a box may be entered from a path that a danger stopped and from one that none did.

A repair by others (above the rank at hand, or a job to quote) ends the call where the plan comes to it: the
cause is named, whatever the plan would do if that repair did not cure.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

import numpy as np

from faultleaf.diagnosis.chart.boxes import Box, Plan, entry_order
from faultleaf.diagnosis.model.problem import HAND_ON, STILL_THERE, Floats, Problem, Repair
from faultleaf.diagnosis.model.state import State
from faultleaf.diagnosis.step.leaf import best_run
from faultleaf.diagnosis.step.look import followers
from faultleaf.diagnosis.step.steps import Choice
from faultleaf.diagnosis.worth.heuristics import Rule, bounded

Active = frozenset[tuple[str, str]]
"""The stops that hold: (test, outcome). Those that only mean an instrument to be mended are left out."""
NONE_ACTIVE: Active = frozenset()
FEW = 0.01
"""A rule is followed no further where less than this share of the calls comes to."""


@dataclass(frozen=True)
class Endings:
    """Shares of all calls by how they end, together 1, and the mean minutes of work in those that were cured.

    `stopped`: handed on while a stop holds; `handed_on`: otherwise, with no cause named. `work_minutes` counts
    every repair on the way with all looks of its proof; 0 where no call is cured or nothing is known of work.
    """

    cured: float
    named: float
    handed_on: float
    stopped: float
    work_minutes: float


@dataclass(frozen=True, eq=False)
class Flow:
    """What comes to a box while the same stops hold: weights (F,), and weights times minutes of work so far (F,)."""

    weights: Floats
    work: Floats

    def __add__(self, other: "Flow") -> "Flow":
        return Flow(self.weights + other.weights, self.work + other.work)


@dataclass(frozen=True)
class Stopped:
    """Where stops hold on the ways through a plan.

    `entering`: box id → every set of stops that may hold on arrival; `leaving`: (box id, outcome) → the same once
    the outcome is known. Paths that no call takes count too: paper must be right for them as well.
    """

    entering: Mapping[str, frozenset[Active]]
    leaving: Mapping[tuple[str, str], frozenset[Active]]


def endings(problem: Problem, plan: Plan) -> Endings:
    """How calls end that follow the plan; O(boxes · outcomes · faults · sets of stops that can hold together)."""
    return _Walk(problem, plan).endings()


def stopped_on(problem: Problem, plan: Plan) -> Stopped:
    """Which stops hold where in the plan; as long as `endings`."""
    walk = _Walk(problem, plan)
    entering = {name: frozenset(flows) for name, flows in walk.arriving.items()}
    return Stopped(entering, {way: frozenset(active) for way, active in walk.leaving.items()})


def endings_by(problem: Problem, state: State, rule: Rule) -> Endings:
    """How calls end from this state when the rule names each step, the best run of repairs where it names none or
    where less than FEW of the calls come to.

    O(states that the rule leads to).
    """
    least = FEW * state.total

    def often(problem: Problem, here: State) -> Choice | None:
        return rule(problem, here) if here.total > least else None

    cured, named, handed_on, stopped, work = _by_rule(problem, state, bounded(problem, often, 0.0)) / state.total
    mean = work / cured if cured > 0 else 0.0
    return Endings(float(cured), float(named), float(handed_on), float(stopped), float(mean))


_CURED, _NAMED, _HANDED_ON, _STOPPED, _WORK = np.eye(5)
"""What `_by_rule` adds up, each times weight; the last is work in the calls that are cured."""


def _by_rule(problem: Problem, state: State, rule: Rule) -> Floats:
    choice = rule(problem, state)
    if choice is None:
        run, _ = best_run(problem, state)
        choice = Choice("repair", run[0], problem.repairs[run[0]].id) if run else Choice("hand-on", -1, HAND_ON)
    if choice.kind == "hand-on":
        danger = any(stop.caution and stop.outcome in state.known.get(stop.test, ()) for stop in problem.stops)
        return np.asarray(state.total * (_STOPPED if danger else _HANDED_ON))
    card = problem.tests[choice.place] if choice.kind == "test" else problem.repairs[choice.place]
    found = np.zeros(5)
    if isinstance(card, Repair):
        if card.by_other:
            return np.asarray(state.total * _NAMED)
        found += float(state.weights @ card.fixes) * _CURED
    for after in followers(problem, state, choice):
        found += _by_rule(problem, after, rule)
    return np.asarray(found + card.hands_on * found[0] * _WORK)


@dataclass
class _Walk:
    """The flows through all boxes, worked out in the order in which boxes are entered."""

    problem: Problem
    plan: Plan
    arriving: dict[str, dict[Active, Flow]] = field(default_factory=dict)
    leaving: dict[tuple[str, str], set[Active]] = field(default_factory=dict)
    cured: list[Flow] = field(default_factory=list)
    ended: dict[str, float] = field(default_factory=lambda: {"named": 0.0, "handed_on": 0.0, "stopped": 0.0})

    def __post_init__(self) -> None:
        boxes = {box.id: box for box in self.plan.boxes}
        weights = self.problem.weights / self.problem.weights.sum()
        self.arriving[self.plan.root] = {NONE_ACTIVE: Flow(weights, np.zeros_like(weights))}
        for name in entry_order(boxes, self.plan.root):
            # A box behind a repair by others is never come to.
            for active, flow in list(self.arriving.get(name, {}).items()):
                self._through(boxes[name], active, flow)

    def endings(self) -> Endings:
        cured = float(sum(flow.weights.sum() for flow in self.cured))
        work = float(sum(flow.work.sum() for flow in self.cured))
        return Endings(cured, **self.ended, work_minutes=work / cured if cured > 0 else 0.0)

    def _through(self, box: Box, active: Active, flow: Flow) -> None:
        if box.kind == HAND_ON:
            self.ended["stopped" if active else "handed_on"] += float(flow.weights.sum())
            return
        targets = {exit_.outcome: exit_.target for exit_ in box.exits}
        for outcome, after, left in self._outcomes(box, active, flow):
            self.leaving.setdefault((box.id, outcome), set()).add(after)
            target = targets.get(outcome)
            if target is not None:
                flows = self.arriving.setdefault(target, {})
                flows[after] = flows[after] + left if after in flows else left

    def _outcomes(self, box: Box, active: Active, flow: Flow) -> Iterator[tuple[str, Active, Flow]]:
        """The ways out of a box that go on, each with the stops that hold then and the flow."""
        if box.kind == "test":
            test = self.problem.tests[self.problem.test_index[box.steps[0]]]
            work = flow.work + flow.weights * test.hands_on
            for place, outcome in enumerate(test.outcomes):
                share = test.table[:, place]
                found = {test.id: outcome, **test.renews.get(outcome, {})}
                yield outcome, self._with(active, found), Flow(flow.weights * share, work * share)
            return
        for step in box.steps:
            repair = self.problem.repairs[self.problem.repair_index[step]]
            if repair.by_other:
                self.ended["named"] += float(flow.weights.sum())
                return
            work = flow.work + flow.weights * repair.hands_on
            self.cured.append(Flow(flow.weights * repair.fixes, work * repair.fixes))
            flow = Flow(flow.weights * (1 - repair.fixes), work * (1 - repair.fixes))
            active = self._with(active, repair.restore)
        yield STILL_THERE, active, flow

    def _with(self, active: Active, found: Mapping[str, str]) -> Active:
        """The stops that hold once these findings are the ones that count."""
        danger = {(stop.test, stop.outcome) for stop in self.problem.stops if stop.caution}
        return frozenset(pair for pair in active if pair[0] not in found) | (danger & found.items())
