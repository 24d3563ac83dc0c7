"""The search for the best chart of so many boxes.

For every number of boxes a few drafts are kept that use different tests. Going up, each is offered with
boxes put in (`insert`) and repairs done sooner (`pull`). Going down, boxes are given up. Whatever was
offered is polished (`polish`) when its number of boxes comes up. Two searches set out from starts of
different shape: trees that grow greedily (`grow`), and the tops of a far-sighted plan (`crown`). They go up
and down between fixed numbers of boxes, so that what they find for few boxes does not depend on how many
were asked for beyond the next of them.

The moves are those of bounded policy iteration, for plans without circles and boxes instead of controller
nodes: P. Poupart and C. Boutilier, "Bounded finite state controllers", Neural Information Processing
Systems 16 (2003).
"""

from collections.abc import Iterator
from dataclasses import dataclass, field

from faultleaf.diagnosis.chart.crown import crowns
from faultleaf.diagnosis.chart.draft import END, UNBOUNDED, Draft, Station
from faultleaf.diagnosis.chart.extend import DIGITS
from faultleaf.diagnosis.chart.grow import Grower
from faultleaf.diagnosis.chart.insert import insertions
from faultleaf.diagnosis.chart.marks import Actions, actions_of
from faultleaf.diagnosis.chart.polish import polished
from faultleaf.diagnosis.chart.pull import pulled_up, without
from faultleaf.diagnosis.chart.tree import Key, Node, count_boxes, keys_of
from faultleaf.diagnosis.model.problem import Problem

TURNS = (23, 33, 43, 63)
"""The numbers of boxes at which the search turns and goes down again; beyond the last it goes on by it."""
FAR = 10
"""The search from far-sighted starts goes so many boxes further still: what they are good for comes later."""
BEYOND = 3
"""The search goes so many boxes beyond what it answers for: giving boxes up finds good smaller charts."""
KEPT = 2
"""How many drafts are kept for each number of boxes, of those that use different tests."""
POLISHED = 6
"""How many of the drafts offered are polished, each time that their number of boxes comes up."""
OPTIONS = 5
"""How many insertions of each draft are offered, by minutes saved per box and by minutes saved."""
STEP = 3
"""At most so many boxes are put in at once."""

Shape = tuple[int, float]
"""Boxes and minutes: two drafts with the same are taken for the same."""


@dataclass
class Sketcher:
    """Drafts of one problem by their number of boxes: those to be polished, and the best few polished.

    Mutable while one plan is made; nobody else sees it.
    """

    rough: dict[int, dict[Shape, Draft]] = field(default_factory=dict)
    best: dict[int, list[Draft]] = field(default_factory=dict)
    seen: set[Shape] = field(default_factory=set)

    def offer(self, draft: Draft) -> None:
        """Keep a draft for the next time that drafts of so many boxes are settled."""
        if draft.sound and draft.cost < UNBOUNDED / 1e6 and _shape(draft) not in self.seen:
            self.rough.setdefault(draft.boxes, {}).setdefault(_shape(draft), draft)

    def settle(self, boxes: int) -> list[Draft]:
        """The best drafts of so many boxes, after polishing the best of those offered since."""
        offered = sorted(self.rough.pop(boxes, {}).values(), key=_by_cost)[:POLISHED]
        found = {_shape(draft): draft for draft in self.best.get(boxes, [])}
        for rough in offered:
            self.seen.add(_shape(rough))
            draft = polished(rough, boxes)
            if draft.boxes == boxes:
                found.setdefault(_shape(draft), draft)
            else:
                self.offer(draft)
        self.best[boxes] = _unlike(sorted(found.values(), key=_by_cost))
        return self.best[boxes]

    def ascend(self, most: int) -> None:
        """Settle every number of boxes upwards, and offer what the drafts become with boxes put in."""
        for boxes in range(1, most + 1):
            for draft in self.settle(boxes):
                for changed in (*insertions(draft, STEP, OPTIONS), *pulled_up(draft, OPTIONS), *_smaller(draft)):
                    self.offer(changed)

    def descend(self, most: int) -> None:
        """Settle every number of boxes downwards, and offer what the drafts become with boxes given up."""
        for boxes in range(most, 0, -1):
            for draft in self.settle(boxes):
                for changed in _smaller(draft):
                    self.offer(changed)

    @property
    def smallest(self) -> int:
        """The fewest boxes of any draft known."""
        return min([*self.rough, *(count for count, drafts in self.best.items() if drafts)], default=0)

    def cheapest(self, boxes: int) -> Draft | None:
        """The best draft found with at most so many boxes."""
        found = (draft for count in range(1, boxes + 1) for draft in self.best.get(count, []))
        return min(found, key=_by_cost, default=None)


