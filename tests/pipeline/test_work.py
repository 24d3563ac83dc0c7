"""pipeline/work.py: the chart with the most boxes that can still be read."""

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from faultleaf.cards import Library
from faultleaf.diagnosis import Effort, PlanError
from faultleaf.layout import FLOOR_PT
from faultleaf.pipeline import work
from faultleaf.pipeline.figures import figure_all
from faultleaf.pipeline.fonts import load_metrics
from faultleaf.pipeline.work import work_library

from tests.library import make_library

METRICS = load_metrics()
QUICK = Effort(states=50, shakings=1)
REPAIR = {"title": "Mend it", "takes": "30 min", "proof": "log"}
FEED = {
    "title": "Feed", "asks": "How is water fed?",
    "values": {"automatic": {"title": "By a feeder", "share": 0.6}, "manual": {"title": "By hand", "share": 0.4}},
}  # fmt: skip


@pytest.fixture(scope="module")
def library(tmp_path_factory: pytest.TempPathFactory) -> Library:
    return make_library(tmp_path_factory.mktemp("work"), {
        "equipment": {"feed": FEED},
        "symptoms/overfills": {"variants": {"by a feeder": {"feed": "automatic"}, "by hand": {"feed": "manual"}}},
        "symptoms/gas": {"emergency": "yes", "variants": {"by hand": {"feed": "manual"}}},
        "faults/valve": {
            "symptoms": {"overfills": "often", "gas": "often"}, "shows": {"hold": "seen, nearly-always"},
            "repair": REPAIR, "found_on": {"feed": "automatic"},
        },
        "faults/bypass": {
            "symptoms": {"overfills": "often"}, "shows": {"look": "seen, nearly-always"},
            "repair": {**REPAIR, "takes": "90 min"},
        },
        "tests/hold": {"otherwise": "unseen"},
        "tests/look": {"otherwise": "unseen"},
        "proofs/log": {},
    })  # fmt: skip


def test_budget_too_small_for_a_plan_is_passed_over(library: Library, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse_small(*arguments: Any) -> Any:
        every = figure_all(*arguments)
        return [replace(each, plans={n: chart for n, chart in each.plans.items() if n >= 9}) for each in every]

    monkeypatch.setattr(work, "figure_all", refuse_small)
    variant = work_library(library, METRICS, effort=QUICK)["overfills"].variants[0]
    assert variant.type_pt >= FLOOR_PT
    assert len(variant.plan.boxes) >= 2


def test_no_chart_at_all_is_said(library: Library, monkeypatch: pytest.MonkeyPatch) -> None:
    def nothing(*arguments: Any) -> Any:
        return [replace(each, plans={}, worth=None) for each in figure_all(*arguments)]

    monkeypatch.setattr(work, "figure_all", nothing)
    with pytest.raises(PlanError, match=r"^overfills: there is no plan for 'by a feeder'$"):
        work_library(library, METRICS, effort=QUICK)


def test_variants_in_the_authors_order_each_with_its_own_causes(library: Library) -> None:
    worked = work_library(library, METRICS, effort=QUICK)["overfills"]
    assert [variant.name for variant in worked.variants] == ["by a feeder", "by hand"]
    assert [variant.problem.faults for variant in worked.variants] == [
        ("bypass", "valve", "unlisted"), ("bypass", "unlisted"),
    ]  # fmt: skip
    for variant in worked.variants:
        assert variant.svg.startswith("<svg ")
        assert f'id="step-{variant.name.replace(" ", "-")}-1"' in variant.svg
        numbered = [step.number for step in variant.outline]
        assert numbered == list(range(1, len(numbered) + 1))
    assert worked.problem.faults == ("bypass", "valve", "unlisted")


def test_emergency_has_no_chart(library: Library) -> None:
    worked = work_library(library, METRICS, effort=QUICK)["gas"]
    assert worked.variants == ()
    assert worked.problem.emergency


def test_work_is_the_same_every_time(library: Library, tmp_path: Path) -> None:
    first, second = (work_library(library, METRICS, effort=QUICK)["overfills"] for _ in range(2))
    assert [variant.svg for variant in first.variants] == [variant.svg for variant in second.variants]
    assert list(tmp_path.iterdir()) == []  # nothing is written
