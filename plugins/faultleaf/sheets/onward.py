"""What goes on where a chart ends unsettled: the calls that come there, the problem they make, what its chart is worth.

A chart ends in a mixture: calls that came by many ways, each with tests done and repairs tried on its own. The second
chart is planned for the mixture. A step that some of them have done is *remembered* by these, who take what it showed
then and spend no minutes; the others do it now. So a test's table at the mixture is, fault by fault, what those who
remember it saw, and its own table for the rest. That is exact for the next step and an approximation after it; what
the finished chart costs is worked out exactly, way by way (`followed`).

Calls with a stop behind them, and those whose instrument is not proved, never go on: they are handed on (rule 16, 17).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Set
from dataclasses import dataclass, field, replace
from typing import Final

import numpy as np

from faultleaf.diagnosis import HAND_ON, STILL_THERE, Box, Plan, PlanError, Problem, Repair, Test
from faultleaf.diagnosis.chart.boxes import entry_order
from faultleaf.diagnosis.model.problem import Conditions, Floats, frozen_array
from faultleaf.diagnosis.model.state import allowed_by_stops, found_after, permitted
from faultleaf.diagnosis.worth.endings import Endings

REMEMBER_MINUTES: Final = 1.0
"""Looking up what an earlier step showed."""
NOBODY: Final = 1e-9
"""A share of the calls below this goes on for nobody: it is rounding."""

Known = Mapping[str, frozenset[str]]


@dataclass(frozen=True, eq=False)
class Arrival:
    """Calls that found and tried the same: their weight by fault (F,), and that times their minutes of work."""

    weights: Floats
    work: Floats
    known: Known
    tried: frozenset[str]

    @property
    def did(self) -> frozenset[str]:
        """Every step that was done, or whose finding was set."""
        return self.tried | self.known.keys()

    def told(self, matters: Set[str]) -> Arrival:
        """The same without what no later step looks at."""
        known = {test: seen for test, seen in self.known.items() if test in matters}
        return replace(self, known=known, tried=self.tried & matters)

    def barred(self, problem: Problem) -> bool:
        """Whether a stop, or an instrument that is not mended, lets nothing more be done but its own steps."""
        return allowed_by_stops(problem, self.known) is not None


@dataclass
class Tally:
    """Minutes spent and how calls ended, in shares of all calls."""

    minutes: float = 0.0
    cured: float = 0.0
    named: float = 0.0
    stopped: float = 0.0
    handed_on: float = 0.0
    work: float = 0.0

    def endings(self) -> Endings:
        """The ends, with the mean work of the cured ones."""
        mean = self.work / self.cured if self.cured > 0 else 0.0
        return Endings(self.cured, self.named, self.handed_on, self.stopped, mean)


def start_of(problem: Problem) -> Arrival:
    """All calls, before anything is done."""
    weights = problem.weights / problem.weights.sum()
    return Arrival(weights, np.zeros_like(weights), {}, frozenset())


def followed(problem: Problem, plan: Plan, starts: Iterable[Arrival], tally: Tally) -> tuple[Arrival, ...]:
    """The calls that come to the plan's hand-on when these follow it; what else they do is added to `tally`.

    Those that did a step before take what it showed, without minutes. Raises PlanError where a way takes a step that
    it may not take. O(boxes × ways that differ in what was found).
    """
    boxes = {box.id: box for box in plan.boxes}
    waiting: dict[str, dict[object, Arrival]] = {plan.root: {}}
    matters = _matters(problem, plan)
    for start in starts:
        _add(waiting[plan.root], start.told(matters))
    ends: dict[object, Arrival] = {}
    for name in entry_order(boxes, plan.root):
        box = boxes[name]
        targets = {way.outcome: way.target for way in box.exits}
        for here in waiting.pop(name, {}).values():
            if box.kind == HAND_ON:
                _add(ends, here)
                continue
            for outcome, after in _through(problem, box, here, tally):
                target = targets.get(outcome)
                if target is not None:
                    _add(waiting.setdefault(target, {}), after)
    return tuple(ends.values())


def _matters(problem: Problem, plan: Plan) -> Set[str]:
    """Every step that the plan takes, or that one of its steps looks at, or that stops."""
    steps: list[Test | Repair] = []
    for name in {step for box in plan.boxes for step in box.steps}:
        place = problem.test_index.get(name)
        steps.append(problem.repairs[problem.repair_index[name]] if place is None else problem.tests[place])
    found = {step.id for step in steps} | problem.stopping.keys()
    found |= {name for step in steps for name in (*step.needs, *step.never_when)}
    return found | {name for step in steps if isinstance(step, Test) for name in step.perishes_after}


def _add(group: dict[object, Arrival], one: Arrival) -> None:
    """Calls that found and tried the same are one."""
    key = frozenset(one.known.items()), one.tried
    same = group.get(key)
    merged = one if same is None else replace(same, weights=same.weights + one.weights, work=same.work + one.work)
    group[key] = merged


def _through(problem: Problem, box: Box, here: Arrival, tally: Tally) -> Iterator[tuple[str, Arrival]]:
    if box.kind == "test":
        yield from _through_test(problem, problem.tests[problem.test_index[box.steps[0]]], here, tally)
        return
    for step in box.steps:
        repair = problem.repairs[problem.repair_index[step]]
        if step in here.tried:
            continue
        _refuse(problem, repair, here)
        spent = problem.repair_spent[problem.repair_index[step]]
        tally.minutes += float(spent @ here.weights)
        if repair.by_other:
            tally.named += float(here.weights.sum())
            return
        work = here.work + here.weights * repair.hands_on
        tally.cured += float(here.weights @ repair.fixes)
        tally.work += float(work @ repair.fixes)
        known = {**here.known, **{test: frozenset([seen]) for test, seen in repair.restore.items()}}
        left = 1 - repair.fixes
        here = Arrival(here.weights * left, work * left, known, here.tried | {step})
    yield STILL_THERE, here


def _through_test(problem: Problem, test: Test, here: Arrival, tally: Tally) -> Iterator[tuple[str, Arrival]]:
    if test.id in here.known:
        (seen,) = here.known[test.id]
        yield seen, here
        return
    _refuse(problem, test, here)
    tally.minutes += test.minutes * float(here.weights.sum())
    work = here.work + here.weights * test.hands_on
    for place, outcome in enumerate(test.outcomes):
        share = test.table[:, place]
        if (here.weights * share).any():
            known = found_after(here.known, test, [outcome])
            yield outcome, Arrival(here.weights * share, work * share, known, here.tried)


def _refuse(problem: Problem, step: Test | Repair, here: Arrival) -> None:
    allowed = allowed_by_stops(problem, here.known)
    spoilt = isinstance(step, Test) and not step.perishes_after.isdisjoint(here.did)
    if (allowed is not None and step.id not in allowed) or not permitted(step, here.known) or spoilt:
        raise PlanError(f"a way comes to '{step.id}' on which it may not be done")


def onward(problem: Problem, arrivals: Iterable[Arrival]) -> Problem | None:
    """The problem of the calls that may go on; None where there are none."""
    mixture = _Mixture(problem, tuple(one for one in arrivals if not one.barred(problem)))
    return mixture.problem() if mixture.total > NOBODY else None


def _rounded(values: Floats) -> Floats:
    """Sums as every machine has them: the last digits hang on the processor, and a kept plan is known by all."""
    return np.round(values, 12)


@dataclass(frozen=True, eq=False)
class _Mixture:
    """Calls that come together, as one problem."""

    source: Problem
    arrivals: tuple[Arrival, ...]
    weights: Floats = field(init=False)

    def __post_init__(self) -> None:
        none = np.zeros(len(self.source.faults))
        object.__setattr__(self, "weights", frozen_array(sum((one.weights for one in self.arrivals), none)))

    @property
    def total(self) -> float:
        """The share of all calls."""
        return float(self.weights.sum())

    def problem(self) -> Problem:
        tests = tuple(self._test(test) for test in self.source.tests)
        open_ = (one for one in self.source.repairs if any(one.id not in each.tried for each in self.arrivals))
        repairs = tuple(self._repair(repair) for repair in open_)
        weights = frozen_array(_rounded(self.weights))
        return replace(self.source, weights=weights, tests=tests, repairs=repairs, first=())

    def _part(self, did: Iterable[Arrival]) -> Floats:
        """For each fault the share of its calls that these are."""
        done = sum((one.weights for one in did), np.zeros(len(self.weights)))
        return np.divide(done, self.weights, out=np.zeros(len(self.weights)), where=self.weights > 0)

    def _others(self, part: Floats) -> float:
        """The share of all these calls that is not in these parts of each fault's."""
        return float(_rounded(1 - part @ self.weights / self.total))

    def _test(self, test: Test) -> Test:
        remembering = [one for one in self.arrivals if test.id in one.known]
        needs, never_when = self._conditions(test)
        test = replace(test, needs=needs, never_when=never_when, offered=test.offered and self._worth(test))
        if not remembering:
            return test
        part = self._part(remembering)
        saw = [self._part(one for one in remembering if seen in one.known[test.id]) for seen in test.outcomes]
        table = np.stack(saw, axis=1) + (1 - part)[:, None] * test.table
        now = self._others(part)
        return replace(
            test, table=frozen_array(_rounded(table)), minutes=test.minutes * now + REMEMBER_MINUTES,
            minutes_together=test.minutes_together * now + REMEMBER_MINUTES, hands_on=test.hands_on * now,
        )  # fmt: skip

    def _worth(self, test: Test) -> bool:
        """Whether the test can be done by all, or remembered, and tells something."""
        seen = {one.known.get(test.id) for one in self.arrivals}
        fresh = [one for one in self.arrivals if test.id not in one.known]
        return (len(seen) > 1 or None in seen) and all(test.perishes_after.isdisjoint(one.did) for one in fresh)

    def _repair(self, repair: Repair) -> Repair:
        part = self._part(one for one in self.arrivals if repair.id in one.tried)
        now = self._others(part)
        needs, never_when = self._conditions(repair)
        return replace(
            repair, fixes=frozen_array(_rounded(repair.fixes * (1 - part))), needs=needs, never_when=never_when,
            failed_minutes=max(repair.failed_minutes * now, REMEMBER_MINUTES),
        )  # fmt: skip

    def _conditions(self, step: Test | Repair) -> tuple[Conditions, Conditions]:
        """What must still be asked before the step: what all calls have found already need not be, and what some of
        them may have found that forbids it must be."""
        needs = {test: wanted for test, wanted in step.needs.items() if not self._all(test, wanted)}
        never_when = dict(step.never_when)
        for test, banned in step.never_when.items():
            if any(one.known.get(test, frozenset()) & banned for one in self.arrivals):
                asked = self.source.tests[self.source.test_index[test]]
                needs[test] = needs.get(test, frozenset(asked.outcomes)) - banned
                del never_when[test]
        return needs, never_when

    def _all(self, test: str, wanted: frozenset[str]) -> bool:
        return all(test in one.known and one.known[test] <= wanted for one in self.arrivals)