@dataclass(frozen=True)
class Sketches:
    """Searches that set out from starts of different kinds, each by itself: mixed, one kind would crowd out
    the other long before it is fully grown."""

    searches: tuple[Sketcher, ...]

    @property
    def smallest(self) -> int:
        """The fewest boxes of any draft known."""
        return min(search.smallest for search in self.searches)

    def cheapest(self, boxes: int) -> Draft | None:
        """The best draft found with at most so many boxes."""
        found = [search.cheapest(boxes) for search in self.searches]
        return min((draft for draft in found if draft is not None), key=_by_cost, default=None)


def sketched(problem: Problem, start: Node, boxes: int) -> Iterator[tuple[int, Sketches]]:
    """The search, paused at every turn up to the first that has so many boxes: the boxes up to which it
    has searched, and what it found.

    `start` is the smallest tree. Each turn only adds, so that more boxes are never worse.
    """
    actions, grower = actions_of(problem), Grower(problem)
    near, far = Sketcher(), Sketcher()
    least = size = count_boxes(start)
    for sketcher in (near, far):
        sketcher.offer(draft_of(actions, start))
    for most in _turns():
        for budget in range(size + 1, most + 1):
            near.offer(polished(draft_of(actions, grower.grown(start, budget)), budget))
        for budget, tree in sorted(crowns(problem, most + FAR).items() if most > least else ()):
            far.offer(polished(draft_of(actions, tree), budget))
        size = max(size, most)
        near.ascend(most)
        near.descend(most)
        far.ascend(most + FAR)
        far.descend(most + FAR)
        yield most - BEYOND, Sketches((near, far))
        if most - BEYOND >= boxes:
            return


def _turns() -> Iterator[int]:
    yield from TURNS
    most = TURNS[-1]
    while True:
        most += TURNS[-1]
        yield most


def draft_of(actions: Actions, tree: Node) -> Draft:
    """The draft that draws a tree."""
    keys = [key for key in keys_of(tree) if key.kind != "hand-on"]
    number = {key: place for place, key in enumerate(keys)}
    place_of = {card.id: place for place, card in enumerate(actions.cards)}
    tests, repairs = actions.problem.tests, actions.problem.repairs

    def station(key: Key) -> Station:
        cards = tests if key.kind == "test" else repairs
        steps = tuple(place_of[cards[step].id] for step in key.steps)
        return Station(steps, tuple(END if to is None else number.get(to, END) for to in key.exits))

    root = END if tree.key is None else number.get(tree.key, END)
    return Draft(actions, tuple(station(key) for key in keys), root)


def _smaller(draft: Draft) -> Iterator[Draft]:
    """The draft with each of its boxes given up."""
    for place in draft.order:
        smaller = without(draft, place)
        if smaller is not None:
            yield smaller


def _unlike(drafts: list[Draft]) -> list[Draft]:
    """The first few that do not use the same tests."""
    kept: dict[tuple[int, ...], Draft] = {}
    for draft in drafts:
        kept.setdefault(_tests(draft), draft)
    return list(kept.values())[:KEPT]


def _tests(draft: Draft) -> tuple[int, ...]:
    steps = (draft.stations[place].steps[0] for place in draft.order)
    return tuple(sorted(step for step in steps if step < draft.actions.tests))


def _shape(draft: Draft) -> Shape:
    return draft.boxes, round(draft.cost, DIGITS)


def _by_cost(draft: Draft) -> tuple[float, int]:
    return round(draft.cost, DIGITS), draft.boxes
