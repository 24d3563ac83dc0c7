"""How `faultleaf check` grows with the number of cards: synthetic libraries, written to a folder and checked."""

import argparse
import random
import tempfile
import time
from pathlib import Path

from faultleaf.intake import Layer
from faultleaf.pipeline.check import check_content

from tests.library import Entries, write_library

LIMITS = {1000: 10.0, 3000: 40.0}
"""Faults, and the processor seconds that their check may take."""
FEATURES = 6
BODY = "## Repair\n\n1. Close the valve and drain the pipe.\n2. Renew it.\n\n## What happens\n\nWater passes slowly.\n"
WORDS = ("nearly-always", "usually", "often", "half", "sometimes", "seldom")


def synthetic(faults: int, symptoms: int, seed: int = 1) -> Entries:
    """An invented library of so many faults, as many tests, and so many symptoms: each fault shows as two of them and
    names five tests; a third of them are bound to equipment."""
    chance = random.Random(seed)
    names = [f"s{number}" for number in range(symptoms)]
    tests = [f"t{number}" for number in range(faults)]
    values = {name: {"title": name, "share": 0.5} for name in ("with", "without")}
    cards: dict[str, dict[str, object] | str | bytes] = {
        "equipment": {f"f{n}": {"title": f"F{n}", "asks": "?", "values": values} for n in range(FEATURES)},
        "proofs/log": {},
        "cautions/hot": {},
        **{f"symptoms/{name}": {} for name in names},
        **{
            f"tests/{name}": {"otherwise": "unseen", "cautions": ["hot"], "body": "## Steps\n\n1. Look.\n"}
            for name in tests
        },
    }
    for number in range(faults):
        place = {f"f{chance.randrange(FEATURES)}": chance.choice(list(values))} if chance.random() < 1 / 3 else {}
        cards[f"faults/c{number}"] = {
            "how_common": round(chance.uniform(0.001, 0.1), 4),
            "found_on": place,
            "symptoms": {name: chance.choice(WORDS) for name in chance.sample(names, 2)},
            "shows": {name: f"seen, {chance.choice(WORDS)}" for name in chance.sample(tests, 5)},
            "repair": {"title": "Renew it", "takes": "30 min", "proof": "log"},
            "cautions": ["hot"],
            "body": BODY,
        }
    return cards


def seconds_of_check(faults: int, symptoms: int) -> float:
    """Processor seconds of one check of such a library; raises AssertionError where it has a mistake."""
    with tempfile.TemporaryDirectory() as folder:
        layer = Layer(write_library(Path(folder) / "content", synthetic(faults, symptoms)), "content")
        start = time.process_time()
        checked = check_content([layer])
        took = time.process_time() - start
    assert checked.mistakes == (), checked.mistakes[:3]
    return took


def measure_checks(faults: tuple[int, ...] = (1000,)) -> list[str]:
    """Print the seconds with few and with many symptoms; the sizes that take longer than they may."""
    too_long = []
    for number in faults:
        for symptoms in (number // 25, 12):
            took = seconds_of_check(number, symptoms)
            limit = LIMITS.get(number, float("inf"))
            print(f"check of {number:,} faults, {symptoms} symptoms: {took:.1f} processor s (at most {limit:g})")
            if took > limit:
                too_long.append(f"{number} faults, {symptoms} symptoms")
    return too_long


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("faults", nargs="*", type=int, default=[1000, 3000])
    measure_checks(tuple(parser.parse_args().faults))
