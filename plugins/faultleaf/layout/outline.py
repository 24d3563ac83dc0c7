"""The chart in words, for screen readers and small screens: a numbered list that says where to go."""

from __future__ import annotations

from dataclasses import dataclass

from faultleaf.layout.chart import Chart, ChartBox
from faultleaf.layout.metrics import clean_text


@dataclass(frozen=True)
class OutlineExit:
    """What was seen, the number of the step that follows (None: the call ends here), and that as words."""

    label: str
    number: int | None
    words: str


@dataclass(frozen=True)
class OutlineStep:
    """One step: its number, hazard and keys, what to do (one entry a line), how, question, note and exits."""

    number: int
    hazard: str
    actions: tuple[str, ...]
    how: str
    question: str
    note: str
    link: str
    exits: tuple[OutlineExit, ...]


def outline(chart: Chart) -> tuple[OutlineStep, ...]:
    """The steps by their number. It says everything that the drawing says."""
    boxes = chart.by_id()
    numbers = {key: box.number for key, box in boxes.items()}
    return tuple(sorted((_step(chart, box, numbers) for box in chart.boxes), key=lambda step: step.number))


def _step(chart: Chart, box: ChartBox, numbers: dict[str, int]) -> OutlineStep:
    exits = []
    for way in box.exits:
        number = None if way.target is None else numbers[way.target]
        label = "; ".join(clean_text(line) for line in way.label.split("\n"))
        goal = f"go to {number}" if label else f"Go to {number}"
        words = (label or chart.end_words) if number is None else f"{label}: {goal}" if label else goal
        exits.append(OutlineExit(label, number, words))
    actions = tuple(clean_text(" ".join(part)) for part in box.steps())
    how, question, note = clean_text(box.how), clean_text(box.question), clean_text(box.note)
    hazard = " ".join(filter(None, (box.hazard, *box.keys)))
    return OutlineStep(box.number, hazard, actions, how, question, note, box.link, tuple(exits))
