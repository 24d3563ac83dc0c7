"""The plan that a search holds, as boxes: one for every state where it tests, repairs or hands on."""

from collections.abc import Iterator
from dataclasses import dataclass

from faultleaf.diagnosis.boxes import Box, Exit
from faultleaf.diagnosis.drawn import rough_box
from faultleaf.diagnosis.leaf import best_run
from faultleaf.diagnosis.problem import CURED, HAND_ON, STILL_THERE, Problem
from faultleaf.diagnosis.search import Search
from faultleaf.diagnosis.spot import Spot
from faultleaf.diagnosis.state import due_first
from faultleaf.diagnosis.steps import Choice


@dataclass(frozen=True, eq=False)
class Unfolding:
    """Goes through the plan at hand of a search, from any spot."""

    problem: Problem
    search: Search

    def boxes(self, root: Spot) -> Iterator[Box]:
        """The boxes of the plan below the root, shares still to be filled in."""
        waiting, seen = [root], {id(root)}
        while waiting:
            spot = waiting.pop()
            choice = self._choice(spot)
            unfolded, after = (
                self._test(spot, choice) if choice is not None and choice.kind == "test" else self._run(spot)
            )
            yield from unfolded
            fresh = {id(kid): kid for kid in after if id(kid) not in seen}
            seen.update(fresh)
            waiting.extend(fresh.values())
        if self.problem.hand_on is not None:
            yield rough_box(HAND_ON, "hand-on", (), self.problem.hand_on, ())

    def target(self, spot: Spot) -> str | None:
        """The name of the box that a spot begins; None where nothing is left to do."""
        if not spot.state.total > 0:
            return None
        choice = self._choice(spot)
        if choice is None and not best_run(self.problem, spot.state)[0]:
            return self._end()
        return HAND_ON if choice is not None and choice.kind == "hand-on" else _name(spot)

    def _end(self) -> str | None:
        return HAND_ON if self.problem.hand_on is not None else None

    def _choice(self, spot: Spot) -> Choice | None:
        if spot.steps is None and spot.state.total > 0 and due_first(self.problem, spot.state) is not None:
            self.search.open(spot)
        return spot.chosen()

    def _test(self, spot: Spot, choice: Choice) -> tuple[list[Box], list[Spot]]:
        card = self.problem.tests[choice.place]
        exits: list[Exit] = []
        after: list[Spot] = []
        for column, outcome in enumerate(card.outcomes):
            kid = self._follow(spot, choice, column)
            target = self._end() if kid is None else self.target(kid)
            exits.append(Exit(outcome, 0.0, target))
            after += [kid] if kid is not None and target == _name(kid) else []
        return [rough_box(_name(spot), "test", (card.id,), card.minutes, tuple(exits))], after

    def _follow(self, spot: Spot, choice: Choice, column: int) -> Spot | None:
        """The spot after an outcome; None where nobody comes there."""
        if spot.steps is None:
            return None
        place = (spot.steps.choices.index(choice), column)
        return self.search.kid(spot, place) if spot.steps.shares[place] > 0 else None

    def _run(self, start: Spot) -> tuple[list[Box], list[Spot]]:
        """The boxes of the repairs that come one after another from here."""
        steps: list[int] = []
        spot: Spot | None = start
        while spot is not None and (choice := self._choice(spot)) is not None and choice.kind == "repair":
            steps.append(choice.place)
            spot = self._follow(spot, choice, 0)
        if spot is None or not spot.state.total > 0:
            return self._chain(start, steps, None), []
        if choice is None:
            steps += best_run(self.problem, spot.state)[0]
            return self._chain(start, steps, self._end()), []
        target = self.target(spot)
        return self._chain(start, steps, target), [spot] if target == _name(spot) else []

    def _chain(self, start: Spot, steps: list[int], target: str | None) -> list[Box]:
        """Repairs as boxes of at most so many as fit one, the last one leading to the target."""
        most = self.problem.run_limit or len(steps)
        parts = [steps[place : place + most] for place in range(0, len(steps), most)] if steps else []
        names = [_name(start) + f".{number}" * (number > 0) for number in range(len(parts))]
        cards = self.problem.repairs
        boxes = []
        for name, part, following in zip(names, parts, [*names[1:], target], strict=False):
            still = () if following is None else (Exit(STILL_THERE, 0.0, following),)
            minutes = sum(cards[step].minutes for step in part)
            ids = tuple(cards[step].id for step in part)
            boxes.append(rough_box(name, "repair", ids, minutes, (Exit(CURED, 0.0, None), *still)))
        return boxes


def _name(spot: Spot) -> str:
    return f"s{id(spot)}"
