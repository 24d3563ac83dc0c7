"""A computed plan and the cards it speaks of, made into a chart with words."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

from faultleaf.cards import Card, Caution, Fault, Library, Repair, Symptom, Test, card_url
from faultleaf.cards.settings import Feature
from faultleaf.cards.vocabulary import rank_level
from faultleaf.diagnosis import CURED, HAND_ON, STILL_THERE, Box, Exit, Plan, Problem
from faultleaf.layout.chart import Chart, ChartBox, ChartExit
from faultleaf.layout.order import reading_order
from faultleaf.layout.ways import Halt, Ways, ways_of
from faultleaf.words import effort_text, graveness

EQUIPMENT = "equipment."
ANY_ANSWER = "Whatever is seen: note it, go on"
REPAIR_EXITS = {CURED: "Cured", STILL_THERE: "Still there"}
MENDED = ""
"""A mended instrument is no cure and no question: the call goes on."""
MOST_KEYED = 4
"""Steps of a chart on which every key stands at its step."""
AFTER_STOP = "After that this alone"
CALL = "call "
"""What an order, which a printed page tells in its head, says of whom to call; without that the box must say it."""
STOP_STANDS = "Where a STOP stood on the way here, it still stands."


def label_plan(
    plan: Plan, problem: Problem, library: Library, symptom: str, equipment: Mapping[str, str], base: str = "../"
) -> Chart:
    """The chart of a problem's `plan`, for one symptom and the equipment it was made for.

    `base` leads from the page that shows the chart to the site's root, for the links. Boxes keep the
    plan's ids, but hand-ons with the same words become one box; boxes for stops and for causes that others
    repair come in, and what lies behind the latter goes. Numbers follow the reading order.
    """
    card = library.symptoms[symptom]
    writer = _Writer(ways_of(plan, problem), problem, library, base, card.make_safe)
    boxes = tuple(writer.boxes())
    chart = Chart(card.title, variant_words(card, library, equipment), boxes, writer.same.get(plan.root, plan.root))
    order = {one: number for number, one in enumerate((place.box.id for place in reading_order(chart)), start=1)}
    numbered = (replace(box, number=order[box.id]) for box in boxes)
    return _with_common_keys(replace(chart, boxes=tuple(sorted(numbered, key=lambda box: box.number))))


def _with_common_keys(chart: Chart) -> Chart:
    """The chart without the keys at its boxes that at least a third of its steps carry: these hold at every step."""
    steps = [box for box in chart.boxes if box.does]
    counts = Counter(key for box in steps for key in box.keys)
    common = tuple(sorted(key for key, count in counts.items() if 3 * count >= len(steps) > MOST_KEYED))
    boxes = tuple(_without_keys(box, common) if box.does else box for box in chart.boxes)
    return replace(chart, boxes=boxes, common_keys=common)


def _without_keys(box: ChartBox, common: Collection[str]) -> ChartBox:
    keys = tuple(key for key in box.keys if key not in common)
    return replace(box, keys=keys, hazard=box.hazard if keys else "")


def named_id(box: str) -> str:
    """The id of the chart's box for the cause that others repair, behind a plan's run of repairs."""
    return f"{box} named"


@dataclass(frozen=True, eq=False)
class _Writer:
    """Words for the boxes of one plan."""

    ways: Ways
    problem: Problem
    library: Library
    base: str
    always: tuple[str, ...]

    @cached_property
    def same(self) -> Mapping[str, str]:
        """For each hand-on the first one: all say the same, so the paper needs it once."""
        found = [box.id for box in self.ways.boxes if box.kind == HAND_ON]
        return dict.fromkeys(found, found[0] if found else "")

    def boxes(self) -> Iterator[ChartBox]:
        """Every box of the chart, not numbered yet."""
        handed = [box for box in self.ways.boxes if box.kind == HAND_ON]
        # Where every call that is handed on is handed on at a stop, nobody comes to the plain box.
        plain = len(self.ways.boxes) == 1 or any(box.id in self.ways.goals.values() for box in handed)
        for box in self.ways.boxes:
            if box.kind == "test":
                yield self._question(box) if box.steps[0].startswith(EQUIPMENT) else self._test(box)
            elif box.kind == "repair":
                yield from self._repairs(box)
            elif self.same[box.id] == box.id and plain:
                yield self._hand_on(box)
        yield from (self._halt(halt) for halt in self.ways.halts.values())

    def _hand_on(self, box: Box) -> ChartBox:
        stands = STOP_STANDS if self.ways.mixed else ""
        return ChartBox(box.id, 0, "terminal", f"Hand on: call {self.library.site.call}", how=stands, reach=box.reach)

    def _halt(self, halt: Halt) -> ChartBox:
        """What to do now, by the caution's key and order, and whom to call; then what alone may follow, if any."""
        cautions = [self.library.cautions[stop.caution] for stop in halt.stops]
        call = "; ".join(dict.fromkeys(stop.call for stop in halt.stops))
        then = (ChartExit(AFTER_STOP, halt.then, 1.0),) if halt.then else ()
        said = (f"{caution.key}: {caution.order.rstrip('.')}." for caution in cautions)
        return ChartBox(
            halt.id,
            0,
            "process" if then else "terminal",
            "STOP. " + " ".join(said),
            how=f"Call: {call}.",
            exits=then,
            link=_link(self.base, cautions[0]),
            stops=tuple(caution.id for caution in cautions),
            in_head=all(CALL in caution.order for caution in cautions),
        )

    def _warned(self, cautions: Iterable[str]) -> dict[str, Any]:
        """The sign of these cautions, without those that hold at every step of the symptom."""
        return _warned(self.library.cautions[name] for name in dict.fromkeys(cautions) if name not in self.always)

    def _test(self, box: Box) -> ChartBox:
        test = self.library.tests[box.steps[0]]
        order, asks, how, outcomes = _told(test, test.title, test.outcomes)
        return ChartBox(
            box.id,
            0,
            "decision",
            order,
            asks,
            how=how,
            note=effort_text(test.takes, test.wait, test.who),
            link=_link(self.base, test),
            exits=self._exits(box, outcomes),
            reach=box.reach,
            does=box.steps,
            **self._warned(test.cautions),
        )

    def _question(self, box: Box) -> ChartBox:
        """A question about the system: what to look at is the action, where the card says it."""
        feature = self.library.equipment[box.steps[0].removeprefix(EQUIPMENT)]
        values = {value: known.title for value, known in feature.values.items()}
        order, asks, how, outcomes = _told(feature, feature.how or "", values)
        exits = self._exits(box, outcomes)
        how = "" if how == order else how
        return ChartBox(box.id, 0, "decision", order, asks, how=how, exits=exits, reach=box.reach, does=box.steps)

    def _repairs(self, box: Box) -> Iterator[ChartBox]:
        """The repairs done here, and the cause that is named for others to repair."""
        own, other = self.ways.own[box.id], self.ways.named.get(box.id)
        if own:
            yield self._run(box, own, None if other is None else named_id(box.id))
        if other is not None:
            yield self._named(named_id(box.id) if own else box.id, other)

    def _run(self, box: Box, steps: tuple[str, ...], named: str | None) -> ChartBox:
        """One repair, or a run of them with letters in the order in which they are tried."""
        run = [self._repair(step) for step in steps]
        mending = [self.problem.mending[self.problem.repair_index[step]] for step in steps]
        acts = [card.act or card.title for _, card in run]
        titles = [f"Mend this first: {act}" if first else act for act, first in zip(acts, mending, strict=True)]
        cautions = [one for fault, repair in run for one in (*fault.cautions, *repair.cautions)]
        exits = self._exits(box, {STILL_THERE: MENDED} if all(mending) else REPAIR_EXITS)
        if named is not None:
            cured = [exit_ for exit_ in exits if exit_.target is None]
            exits = (*cured, ChartExit(REPAIR_EXITS[STILL_THERE], named, 1 - math.fsum(exit_.share for exit_ in cured)))
        who = max((card.who for _, card in run), key=rank_level)
        effort = effort_text(math.fsum(repair.takes for _, repair in run), 0.0, who)
        return ChartBox(
            box.id,
            0,
            "process",
            "\n".join(titles),
            note=effort,
            link=_link(self.base, run[0][0]),
            exits=exits,
            reach=box.reach,
            causes=tuple(
                "" if first else fault.short or fault.title for (fault, _), first in zip(run, mending, strict=True)
            ),
            does=steps,
            is_repair=True,
            **self._warned(cautions),
        )

    def _named(self, name: str, step: str) -> ChartBox:
        """A call that ends with its cause named: who repairs it, or that it is a job to quote."""
        fault, repair = self._repair(step)
        done = "to quote" if repair.quote else f"to be done by: {repair.who}"
        named, act = fault.short or fault.title, repair.act or repair.title
        link = _link(self.base, fault)
        return ChartBox(name, 0, "terminal", f"Cause named: {named}", how=f"{act}; {done}.", link=link)

    def _repair(self, step: str) -> tuple[Fault, Repair]:
        found = self.library.find_repair(step)
        if found is None:
            raise KeyError(step)
        return found

    def _exits(self, box: Box, words: Mapping[str, str]) -> tuple[ChartExit, ...]:
        """The exits with their words; answers that lead to the same box share one.

        Left out: an outcome that leads nowhere, which no call can show, and the cure by what cures nothing.
        """
        told = [way for way in box.exits if (box.id, way.outcome) in self.ways.goals and way.outcome in words]
        groups: dict[str | None, list[Exit]] = {}
        for way in told:
            goal = self.ways.goals[box.id, way.outcome]
            groups.setdefault(self.same.get(goal, goal) if goal else None, []).append(way)
        if len(groups) == 1 and len(told) > 1:
            return tuple(ChartExit(ANY_ANSWER, goal, 1.0) for goal in groups)
        return tuple(
            ChartExit("\n".join(words[way.outcome] for way in group), goal, math.fsum(way.share for way in group))
            for goal, group in groups.items()
        )


def variant_words(symptom: Symptom, library: Library, equipment: Mapping[str, str]) -> str:
    """What the chart is for: the variant's own name, or the known features in words."""
    for name, features in sorted(symptom.variants.items()):
        if dict(features) == dict(equipment):
            return name[:1].upper() + name[1:]
    known = ((library.equipment[name], value) for name, value in sorted(equipment.items()))
    return "; ".join(f"{feature.title}: {feature.values[value].title}" for feature, value in known)


def _warned(cautions: Iterable[Caution]) -> dict[str, Any]:
    """The gravest signal word of these cautions and their keys, the gravest first."""
    known = sorted(cautions, key=graveness)
    return {"hazard": known[0].signal.upper() if known else "", "keys": tuple(caution.key for caution in known)}


def _told(card: Test | Feature, title: str, outcomes: Mapping[str, str]) -> tuple[str, str, str, Mapping[str, str]]:
    """Order, question, how and outcomes: in short words where the card has them; these need no how beside them."""
    if card.short:
        return card.short.order, card.short.asks, "", card.short.outcomes
    return title, card.asks, card.how or "", outcomes


def _link(base: str, card: Card) -> str:
    return base + card_url(card)
