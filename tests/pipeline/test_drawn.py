"""What builds before have drawn is taken from there, and is what would be drawn now."""

from dataclasses import replace
from pathlib import Path

import pytest
from faultleaf.layout import Chart, Fitting, Frame, remembered
from faultleaf.pipeline import drawn
from faultleaf.pipeline.drawn import DRAWN, DrawnBefore
from faultleaf.pipeline.fonts import FONT_FOLDER, load_metrics
from faultleaf.sheets import Press
from faultleaf.sheets.words import document

from tests.layout.charts import OVERFILL, SMALL
from tests.sheets.small import small_fronts, small_library

METRICS = load_metrics()
FRAMES = [Frame(190, 235), Frame(100, 180)]


def forbidden(*_: object) -> bytes:
    raise AssertionError("worked out again")


@pytest.mark.parametrize("chart", [SMALL, OVERFILL], ids=["small", "large"])
def test_a_chart_laid_out_before_is_placed_as_it_was(tmp_path: Path, chart: Chart) -> None:
    plain = Fitting(chart, METRICS, FRAMES)
    before = Fitting(chart, METRICS, FRAMES, DrawnBefore(tmp_path))
    assert (before.placed(), before.legible()) == (plain.placed(), plain.legible())
    after = Fitting(chart, METRICS, FRAMES, DrawnBefore(tmp_path))
    after._results = after._fits = forbidden  # type: ignore[method-assign, assignment]
    assert (after.placed(), after.legible()) == (plain.placed(), plain.legible())


def test_another_chart_or_frame_is_laid_out_anew(tmp_path: Path) -> None:
    memory = DrawnBefore(tmp_path)
    Fitting(SMALL, METRICS, FRAMES, memory).placed()
    other = replace(SMALL, start_words="Water stands far too high")
    for chart, frames in ((other, FRAMES), (SMALL, FRAMES[:1])):
        assert Fitting(chart, METRICS, frames, memory).placed() == Fitting(chart, METRICS, frames).placed()


def test_a_sheet_set_before_has_the_same_bytes(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    front = small_fronts(small_library(tmp_path / "cards"))["letter"]
    data = document("sheet", front.paper, front.data(back=False))
    pages = [Press(FONT_FOLDER, DrawnBefore(tmp_path)).pdf(data)]
    monkeypatch.setattr(Press, "_printed", forbidden)
    pages.append(Press(FONT_FOLDER, DrawnBefore(tmp_path)).pdf(data))
    assert pages[1] == pages[0]


def test_what_is_asked_for_stays_and_other_code_goes(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    old = tmp_path / DRAWN / "other-code"
    old.mkdir(parents=True)
    monkeypatch.setattr(drawn, "MOST_KEPT", 1)
    for asked in ("once", "twice"):
        remembered(DrawnBefore(tmp_path), asked, asked.encode)
    memory = DrawnBefore(tmp_path)
    assert remembered(memory, "twice", forbidden) == b"twice"
    memory.tidy()
    assert not old.exists()
    assert remembered(DrawnBefore(tmp_path), "once", lambda: b"anew") == b"anew"
    assert remembered(DrawnBefore(tmp_path), "twice", forbidden) == b"twice"
