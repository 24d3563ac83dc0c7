"""The search for the best chart of so many boxes: grow, polish, give boxes up and grow again."""
from dataclasses import dataclass, field

import numpy as np

from faultleaf.diagnosis.draft import END, UNBOUNDED, Draft, Spot
from faultleaf.diagnosis.extend import DIGITS
from faultleaf.diagnosis.insert import along, insertions
from faultleaf.diagnosis.marks import Actions, actions_of
from faultleaf.diagnosis.polish import polished
from faultleaf.diagnosis.problem import Problem
from faultleaf.diagnosis.pull import pulled_up
from faultleaf.diagnosis.state import start_state
from faultleaf.diagnosis.tree import Key, Node, keys_of, sprout

STAGES = (9, 13, 17, 22, 31, 42, 60)
SWEEPS = 2
KEPT = 3
POLISHED = 10
OPTIONS = 5
STEP = 3
Shape = tuple[int, float]


def draft_of(actions: Actions, tree: Node) -> Draft:
    """The draft that draws a tree."""
    keys = [key for key in keys_of(tree) if key.kind != "hand-on"]
    number = {key: place for place, key in enumerate(keys)}
    tests = {actions.problem.test_index[card.id]: place for place, card in enumerate(actions.cards[: actions.tests])}
    repairs = {actions.problem.repair_index[card.id]: place + actions.tests for place, card in enumerate(actions.cards[actions.tests :])}

    def spot(key: Key) -> Spot:
        steps = tuple((tests if key.kind == "test" else repairs)[step] for step in key.steps)
        return Spot(steps, tuple(END if to is None else number.get(to, END) for to in key.exits))

    return Draft(actions, tuple(spot(key) for key in keys), number.get(tree.key, END) if tree.key else END)


def without(draft: Draft, place: int) -> Draft | None:
    """The draft without a spot: every line into it goes on where it loses least."""
    found = draft
    for line in draft.lines():
        if line.target != place:
            continue
        shares, marks = along(draft, line)
        costs = np.round(draft.worth @ shares, DIGITS)
        open_ = (at for at in (*draft.order, END) if at != place and not marks & draft.refused[at])
        target = min(open_, key=lambda at: (float(costs[at]), at), default=None)
        if target is None:
            return None
        found = found.redirected([line], target)
    return found.compact() if found.sound and found.cost < UNBOUNDED / 1e6 else None


@dataclass
class Sketcher:
    """Drafts of one problem by their number of boxes: those to be polished, and the best few polished."""

    actions: Actions
    rough: dict[int, dict[Shape, Draft]] = field(default_factory=dict)
    best: dict[int, list[Draft]] = field(default_factory=dict)
    seen: set[Shape] = field(default_factory=set)

    def offer(self, draft: Draft) -> None:
        """Keep a draft for the next time that drafts of so many boxes are settled."""
        if draft.sound and draft.cost < UNBOUNDED / 1e6 and shape(draft) not in self.seen:
            self.rough.setdefault(draft.boxes, {}).setdefault(shape(draft), draft)

    def settle(self, boxes: int) -> list[Draft]:
        """The best drafts of so many boxes, after polishing the best of those offered since."""
        offered = sorted(self.rough.pop(boxes, {}).values(), key=_by_cost)[:POLISHED]
        found = {shape(draft): draft for draft in self.best.get(boxes, [])}
        for rough in offered:
            self.seen.add(shape(rough))
            draft = polished(rough, boxes)
            if draft.boxes < boxes:
                self.offer(draft)
            found.setdefault(shape(draft), draft)
        self.best[boxes] = sorted(found.values(), key=_by_cost)[:KEPT]
        return [draft for draft in self.best[boxes] if draft.boxes == boxes]

    def sweep(self, most: int) -> None:
        """Settle every number of boxes, and offer what its drafts become with boxes put in and given up."""
        for boxes in range(1, most + 1):
            for draft in self.settle(boxes):
                for bigger in insertions(draft, STEP, OPTIONS):
                    self.offer(bigger)
                for changed in pulled_up(draft, OPTIONS):
                    self.offer(changed)
                for place in draft.order:
                    smaller = without(draft, place)
                    if smaller is not None:
                        self.offer(smaller)

    @property
    def smallest(self) -> int:
        """The fewest boxes of any draft known."""
        return min([*self.rough, *(count for count, drafts in self.best.items() if drafts)], default=0)

    def cheapest(self, boxes: int) -> Draft | None:
        """The best draft found with at most so many boxes."""
        found = (draft for count in range(1, boxes + 1) for draft in self.best.get(count, []))
        return min(found, key=_by_cost, default=None)


def shape(draft: Draft) -> Shape:
    return draft.boxes, round(draft.cost, DIGITS)


def _by_cost(draft: Draft) -> tuple[float, int]:
    return round(draft.cost, DIGITS), draft.boxes


def sketches(problem: Problem, boxes: int) -> Sketcher:
    actions = actions_of(problem)
    sketcher = Sketcher(actions)
    sketcher.offer(draft_of(actions, sprout(problem, start_state(problem))))
    for most in STAGES:
        for _ in range(SWEEPS):
            sketcher.sweep(most)
        if most >= boxes:
            break
    return sketcher
