"""pipeline/work.py: the chart with the most boxes that can still be read."""

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from faultleaf.cards import Library
from faultleaf.diagnosis import Effort, PlanError
from faultleaf.layout import DoesNotFit, label_plan, lay_out, outline
from faultleaf.pipeline import work
from faultleaf.pipeline.figures import BUDGETS, figure_all
from faultleaf.pipeline.fonts import load_metrics
from faultleaf.pipeline.work import LEAST_TYPE_PT, work_library

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


def let_type_sizes_be(monkeypatch: pytest.MonkeyPatch, sizes: Mapping[int, float]) -> None:
    """Make each box budget come out in this size of type; a budget without a size does not fit."""

    def numbered(*arguments: Any) -> Any:
        every = figure_all(*arguments)
        return [replace(each, plans={n: replace(each.plans[5], lower_bound=n) for n in each.plans}) for each in every]

    def label(drawn: Any, *arguments: Any) -> Any:
        return drawn.lower_bound, label_plan(drawn, *arguments)

    def lay_out_in(labelled: Any, *arguments: Any) -> Any:
        boxes, chart = labelled
        if boxes not in sizes:
            raise DoesNotFit("too large")
        return replace(lay_out(chart, *arguments), type_pt=sizes[boxes])

    monkeypatch.setattr(work, "figure_all", numbered)  # the bound tells the chosen budget
    monkeypatch.setattr(work, "label_plan", label)
    monkeypatch.setattr(work, "outline", lambda labelled: outline(labelled[1]))
    monkeypatch.setattr(work, "lay_out", lay_out_in)


def chosen(library: Library) -> tuple[int, float]:
    variant = work_library(library, METRICS, effort=QUICK)["overfills"].variants[0]
    return int(variant.plan.lower_bound), variant.type_pt


LARGE, SMALL = LEAST_TYPE_PT + 1, LEAST_TYPE_PT - 1
SIZES = {
    "all can be read": (dict.fromkeys(BUDGETS, LARGE), BUDGETS[-1]),
    "just legible counts": ({5: LARGE, 7: LEAST_TYPE_PT, 9: SMALL}, 7),
    "a smaller one between hides no larger one": ({5: LARGE, 6: LARGE, 7: SMALL, 9: LARGE}, 9),
    "none can: the largest type": ({5: SMALL, 7: SMALL - 1, 9: SMALL - 2}, 5),
    "none can, of equal size the most boxes": ({5: SMALL, 7: SMALL, 9: SMALL - 1}, 7),
    "given up after three smaller ones": ({5: LARGE, 6: SMALL, 7: SMALL, 8: SMALL, 9: LARGE}, 5),
    "the smallest does not fit": ({8: LARGE, 9: SMALL}, 8),
    "one alone": ({9: SMALL}, 9),
}


@pytest.mark.parametrize(("sizes", "budget"), SIZES.values(), ids=SIZES)
def test_which_budget_is_drawn(
    sizes: dict[int, float], budget: int, library: Library, monkeypatch: pytest.MonkeyPatch
) -> None:
    let_type_sizes_be(monkeypatch, sizes)
    assert chosen(library) == (budget, sizes[budget])


def test_no_chart_at_all_is_said(library: Library, monkeypatch: pytest.MonkeyPatch) -> None:
    let_type_sizes_be(monkeypatch, {})
    with pytest.raises(PlanError, match=r"^overfills: no plan for \{'feed': 'automatic'\} fits a sheet$"):
        work_library(library, METRICS, effort=QUICK)["overfills"]


def test_budget_too_small_for_a_plan_is_passed_over(library: Library, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse_small(*arguments: Any) -> Any:
        every = figure_all(*arguments)
        return [replace(each, plans={n: chart for n, chart in each.plans.items() if n >= 9}) for each in every]

    monkeypatch.setattr(work, "figure_all", refuse_small)
    variant = work_library(library, METRICS, effort=QUICK)["overfills"].variants[0]
    assert variant.type_pt >= LEAST_TYPE_PT
    assert len(variant.plan.boxes) >= 2


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
