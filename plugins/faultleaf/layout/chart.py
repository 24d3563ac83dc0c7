"""The chart as the layout room takes it: boxes with words, exits with words, nothing placed yet.

A chart is an acyclic graph of boxes. One box asks one thing: an optional action (a process), an
optional question (a decision) and the exits that the answers lead to.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any, Literal

from faultleaf.layout.metrics import clean_text

Symbol = Literal["terminal", "process", "decision"]
"""What a box is: the end of a call, a repair, or a test whose answer decides. Symbols of ISO 5807:1985."""


class ChartError(ValueError):
    """A chart that cannot be drawn; the message lists every fault found, one per line."""

    def __init__(self, mistakes: tuple[str, ...]) -> None:
        super().__init__("\n".join(mistakes))
        self.mistakes = mistakes


@dataclass(frozen=True)
class ChartExit:
    """One way out of a box: the words on the line, where it leads, its share of the calls (0 to 1).

    Several answers that lead to the same box may share a way; then each is a line of the label.
    """

    label: str
    target: str | None  # None: the call ends here, cured and proved
    share: float


@dataclass(frozen=True)
class ChartBox:
    """One step of the chart.

    `action` may hold several lines, parted by newlines: things to do one after the other. `causes` says
    for each line what it mends, where it is a repair (`is_repair`). `does` are the ids of the test or repairs, where
    the box is a step that is done and counted. `keys` are those of the cautions that must be known before it, `stops`
    the ids of the cautions that a STOP speaks of.
    """

    id: str
    number: int
    symbol: Symbol
    action: str
    question: str = ""
    how: str = ""
    note: str = ""
    hazard: str = ""  # signal word of ANSI Z535.6, or nothing
    link: str = ""  # relative address of the page that tells the whole step
    exits: tuple[ChartExit, ...] = ()
    reach: float = 1.0  # share of the calls that come here
    causes: tuple[str, ...] = ()
    does: tuple[str, ...] = ()
    keys: tuple[str, ...] = ()
    is_repair: bool = False
    stops: tuple[str, ...] = ()
    in_head: bool = False  # what `how` says stands in the head of a printed page too

    @property
    def asks_cured(self) -> bool:
        """Whether it is a repair behind which "cured?" decides: the call ends, or goes on the one other way."""
        ends = sorted(way.target is None for way in self.exits)
        return self.is_repair and not self.question and ends == [False, True]

    @property
    def sign(self) -> tuple[str, ...]:
        """What stands beside the sign of a hazard: the keys, else the signal word."""
        return self.keys or ((self.hazard,) if self.hazard else ())

    def steps(self) -> tuple[tuple[str, str], ...]:
        """Of each line of the action what stands before it (its letter among several, its cause), and the line.

        >>> ChartBox("b", 1, "process", "Clean it\\nReplace it", causes=("Probe fouled", "Probe worn")).steps()
        (('a) Probe fouled:', 'Clean it'), ('b) Probe worn:', 'Replace it'))
        """
        lines = [line for line in self.action.split("\n") if line]
        letters = [f"{letter})" if len(lines) > 1 else "" for letter in "abcdefghijklmnopqrstuvwxyz"]
        causes = [f"{cause}:" if cause else "" for cause in self.causes] + [""] * len(lines)
        return tuple((" ".join(filter(None, (a, b))), line) for a, b, line in zip(letters, causes, lines, strict=False))


@dataclass(frozen=True)
class Chart:
    """A whole chart; title and subtitle say what it is for.

    `end_words` stand in the terminal of an exit that ends the call and has no words of its own, `no_words` beside
    the decision behind a repair: its "yes" ends the call and is not drawn.
    """

    title: str
    subtitle: str
    boxes: tuple[ChartBox, ...]
    root: str
    lang: str = "en"
    start_words: str = "Start"
    end_words: str = "Cured"
    no_words: str = "no"
    common_keys: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        """Raise ChartError when a box is missing, doubled, unreachable or on a loop."""
        mistakes = (*_name_mistakes(self), *_link_mistakes(self))
        mistakes = mistakes or _shape_mistakes(self)
        if mistakes:
            raise ChartError(mistakes)

    def by_id(self) -> Mapping[str, ChartBox]:
        """The boxes by their id."""
        return {box.id: box for box in self.boxes}


def tidy(chart: Chart) -> Chart:
    """The same chart with every text cleaned for setting; actions and labels keep their line breaks."""
    boxes = tuple(
        replace(
            box,
            action=_clean_lines(box.action),
            question=clean_text(box.question),
            how=clean_text(box.how),
            note=clean_text(box.note),
            hazard=clean_text(box.hazard),
            keys=tuple(clean_text(key) for key in box.keys),
            causes=tuple(clean_text(cause) for cause in box.causes),
            exits=tuple(replace(way, label=_clean_lines(way.label)) for way in box.exits),
        )
        for box in chart.boxes
    )
    names = ("title", "subtitle", "start_words", "end_words", "no_words")
    texts: dict[str, Any] = {name: clean_text(getattr(chart, name)) for name in names}
    return replace(chart, boxes=boxes, **texts)


def in_brief(chart: Chart) -> Chart:
    """The same chart with repairs told by their causes alone: what is done then stands elsewhere. Nor is said again
    what stands in the head."""
    return replace(chart, boxes=tuple(_in_brief(box) for box in chart.boxes))


def _in_brief(box: ChartBox) -> ChartBox:
    if box.in_head:
        return replace(box, how="")
    if not any(box.causes):
        return box
    lines = [cause or line for cause, line in zip(box.causes, box.action.split("\n"), strict=True)]
    return replace(box, action="\n".join(lines), causes=())


def _clean_lines(text: str) -> str:
    return "\n".join(clean_text(line) for line in text.split("\n"))


def _name_mistakes(chart: Chart) -> tuple[str, ...]:
    ids = [box.id for box in chart.boxes]
    known = set(ids)
    doubled = sorted({one for one in ids if ids.count(one) > 1})
    found = [f"two boxes have the id {one!r}" for one in doubled]
    if chart.root not in known:
        found.append(f"the root {chart.root!r} is no box")
    for box in chart.boxes:
        found += [
            f"box {box.id!r} leads to {e.target!r}, which is no box"
            for e in box.exits
            if e.target is not None and e.target not in known
        ]
    return tuple(found)


def _link_mistakes(chart: Chart) -> tuple[str, ...]:
    # An address with a scheme would leave the offline site, or run a script.
    return tuple(
        f"box {box.id!r} links to {box.link!r}, which is not a relative address"
        for box in chart.boxes
        if ":" in box.link.split("#")[0].split("?")[0].split("/")[0] or box.link.startswith("//")
    )


def _shape_mistakes(chart: Chart) -> tuple[str, ...]:
    """Loops and boxes that nobody reaches (by repeated removal of boxes without a way in)."""
    entries = {box.id: 0 for box in chart.boxes}
    for box in chart.boxes:
        for e in box.exits:
            if e.target is not None:
                entries[e.target] += 1
    lost = sorted(one for one, count in entries.items() if count == 0 and one != chart.root)
    found = [f"no exit leads to box {one!r}" for one in lost]
    boxes, free, gone = chart.by_id(), [one for one, count in entries.items() if count == 0], 0
    while free:
        gone += 1
        for e in boxes[free.pop()].exits:
            if e.target is not None:
                entries[e.target] -= 1
                free += [e.target] if entries[e.target] == 0 else []
    if gone < len(chart.boxes):
        found.append(f"the boxes {', '.join(sorted(k for k, v in entries.items() if v > 0))} form a loop")
    return tuple(found)
