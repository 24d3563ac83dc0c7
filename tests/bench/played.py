"""Whole calls drawn from the cards: 20,000 worked in Python, 1,000 of them in Chromium too, beside the exact cost.

The exact cost is that of the shipped policy down to states that a share NEGLIGIBLE of the calls comes to; below
them the best run of repairs ends the call, in the exact figure and in Python's calls alike. Chromium plays the
policy as it is, to the end of every call.
"""

import random
import statistics
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import ceil

from faultleaf.cards import Library
from faultleaf.diagnosis import Problem, compile_problem
from faultleaf.diagnosis.worth.heuristics import Expected, bounded, expected
from selenium.webdriver import Chrome

from tests.bench.engine import engine_page
from tests.bench.policies import ours
from tests.browser.call.playing import played_in_chromium
from tests.calls.causes import print_causes
from tests.calls.errors import errors_off, share_off
from tests.calls.played import DrawnCall, PlayedCall, draw_call, play_call, remembering
from tests.cli.calls import shipped_library

CALLS, IN_CHROMIUM, SEED = 20_000, 1000, 20261125
NEGLIGIBLE = 1e-3
MOST_ERRORS = 3.0


@dataclass(frozen=True)
class Row:
    """Calls of one symptom on one kind of system: the exact cost, and what calls came to."""

    name: str
    exact: Expected
    calls: Sequence[DrawnCall]
    played: Sequence[PlayedCall]
    in_chromium: Sequence[PlayedCall]

    def errors(self, played: Sequence[PlayedCall]) -> tuple[float, float]:
        """By how many standard errors minutes and the share handed on lie above the exact ones."""
        minutes = errors_off([one.minutes for one in played], self.exact.minutes)
        return minutes, share_off([one.handed_on for one in played], self.exact.handed_on)

    @property
    def off(self) -> bool:
        """Whether a mean lies too far off: minutes either way, handing on above."""
        minutes, handed = self.errors(self.played)
        there, handed_there = self.errors(self.in_chromium)
        return abs(minutes) > MOST_ERRORS or max(handed, handed_there, there) > MOST_ERRORS


def measure_calls() -> Iterator[Row]:
    """A row for each symptom on the first of its printed kinds of system, with an equal part of the calls."""
    library = shipped_library()
    parts = len(library.symptoms)
    with engine_page(library) as driver:
        for name, problem in _problems(library):
            yield _row(driver, name, problem, ceil(CALLS / parts), ceil(IN_CHROMIUM / parts))


def _problems(library: Library) -> Iterator[tuple[str, Problem]]:
    for symptom in library.symptoms.values():
        variant, equipment = next(iter(symptom.variants.items()))
        yield f"{symptom.id}, {variant}", compile_problem(library, [symptom.id], equipment=equipment)


def _row(driver: Chrome, name: str, problem: Problem, count: int, in_chromium: int) -> Row:
    rule, draw = remembering(ours), random.Random(SEED)
    calls = [draw_call(problem, draw) for _ in range(count)]
    exact, here = expected(problem, rule, NEGLIGIBLE), bounded(problem, rule, NEGLIGIBLE)
    played = [play_call(problem, call, here) for call in calls]
    return Row(name, exact, calls, played, played_in_chromium(driver, problem, calls[:in_chromium]))


def print_calls(rows: Sequence[Row]) -> None:
    """Means beside the exact cost; for each cause how often the first, the second or a later repair cured."""
    for row in rows:
        print(f"{row.name}: exactly {row.exact.minutes:.1f} min, {100 * row.exact.handed_on:.1f} % handed on")
        for what, played in (("Python", row.played), ("Chromium", row.in_chromium)):
            minutes, handed = row.errors(played)
            mean = statistics.fmean(one.minutes for one in played)
            share = statistics.fmean(one.handed_on for one in played)
            print(
                f"  {len(played)} calls in {what}: {mean:.1f} min ({minutes:+.2f} standard errors), "
                f"{100 * share:.1f} % handed on ({handed:+.2f})"
            )
        print_causes(row.name, zip(row.calls, row.played, strict=True))


if __name__ == "__main__":
    print_calls(list(measure_calls()))
