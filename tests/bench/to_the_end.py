"""20,000 calls of every symptom and kind of system, worked to their end by the shipped policy as Chromium decides.

`played.py` holds Python's own calls on the first variants beside a cost that is exact because few calls are cut
short. Here nothing is cut short: the exact cost is known down to an edge, and compared with what of each call lies
before it; past it the cost is bounded.
"""

import random
import sys
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from math import ceil, sqrt
from statistics import fmean, stdev, variance

from faultleaf.diagnosis.model.state import start_state
from selenium.webdriver import Chrome

from tests.bench.engine import engine_page
from tests.browser.call.playing import played_in_chromium
from tests.calls.causes import print_causes
from tests.calls.deciding import Decision, Key, in_chromium, in_python
from tests.calls.errors import errors_off, share_off
from tests.calls.exact import Before, Exact, before_edge, unfold
from tests.calls.played import DrawnCall, PlayedCall, draw_call
from tests.calls.playing import play_all
from tests.calls.settings import Setting, shipped_settings
from tests.cli.calls import shipped_library

CALLS, IN_BOTH, SEED = 20_000, 1000, 20261125
EDGES = {"gauge-glass-misleading": 1e-5}
EDGE = 1e-3
"""Share of the calls below which the unfolding ends: smaller where a symptom has few causes and so few states."""
MOST_ERRORS = 3.0
CLOSE = 1e-9


@dataclass(frozen=True)
class Ended:
    """Calls of one setting, drawn and worked, and `before`, what of each lies before the edge."""

    setting: Setting
    exact: Exact
    calls: Sequence[DrawnCall]
    worked: Sequence[PlayedCall]
    before: Sequence[Before]

    @property
    def errors(self) -> tuple[float, float, float]:
        """Standard errors that minutes, the share handed on and the share past the edge lie above the exact ones."""
        return (
            errors_off([each.minutes for each in self.before], self.exact.minutes),
            share_off([each.handed_on for each in self.before], self.exact.handed_on),
            share_off([each.past for each in self.before], self.exact.past),
        )


def pooled(rows: Sequence[Ended]) -> tuple[float, float, float]:
    """The same errors of all settings together, which are drawn apart and count alike.

    With some 45 figures one beyond three standard errors comes up in every ninth run by chance; these are the ones
    to be judged by.
    """
    lines = [[(each.minutes, float(each.handed_on), float(each.past)) for each in row.before] for row in rows]
    return _pooled(rows, lines, 0), _pooled(rows, lines, 1), _pooled(rows, lines, 2)


def _pooled(rows: Sequence[Ended], lines: Sequence[Sequence[tuple[float, float, float]]], which: int) -> float:
    exact = [(row.exact.minutes, row.exact.handed_on, row.exact.past)[which] for row in rows]
    values = [[each[which] for each in line] for line in lines]
    off = sum(fmean(some) - wanted for some, wanted in zip(values, exact, strict=True))
    return off / sqrt(sum(variance(some) / len(some) for some in values))


def far_off(rows: Sequence[Ended]) -> bool:
    """Whether all calls together lie too far off: handing on above, the others either way."""
    minutes, handed_on, past = pooled(rows)
    return max(abs(minutes), handed_on, abs(past)) > MOST_ERRORS


def measure_ends(symptom: str = "") -> Iterator[Ended]:
    """Every setting of the symptoms whose ids begin so, with an equal part of the calls."""
    library = shipped_library()
    settings = list(shipped_settings(library))
    with engine_page(library) as driver:
        for setting in settings:
            if setting.symptom.startswith(symptom):
                yield _ended(driver, setting, ceil(CALLS / len(settings)))


def _ended(driver: Chrome, setting: Setting, count: int) -> Ended:
    problem, decide = setting.problem, in_chromium(driver, setting.given)
    decided, edge, start = dict[Key, Decision](), EDGES.get(setting.symptom, EDGE), start_state(problem)
    calls = _drawn(setting, count)
    exact = unfold(problem, decide, decided, edge)
    worked = play_all(problem, calls, decide, decided)
    return Ended(setting, exact, calls, worked, [before_edge(problem, each, edge, start) for each in worked])


def _drawn(setting: Setting, count: int) -> list[DrawnCall]:
    """Each setting has draws of its own, so that errors of several may be added up."""
    draw = random.Random(f"{SEED}/{setting.name}")
    return [draw_call(setting.problem, draw) for _ in range(count)]


def unlike_in_both(symptom: str = "") -> Iterator[str]:
    """Calls on a first variant that Python and Chromium do not work by the same steps in the same minutes."""
    library = shipped_library()
    first = {each.symptom: each for each in reversed(list(shipped_settings(library))) if each.given["equipment"]}
    with engine_page(library) as driver:
        for setting in (each for name, each in sorted(first.items()) if name.startswith(symptom)):
            problem, count = setting.problem, ceil(IN_BOTH / len(first))
            calls = _drawn(setting, count)
            there = played_in_chromium(driver, problem, calls)
            here = play_all(problem, calls, in_python(problem), {})
            for number, (one, other) in enumerate(zip(there, here, strict=True)):
                if one.steps != other.steps or abs(one.minutes - other.minutes) > CLOSE * other.minutes:
                    yield f"{setting.name}, call {number}: {one.steps} and not {other.steps}"


def print_ends(rows: Sequence[Ended]) -> None:
    """A line for each setting; for each symptom and cause how often the first, second or a later repair cured."""
    for row in rows:
        minutes, error = _mean(row.worked)
        before, handed_on, past = row.errors
        exact = row.exact
        print(f"{row.setting.name}: {len(row.calls)} calls, {minutes:.1f} ± {error:.1f} min")
        print(
            f"  before the edge ({exact.states} states) exactly {exact.minutes:.1f} min ({before:+.2f} errors), "
            f"{100 * exact.handed_on:.1f} % handed on ({handed_on:+.2f}); "
            f"{100 * exact.past:.2f} % go past it ({past:+.2f})"
        )
        print(
            f"  whole calls between {exact.minutes + exact.least:.1f} and {exact.minutes + exact.most:.0f} min; "
            f"{100 * fmean(each.handed_on for each in row.worked):.1f} % handed on (exactly "
            f"{100 * exact.handed_on:.1f} to {100 * (exact.handed_on + exact.past):.1f})"
        )
    minutes, handed_on, past = pooled(rows)
    print(
        f"all {sum(len(row.calls) for row in rows)} calls before the edge, standard errors off: "
        f"minutes {minutes:+.2f}, handed on {handed_on:+.2f}, past the edge {past:+.2f}"
    )
    for symptom in dict.fromkeys(row.setting.symptom for row in rows):
        of_symptom = (row for row in rows if row.setting.symptom == symptom)
        print_causes(symptom, (pair for row in of_symptom for pair in zip(row.calls, row.worked, strict=True)))


def _mean(calls: Iterable[PlayedCall]) -> tuple[float, float]:
    values = [each.minutes for each in calls]
    return fmean(values), stdev(values) / sqrt(len(values))


if __name__ == "__main__":
    print_ends(list(measure_ends(*sys.argv[1:])))
