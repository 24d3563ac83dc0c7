"""A computed plan and the cards it speaks of, made into a chart with words."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from faultleaf.cards import Card, Fault, Library, Repair, Symptom, card_url
from faultleaf.cards.vocabulary import SIGNAL_WORDS, rank_level
from faultleaf.cards.words import minutes_text
from faultleaf.diagnosis import CURED, STILL_THERE, Box, Exit, Plan
from faultleaf.layout.chart import Chart, ChartBox, ChartExit
from faultleaf.layout.order import reading_order

EQUIPMENT = "equipment."
ANY_ANSWER = "Whatever is seen: note it, go on"
REPAIR_EXITS = {CURED: "Cured", STILL_THERE: "Still there"}


def label_plan(plan: Plan, library: Library, symptom: str, equipment: Mapping[str, str], base: str = "../") -> Chart:
    """The chart of `plan` for one symptom and the equipment it was made for.

    `base` leads from the page that shows the chart to the site's root, for the links. Boxes keep the
    plan's ids, but hand-ons with the same words become one box; numbers follow the reading order.
    """
    same = _first_hand_on(plan)
    boxes = tuple(_box(box, library, base, same) for box in plan.boxes if same.get(box.id, box.id) == box.id)
    card = library.symptoms[symptom]
    chart = Chart(card.title, variant_words(card, library, equipment), boxes, same.get(plan.root, plan.root))
    order = {one: number for number, one in enumerate((place.box.id for place in reading_order(chart)), start=1)}
    numbered = (replace(box, number=order[box.id]) for box in boxes)
    return replace(chart, boxes=tuple(sorted(numbered, key=lambda box: box.number)))


def variant_words(symptom: Symptom, library: Library, equipment: Mapping[str, str]) -> str:
    """What the chart is for: the variant's own name, or the known features in words."""
    for name, features in sorted(symptom.variants.items()):
        if dict(features) == dict(equipment):
            return name[:1].upper() + name[1:]
    known = ((library.equipment[name], value) for name, value in sorted(equipment.items()))
    return "; ".join(f"{feature.title}: {feature.values[value].title}" for feature, value in known)


def _first_hand_on(plan: Plan) -> dict[str, str]:
    """For each hand-on the first one: all say the same, so the paper needs it once."""
    found = [box.id for box in plan.boxes if box.kind == "hand-on"]
    return dict.fromkeys(found, found[0] if found else "")


def _box(box: Box, library: Library, base: str, same: Mapping[str, str]) -> ChartBox:
    if box.kind == "hand-on":
        return ChartBox(box.id, 0, "terminal", f"Hand on: call {library.site.call}", reach=box.reach)
    if box.kind == "repair":
        return _repair_box(box, library, base, same)
    if box.steps[0].startswith(EQUIPMENT):
        return _equipment_box(box, library, same)
    test = library.tests[box.steps[0]]
    wait = f" + {minutes_text(test.wait)} wait" if test.wait else ""
    return ChartBox(
        box.id,
        0,
        "decision",
        test.title,
        test.asks,
        how=test.how or "",
        note=f"{minutes_text(test.takes)}{wait} · {test.who}",
        hazard=gravest(library, test.cautions),
        link=_link(base, test),
        exits=_exits(box, test.outcomes, same),
        reach=box.reach,
    )


def _equipment_box(box: Box, library: Library, same: Mapping[str, str]) -> ChartBox:
    """A question about the system: what to look at is the action, where the card says it."""
    feature = library.equipment[box.steps[0].removeprefix(EQUIPMENT)]
    titles = {value: known.title for value, known in feature.values.items()}
    exits = _exits(box, titles, same)
    return ChartBox(box.id, 0, "decision", feature.how or "", feature.asks, exits=exits, reach=box.reach)


def _repair_box(box: Box, library: Library, base: str, same: Mapping[str, str]) -> ChartBox:
    """One repair, or a run of them with letters in the order in which they are tried."""
    run = [_repair(library, step) for step in box.steps]
    most = minutes_text(sum(repair.takes for _, repair in run))
    rank = max((repair.who for _, repair in run), key=rank_level)
    cautions = [one for fault, repair in run for one in (*fault.cautions, *repair.cautions)]
    return ChartBox(
        box.id,
        0,
        "process",
        "\n".join(repair.title for _, repair in run),
        note=f"{'up to ' if len(run) > 1 else ''}{most} · {rank}",
        hazard=gravest(library, cautions),
        link=_link(base, run[0][0]),
        exits=_exits(box, REPAIR_EXITS, same),
        reach=box.reach,
        causes=tuple(fault.title for fault, _ in run),
    )


def _repair(library: Library, step: str) -> tuple[Fault, Repair]:
    found = library.find_repair(step)
    if found is None:
        raise KeyError(step)
    return found


def gravest(library: Library, cautions: Iterable[str]) -> str:
    """The gravest signal word among these cautions in capitals, or nothing (ANSI Z535.6: the highest stands)."""
    signals = {library.cautions[one].signal for one in cautions}
    return next((word.upper() for word in SIGNAL_WORDS if word in signals), "")


def _exits(box: Box, words: Mapping[str, str], same: Mapping[str, str]) -> tuple[ChartExit, ...]:
    """The exits with their words; answers that lead to the same box share one."""
    ways: dict[str | None, list[Exit]] = {}
    for way in box.exits:
        # An outcome that leads nowhere is one that no call can show; only a cured call may end here.
        if way.target is not None or way.outcome == CURED:
            target = same.get(way.target, way.target) if way.target else None
            ways.setdefault(target, []).append(way)
    if len(ways) == 1 and len(box.exits) > 1:
        return tuple(ChartExit(ANY_ANSWER, target, 1.0) for target in ways)
    return tuple(
        ChartExit("\nor: ".join(words[way.outcome] for way in group), target, sum(way.share for way in group))
        for target, group in ways.items()
    )


def _link(base: str, card: Card) -> str:
    return base + card_url(card)
