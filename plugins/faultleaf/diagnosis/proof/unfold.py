"""A plan that a search or an outlook holds, as boxes: one for every state where it tests, repairs or hands on."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Generic, Protocol, TypeVar

from faultleaf.diagnosis.chart.boxes import Box, Exit
from faultleaf.diagnosis.chart.drawn import rough_box
from faultleaf.diagnosis.model.problem import CURED, HAND_ON, STILL_THERE, Problem
from faultleaf.diagnosis.model.state import State
from faultleaf.diagnosis.step.leaf import best_run
from faultleaf.diagnosis.step.steps import Choice

Spot = TypeVar("Spot")


class Holder(Protocol[Spot]):
    """Whatever knows the step that a plan takes at each of its spots."""

    def state(self, spot: Spot) -> State:
        """The state of a spot."""

    def choice(self, spot: Spot) -> Choice | None:
        """The step taken there; None where the best run of repairs ends the call."""

    def follow(self, spot: Spot, choice: Choice, column: int) -> Spot:
        """The spot after an outcome of that step, to which somebody comes."""


@dataclass(frozen=True, eq=False)
class Unfolding(Generic[Spot]):
    """Goes through the plan that a holder has, from any spot."""

    problem: Problem
    holder: Holder[Spot]

    def boxes(self, root: Spot) -> Iterator[Box]:
        """The boxes of the plan below the root, shares still to be filled in."""
        waiting, seen = [root], {self._name(root)}
        while waiting:
            spot = waiting.pop()
            choice = self.holder.choice(spot)
            unfolded, after = (
                self._test(spot, choice) if choice is not None and choice.kind == "test" else self._run(spot)
            )
            yield from unfolded
            fresh = {self._name(kid): kid for kid in after if self._name(kid) not in seen}
            seen.update(fresh)
            waiting.extend(fresh.values())
        if self.problem.hand_on is not None:
            yield rough_box(HAND_ON, "hand-on", (), self.problem.hand_on, ())

    def target(self, spot: Spot) -> str | None:
        """The name of the box that a spot begins; None where nothing is left to do."""
        state = self.holder.state(spot)
        if not state.total > 0:
            return None
        choice = self.holder.choice(spot)
        if choice is None and not best_run(self.problem, state)[0]:
            return self._end()
        return HAND_ON if choice is not None and choice.kind == "hand-on" else self._name(spot)

    def _name(self, spot: Spot) -> str:
        return f"s{id(self.holder.state(spot))}"

    def _end(self) -> str | None:
        return HAND_ON if self.problem.hand_on is not None else None

    def _test(self, spot: Spot, choice: Choice) -> tuple[list[Box], list[Spot]]:
        card, weights = self.problem.tests[choice.place], self.holder.state(spot).weights
        exits: list[Exit] = []
        after: list[Spot] = []
        for column, outcome in enumerate(card.outcomes):
            target = self._end()
            if float(weights @ card.table[:, column]) > 0:
                kid = self.holder.follow(spot, choice, column)
                target = self.target(kid)
                after += [kid] if target == self._name(kid) else []
            exits.append(Exit(outcome, 0.0, target))
        return [rough_box(self._name(spot), "test", (card.id,), card.minutes, tuple(exits))], after

    def _run(self, start: Spot) -> tuple[list[Box], list[Spot]]:
        """The boxes of the repairs that come one after another from here."""
        steps: list[int] = []
        spot = start
        while (choice := self.holder.choice(spot)) is not None and choice.kind == "repair":
            steps.append(choice.place)
            if not float(self.holder.state(spot).weights @ (1 - self.problem.fixes[choice.place])) > 0:
                return self._chain(start, steps, None), []
            spot = self.holder.follow(spot, choice, 0)
        if choice is None:
            steps += best_run(self.problem, self.holder.state(spot))[0]
            return self._chain(start, steps, self._end()), []
        target = self.target(spot)
        return self._chain(start, steps, target), [spot] if target == self._name(spot) else []

    def _chain(self, start: Spot, steps: list[int], target: str | None) -> list[Box]:
        """Repairs as boxes of at most so many as fit one, the last one leading to the target."""
        most = self.problem.run_limit or len(steps)
        parts = [steps[place : place + most] for place in range(0, len(steps), most)] if steps else []
        names = [self._name(start) + f".{number}" * (number > 0) for number in range(len(parts))]
        cards = self.problem.repairs
        boxes = []
        for name, part, following in zip(names, parts, [*names[1:], target], strict=False):
            still = () if following is None else (Exit(STILL_THERE, 0.0, following),)
            minutes = sum(cards[step].minutes for step in part)
            ids = tuple(cards[step].id for step in part)
            boxes.append(rough_box(name, "repair", ids, minutes, (Exit(CURED, 0.0, None), *still)))
        return boxes
