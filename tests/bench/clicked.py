"""A hundred drawn calls worked on the page by clicks, on the built site, beside what the policy costs."""

import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import ceil
from pathlib import Path
from statistics import fmean

from faultleaf.diagnosis.worth.heuristics import Expected, expected

from tests.bench.policies import ours
from tests.browser.call_page.page import CallPage
from tests.browser.chromium import open_chromium
from tests.calls.clicking import PageTable
from tests.calls.errors import errors_off, share_off
from tests.calls.played import PlayedCall, draw_call, remembering
from tests.calls.playing import play
from tests.calls.settings import Setting, shipped_settings
from tests.cli.calls import shipped_library

SITE = Path(__file__).parents[2] / "site"
CALLS, SEED, NEGLIGIBLE, MOST_ERRORS = 100, 20261125, 1e-3, 3.0


@dataclass(frozen=True)
class Clicked:
    """Calls of a symptom's first variant, and the policy's cost (to states that one call in 1,000 comes to)."""

    setting: Setting
    exact: Expected
    calls: Sequence[PlayedCall]

    @property
    def errors(self) -> tuple[float, float]:
        """Standard errors that minutes and the share handed on lie above the policy's."""
        minutes = errors_off([call.minutes for call in self.calls], self.exact.minutes)
        return minutes, share_off([call.handed_on for call in self.calls], self.exact.handed_on)


def measure_clicks() -> Iterator[Clicked]:
    """A row for each symptom; the site must be built."""
    known = [each for each in shipped_settings(shipped_library()) if each.given["equipment"]]
    settings = {each.symptom: each for each in reversed(known)}
    with open_chromium(390, 844) as driver:
        page = CallPage(driver, SITE)
        for setting in settings.values():
            draw, problem = random.Random(f"{SEED}/{setting.name}"), setting.problem
            calls = [draw_call(problem, draw) for _ in range(ceil(CALLS / len(settings)))]
            done = [play(problem, call, PageTable(page, problem, setting.symptom, setting.variant)) for call in calls]
            yield Clicked(setting, expected(problem, remembering(ours), NEGLIGIBLE), done)


def print_clicks(rows: Sequence[Clicked]) -> None:
    """A line for each symptom."""
    for row in rows:
        minutes, handed_on = row.errors
        print(
            f"{row.setting.name}: {len(row.calls)} calls by clicks, "
            f"{fmean(call.minutes for call in row.calls):.0f} min "
            f"({minutes:+.2f} standard errors from {row.exact.minutes:.0f}), "
            f"{100 * fmean(call.handed_on for call in row.calls):.0f} % handed on ({handed_on:+.2f})"
        )


def too_far(rows: Sequence[Clicked]) -> bool:
    """Whether a mean lies too far above what the policy costs."""
    return any(max(row.errors) > MOST_ERRORS for row in rows)


if __name__ == "__main__":
    print_clicks(list(measure_clicks()))
