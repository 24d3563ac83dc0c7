"""sheets/front.py: which chart is printed, and whether its repairs say what is done."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path
from typing import NoReturn

import pytest
from faultleaf.cards import Library
from faultleaf.layout import FLOOR_PT, Chart, DoesNotFit, Fitting, PlacedChart
from faultleaf.sheets import PAPERS, Drawn, SheetError, SheetJob, choose, drawn, make_sheet
from faultleaf.sheets import front as front_module
from faultleaf.sheets.front import frame

from tests.sheets.printed import Printed
from tests.sheets.small import MAKER, small_job, small_library


@pytest.fixture(scope="module")
def library(tmp_path_factory: pytest.TempPathFactory) -> Library:
    return small_library(tmp_path_factory.mktemp("small"))


@pytest.fixture(scope="module")
def job(library: Library) -> SheetJob:
    return small_job(library)


def test_a_small_chart_gets_the_type_aimed_at_and_tells_what_repairs_do(job: SheetJob) -> None:
    fronts = choose(job, MAKER)
    assert set(fronts) == set(PAPERS)
    for front in fronts.values():
        assert front.acts
        assert front.placed.type_pt == 12.0
        assert front.drawn.plan.expected_minutes == min(plan.expected_minutes for plan in job.plans.values())


TYPES = {
    "all legible: the most boxes": ({1: 12, 2: 12, 3: 12, 4: 12, 5: 12, 6: 12}, 6),
    "the largest legible": ({1: 12, 2: 12, 3: 11, 4: 10, 5: 9.75, 6: 9}, 4),
    "just one": ({1: 10, 2: 9, 3: 9, 4: 8, 5: 8, 6: 8}, 1),
    "none: the smallest": ({1: 9, 2: 8, 3: 8, 4: 8, 5: 8, 6: 8}, 1),
}


def sized(type_of: Callable[[Chart], float]) -> type[Fitting]:
    """Charts that come out in the type that is said."""

    class Sized(Fitting):
        def legible(self) -> bool:
            return type_of(self.chart) >= FLOOR_PT

        def placed(self) -> tuple[PlacedChart, ...]:
            return tuple(replace(one, type_pt=type_of(self.chart)) for one in super().placed())

    return Sized


@pytest.mark.parametrize(("types", "boxes"), TYPES.values(), ids=TYPES)
def test_which_chart_is_printed(
    types: Mapping[int, float], boxes: int, job: SheetJob, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Every budget comes out in this size of type, and each costs much less than the one before."""
    any_plan = job.plans[max(job.plans)]
    plans = {n: replace(any_plan, expected_minutes=1000.0 / n, lower_bound=float(n)) for n in types}

    def named(one: SheetJob, budget: int) -> Drawn:
        found = drawn(one, budget)
        return replace(found, chart=replace(found.chart, subtitle=str(budget)))

    monkeypatch.setattr(front_module, "Fitting", sized(lambda chart: types[int(chart.subtitle)]))
    monkeypatch.setattr(front_module, "drawn", named)
    fronts = choose(replace(job, plans=plans), MAKER)
    assert {front.drawn.plan.lower_bound for front in fronts.values()} == {float(boxes)}


def test_what_repairs_do_is_told_only_where_the_type_stays_legible(
    job: SheetJob, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Worth goes before words: no smaller chart is taken so that more can be said."""
    told = any(box.causes for box in drawn(job, max(job.plans)).chart.boxes)
    assert told

    def type_of(chart: Chart) -> float:
        return 9.75 if any(box.causes for box in chart.boxes) else 10.0

    monkeypatch.setattr(front_module, "Fitting", sized(type_of))
    for front in choose(job, MAKER).values():
        assert not front.acts
        assert front.drawn.plan.expected_minutes == min(plan.expected_minutes for plan in job.plans.values())


def test_the_room_of_the_chart_is_what_head_and_foot_leave(job: SheetJob) -> None:
    one = drawn(job, max(job.plans))
    for paper in PAPERS.values():
        room = frame(MAKER, one, paper)
        assert room is not None
        assert 100 < room.height_mm < paper.height_mm - 20


def test_no_room_for_any_chart_is_said(job: SheetJob, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object) -> NoReturn:
        raise DoesNotFit("too large")

    monkeypatch.setattr(Fitting, "legible", lambda _: False)
    monkeypatch.setattr(Fitting, "placed", refuse)
    with pytest.raises(SheetError, match=r"^overfills: cautions and notices leave no room for a chart$"):
        choose(job, MAKER)


def test_the_front_alone_says_page_one_of_one(job: SheetJob) -> None:
    for name, front in choose(job, MAKER).items():
        sheet = Printed(f"x-{name}.pdf", make_sheet(front, MAKER, back=False))
        assert len(sheet.pages) == 1
        assert "page1/1" in sheet.text(0)
        assert max(sheet.type_sizes()) == 17
        assert front.placed.type_pt >= FLOOR_PT


def test_the_same_bytes_twice_and_from_another_folder(job: SheetJob, tmp_path: Path) -> None:
    fronts = choose(job, MAKER)
    first = make_sheet(fronts["letter"], MAKER, back=True)
    assert make_sheet(choose(job, MAKER)["letter"], MAKER, back=True) == first
    assert str(Path.cwd()).encode() not in first
    assert not list(tmp_path.iterdir())


def test_version_changes_with_a_word(library: Library, tmp_path: Path, job: SheetJob) -> None:
    one = choose(job, MAKER)["letter"].data(back=False)
    other = choose(small_job(small_library(tmp_path, "x")), MAKER)["letter"].data(back=False)
    assert one["about"] != other["about"]
    assert one["about"].startswith(f"{library.symptoms['overfills'].id} · version ")
