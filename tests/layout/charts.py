"""Named charts and random ones for the layout tests. Their content is invented after common practice; no source."""

from __future__ import annotations

import random
from typing import Any

from faultleaf.layout import Chart, ChartBox, ChartExit, Symbol


def box(
    number: int, action: str, question: str = "", *exits: ChartExit, symbol: Symbol = "process", **more: Any
) -> ChartBox:
    """A box whose id is `b` and its number."""
    return ChartBox(f"b{number}", number, symbol, action, question, exits=exits, **more)


def way(label: str, number: int | None, share: float) -> ChartExit:
    """An exit to the box of that number, or to the end."""
    return ChartExit(label, None if number is None else f"b{number}", share)


SMALL = Chart(
    "Boiler fills past the top of the glass",
    "Filled by hand",
    (
        box(
            1,
            "Blow down the gauge glass",
            "Does the water come back at once?",
            way("It comes back at once", 2, 0.8),
            way("It comes back slowly or not at all", 3, 0.2),
            symbol="decision",
            how="Close the drain again slowly. Stand aside of the glass.",
            note="5 min · apprentice",
            hazard="WARNING",
            link="../tests/gauge-glass-blowdown.html",
        ),
        box(2, "Hand on: call the senior technician", symbol="terminal"),
        box(
            3,
            "Clean it and its cocks\nRod the pipe",
            "",
            way("Cured", None, 0.15),
            way("Still there", 2, 0.05),
            is_repair=True,
            note="40 min · technician",
            causes=("Glass dirty", "Equalizing pipe choked"),
        ),
    ),
    "b1",
)

OVERFILL = Chart(
    "Boiler fills past the top of the glass",
    "Automatic feeder, probe cutoff",
    (
        box(
            1,
            "Blow down the gauge glass",
            "Does the water come back at once?",
            way("Comes back at once", 2, 0.88),
            way("Slow, or not at all", 12, 0.12),
            symbol="decision",
            how="Stand aside of the glass. Open its drain, close it, watch the water return.",
            note="5 min · apprentice",
            hazard="WARNING",
        ),
        box(
            2,
            "Cold hold with all water shut",
            "Where is the water after the wait?",
            way("It rises past the mark", 9, 0.34),
            way("It stays at the mark", 3, 0.58),
            way("It falls", 15, 0.08),
            symbol="decision",
            how="Burner locked off, system drained back. Shut feeder stop and bypass stop. Mark the glass.",
            note="5 min + 2 h wait · apprentice",
            hazard="WARNING",
        ),
        box(
            3,
            "Hold with only the bypass supply open",
            "Does the water climb?",
            way("It climbs", 8, 0.17),
            way("It stays", 4, 0.41),
            symbol="decision",
            how="Feeder branch shut off, bypass hand valve closed, its supply open. Mark and wait.",
            note="5 min + 2 h wait · apprentice",
        ),
        box(
            4,
            "Hold with the feeder's water on, its power locked out",
            "Does the water climb?",
            way("It climbs", 7, 0.22),
            way("It stays", 5, 0.19),
            symbol="decision",
            how="Lock out and prove dead. Bypass shut, feeder supply open. Mark and wait.",
            note="5 min + 2 h wait · technician",
            hazard="DANGER",
        ),
        box(
            5,
            "Make the feeder work",
            "How does the feeding end?",
            way("Stops at its level", 6, 0.06),
            way("Runs on past the level", 10, 0.09),
            way("Starts late, then overshoots", 11, 0.04),
            symbol="decision",
            how="Draw water off to just under the cutoff point and watch the feeder through one feed.",
            note="15 min · technician",
            hazard="WARNING",
        ),
        box(6, "Hand on: senior technician, with the notes of steps 1 to 5", symbol="terminal"),
        box(
            7,
            "Clean the feeder's strainer and seat\nRebuild the feeder valve\nReplace the feeder",
            "",
            way("Cured", None, 0.21),
            way("Still there", 6, 0.01),
            is_repair=True,
            how="If not cured, go on to the next.",
            note="50 to 180 min · licensed",
        ),
        box(
            8,
            "Close the bypass and tag it\nReplace the bypass valve",
            "",
            way("Cured", None, 0.16),
            way("Still there", 4, 0.01),
            is_repair=True,
            how="If not cured, go on to the next.",
            note="5 to 60 min · licensed",
        ),
        box(
            9,
            "Shut both coil valves tight, mark the glass",
            "What does the rise do?",
            way("The rise stops", 13, 0.25),
            way("The rise goes on", 14, 0.07),
            way("There is no coil", 14, 0.02),
            symbol="decision",
            how="Leave everything else as found. Warn the users: hot water will run cold.",
            note="5 min + 2 h wait · apprentice",
        ),
        box(
            10,
            "Clean the probe\nReplace the probe\nMend the probe's earth\nReplace the control",
            "",
            way("Cured", None, 0.08),
            way("Still there", 6, 0.01),
            is_repair=True,
            how="If not cured, go on to the next.",
            note="20 to 60 min · technician",
            hazard="DANGER",
        ),
        box(
            11,
            "Clean the return and the loop\nLengthen the feeder's delay",
            "",
            way("Cured", None, 0.03),
            way("Still there", 6, 0.01),
            is_repair=True,
            how="If not cured, go on to the next.",
            note="120 min · technician",
        ),
        box(
            12,
            "Rod the cocks of the glass\nClean the equalizing pipe",
            "",
            way("Cured", None, 0.1),
            way("Still there", 2, 0.02),
            is_repair=True,
            how="Let the boiler cool first. If not cured, go on to the next.",
            note="40 min · technician",
            hazard="WARNING",
        ),
        box(
            13,
            "Replace the hot-water coil or take it out of use",
            "",
            way("Cured", None, 0.24),
            way("Still there", 14, 0.01),
            is_repair=True,
            note="180 min · licensed",
        ),
        box(14, "Hand on: water comes in with every valve shut. Call the senior technician", symbol="terminal"),
        box(15, "Hand on: the boiler loses water. Work that call", symbol="terminal"),
    ),
    "b1",
)

