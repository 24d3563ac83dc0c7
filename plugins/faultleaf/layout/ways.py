"""Where each way out of a plan's box leads on paper: to a box, to a STOP, to a cause that is named, or to the end."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from faultleaf.diagnosis import CURED, HAND_ON, Box, Plan, Problem
from faultleaf.diagnosis.model.problem import Stop
from faultleaf.diagnosis.worth.endings import Active, stopped_on


@dataclass(frozen=True)
class Halt:
    """A box of the chart that the plan does not have: what must be done now in a danger, and whom to call.

    `then` is the plan's box with the step that is still allowed; None where the call is handed on at the stop.
    """

    stops: tuple[Stop, ...]
    then: str | None

    @property
    def id(self) -> str:
        """An id that no box of a plan has; stops with the same words and the same way on share it."""
        said = [f"{stop.caution}/{stop.call}" for stop in self.stops]
        return " ".join(["stop", *said, self.then or ""])


@dataclass(frozen=True)
class Ways:
    """`boxes`: the plan's boxes that a call may come to, in its order; `halts` of the chart, by id.

    `goals`: (box id, outcome) → the id of the plan's box or of the halt; None where the call ends cured.
    `own`: repair box → its repairs up to the one that others do; `named`: repair box → that one.
    `mixed`: whether the plan's hand-on is entered by calls with a stop behind them and by others.
    """

    boxes: tuple[Box, ...]
    halts: Mapping[str, Halt]
    goals: Mapping[tuple[str, str], str | None]
    own: Mapping[str, tuple[str, ...]]
    named: Mapping[str, str]
    mixed: bool


def ways_of(plan: Plan, problem: Problem) -> Ways:
    """The ways of a plan with its stops (MODEL.md, rules 8 and 16)."""
    held = stopped_on(problem, plan)
    boxes = tuple(box for box in plan.boxes if box.id in held.entering)
    kinds = {box.id: box.kind for box in boxes}
    own, named = _runs(problem, boxes)
    halts: dict[str, Halt] = {}
    goals: dict[tuple[str, str], str | None] = {}
    mixed = False
    for box in boxes:
        for exit_ in box.exits:
            way = (box.id, exit_.outcome)
            if exit_.outcome == CURED:
                goals[way] = None
            elif exit_.target is not None and (after := held.leaving.get(way)):
                handed_on = kinds[exit_.target] == HAND_ON
                stops = _shown(problem, box, exit_.outcome, after, handed_on)
                halt = Halt(stops, None if handed_on else exit_.target)
                goals[way] = halt.id if stops else exit_.target
                halts |= {halt.id: halt} if stops else {}
                mixed |= handed_on and not stops and any(after)
    return Ways(boxes, halts, goals, own, named, mixed)


def _shown(problem: Problem, box: Box, outcome: str, after: frozenset[Active], handed_on: bool) -> tuple[Stop, ...]:
    """The stops that the way out must tell: that of the outcome itself; where there is none and the call is handed
    on, those that hold whichever way it came."""
    holding = frozenset.intersection(*after)
    own = holding & {(step, outcome) for step in box.steps}
    told = own or (holding if handed_on else own)
    return _once(stop for stop in problem.stops if stop.caution and (stop.test, stop.outcome) in told)


def _once(stops: Iterable[Stop]) -> tuple[Stop, ...]:
    """The stops, those with the same words once."""
    return tuple({(stop.caution, stop.call): stop for stop in stops}.values())


def _runs(problem: Problem, boxes: Iterable[Box]) -> tuple[dict[str, tuple[str, ...]], dict[str, str]]:
    """Of each repair box the repairs done here, and the one that others do, which ends the call."""
    own, named = dict[str, tuple[str, ...]](), dict[str, str]()
    for box in boxes:
        if box.kind != "repair":
            continue
        others = [step for step in box.steps if problem.repairs[problem.repair_index[step]].by_other]
        own[box.id] = box.steps[: box.steps.index(others[0])] if others else box.steps
        named |= {box.id: others[0]} if others else {}
    return own, named
