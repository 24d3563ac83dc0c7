"""Random calls over the shipped library, and what the command must answer to them.

Shared by the suite and by `tests.bench`, which asks ten times as many.
"""

import math
import random
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from faultleaf.cards import Library

from tests.library import read
from tests.oracle import UNLISTED, posterior

CONTENT = Path(__file__).resolve().parents[2] / "content"
MOST_FINDINGS = 6
CLOSE = 1e-9


@dataclass(frozen=True)
class Call:
    """A symptom, what is known of the equipment, and what the tests showed."""

    symptom: str
    equipment: Mapping[str, str]
    findings: Mapping[str, str]

    def arguments(self) -> list[str]:
        """The same as arguments of `faultleaf rank`."""
        has = [f"--has={feature}={value}" for feature, value in self.equipment.items()]
        return ["rank", self.symptom, *has, *(f"--found={test}={seen}" for test, seen in self.findings.items())]


def shipped_library() -> Library:
    """The library in content/."""
    return read(CONTENT)


def random_calls(library: Library, count: int, seed: int) -> Iterator[Call]:
    """Calls with equipment from none to all of it known, and with 0 to 6 findings; each symptom in its turn."""
    chance = random.Random(seed)
    features, tests, symptoms = sorted(library.equipment), sorted(library.tests), sorted(library.symptoms)
    for number in range(count):
        known = chance.sample(features, chance.randint(0, len(features)))
        done = chance.sample(tests, chance.randint(0, MOST_FINDINGS))
        yield Call(
            symptoms[number % len(symptoms)],
            {name: chance.choice(sorted(library.equipment[name].values)) for name in known},
            {name: chance.choice(sorted(library.tests[name].outcomes)) for name in done},
        )


def differences(library: Library, call: Call, answer: Mapping[str, Any]) -> list[str]:
    """Where the command's answer is not what pyAgrum says: every cause, the unlisted one and the sum."""
    expected = posterior(library, call.symptom, call.equipment, call.findings)
    found = {cause["id"]: cause["probability"] for cause in answer["causes"]} | {UNLISTED: answer["unlisted"]}
    wrong = [f"{name}: only one of both has it" for name in sorted(set(expected) ^ set(found))]
    wrong += [
        f"{name}: {found[name]} and not {expected[name]}"
        for name in sorted(set(expected) & set(found))
        if not math.isclose(found[name], expected[name], rel_tol=0, abs_tol=CLOSE)
    ]
    total = math.fsum(found.values())
    return wrong if math.isclose(total, 1, rel_tol=0, abs_tol=CLOSE) else [*wrong, f"the sum is {total}"]