WORDS = [
    *("a", "water", "level", "feeder", "the", "glass", "boiler", "pipe", "stays", "past", "mark", "it", "shut", "in"),
    *("Überlaufschutzventil", "crème", "Wasserstandsbegrenzerprüfung", "née", "Łódź", "½", "×", "°F", "of", "rises"),
    *("probe", "slowly", "control", "on", "valve", "5", "min"),
]


KEYS = ("SCALD", "VOLTS", "GAS", "ASBESTOS", "TAPS", "JET", "LOCK", "CUTOFF")


def random_text(rng: random.Random, least: int, most: int) -> str:
    """Words of the trade, some long, some accented; `least` to `most` letters."""
    length = rng.randint(least, most)
    if rng.random() < 0.03:
        return "W" * length
    text = rng.choice(WORDS)
    while len(text) < length:
        text += " " + rng.choice(WORDS)
    return text[:length].strip() or "x"


def random_chart(seed: int, most: int = 40) -> Chart:
    """A connected acyclic chart of 2 to `most` boxes, some of them entered from several places."""
    rng = random.Random(seed)
    count = rng.randint(2, most)
    exits: list[list[int | None]] = [[] for _ in range(count)]
    for i in range(1, count):
        free = [j for j in range(i) if len(exits[j]) < 4]
        exits[rng.choice(free[-4:])].append(i)
    for i in range(count - 1):
        if rng.random() < 0.25 and len(exits[i]) < 4:
            exits[i].append(rng.randint(i + 1, count - 1))
        if rng.random() < 0.2:
            exits[i].append(None)
    boxes = tuple(_random_box(rng, i, exits[i]) for i in range(count))
    return Chart(random_text(rng, 3, 90), random_text(rng, 3, 60), boxes, "b1")


def _random_label(rng: random.Random) -> str:
    label = random_text(rng, 3, 90)
    return f"{label}\nor: {random_text(rng, 3, 50)}" if rng.random() < 0.1 else label


def _random_box(rng: random.Random, i: int, targets: list[int | None]) -> ChartBox:
    symbol: Symbol = rng.choice(("process", "decision", "decision")) if targets else rng.choice(("terminal", "process"))
    lines = rng.choice((1, 1, 3)) if symbol == "process" else 1
    bare = symbol == "decision" and rng.random() < 0.3
    return ChartBox(
        f"b{i + 1}",
        i + 1,
        symbol,
        "" if bare else "\n".join(random_text(rng, 3, 90) for _ in range(lines)),
        random_text(rng, 3, 90) if symbol == "decision" or rng.random() < 0.2 else "",
        random_text(rng, 3, 90) if rng.random() < 0.7 else "",
        random_text(rng, 3, 30) if rng.random() < 0.7 else "",
        rng.choice(("", "", "NOTICE", "CAUTION", "DANGER")),
        f"../steps/{i + 1}.html",
        tuple(ChartExit(_random_label(rng), None if t is None else f"b{t + 1}", rng.random()) for t in targets),
        rng.random(),
        tuple(random_text(rng, 3, 60) for _ in range(lines)) if symbol == "process" and rng.random() < 0.6 else (),
        is_repair=symbol == "process" and sorted(t is None for t in targets) == [False, True] and rng.random() < 0.7,
        keys=tuple(rng.sample(KEYS, rng.choice((0, 0, 1, 3, 6)))),
    )
