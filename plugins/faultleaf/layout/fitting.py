"""A chart on paper: in the largest type that its frames hold, worked out once and remembered."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

from faultleaf.layout.chart import Chart, tidy
from faultleaf.layout.fit import (
    FLOOR_PT,
    Content,
    DoesNotFit,
    Frame,
    Job,
    Measured,
    Result,
    all_places,
    best_result,
    finish,
    goals,
    job_of,
)
from faultleaf.layout.fold import Fold, fold
from faultleaf.layout.memory import Memory, remembered
from faultleaf.layout.metrics import FontMetrics, Rulers
from faultleaf.layout.shapes import EDGE, PlacedChart


def lay_out(chart: Chart, metrics: FontMetrics, frame: Frame) -> PlacedChart:
    """The chart placed in the frame with the largest type that fits, aiming at 12 pt (questions 14 pt).

    Raises DoesNotFit when even the smallest type is too large.
    """
    (placed,) = Fitting(chart, metrics, [frame]).placed()
    return placed


def lay_out_turned(chart: Chart, metrics: FontMetrics, frames: Sequence[Frame]) -> tuple[int, PlacedChart]:
    """The chart in that of several frames (a page upright, a page turned) in which it reads best, and its index.

    Raises DoesNotFit when it fits none, ValueError without frames.
    """
    fitting = Fitting(chart, metrics, frames)
    found = [(result.merit, -i, result) for i, job in enumerate(fitting.jobs) if (result := best_result(job))]
    if frames and not found:
        raise DoesNotFit(f"{len(chart.boxes)} boxes do not fit any of {len(frames)} frames at any size")
    _, index, best = max(found, key=lambda one: one[:2])
    return -index, finish(fitting.chart, fitting.jobs[-index], best)


class Fitting:
    """One chart to be laid out in several frames; what is measured for one of them serves all.

    What `memory` keeps is not worked out again; it must hold results of this code and these metrics alone.
    """

    def __init__(
        self, chart: Chart, metrics: FontMetrics, frames: Sequence[Frame], memory: Memory | None = None
    ) -> None:
        """Nothing is measured yet."""
        self.chart = tidy(chart)
        content = Content(all_places(self.chart), goals(self.chart, {}), Rulers(metrics))
        self.jobs = tuple(job_of(content, frame) for frame in frames)
        self._memory = memory
        self._said = repr((self.chart, *frames))

    def legible(self) -> bool:
        """Whether all frames hold the chart in type of 10 pt; words cut and small questions are allowed for that."""
        answer = remembered(self._memory, f"legible {self._said}", lambda: b"yes" if self._fits() else b"no")
        return answer == b"yes"

    def _fits(self) -> bool:
        return all(map(_legible, self.jobs))

    def placed(self) -> tuple[PlacedChart, ...]:
        """The chart in each of the frames. Raises DoesNotFit as `lay_out` does."""
        text = remembered(self._memory, f"results {self._said}", self._results)
        results = [_result(one) for one in json.loads(text)]
        return tuple(finish(self.chart, job, one) for job, one in zip(self.jobs, results, strict=True))

    def _results(self) -> bytes:
        return json.dumps([asdict(self._best(job)) for job in self.jobs]).encode()

    def _best(self, job: Job) -> Result:
        best = best_result(job)
        if best is None:
            size = f"{job.width + 2 * EDGE:g} x {job.height + 2 * EDGE:g} mm"
            raise DoesNotFit(f"{len(self.chart.boxes)} boxes do not fit {size} at any size")
        return best


def _legible(job: Job) -> bool:
    pile = Measured(job.content.measured(1.0), cut=True)
    return fold(pile, job.start, job.end, job.room(FLOOR_PT)) is not None


def _result(found: dict[str, Any]) -> Result:
    """A result that was plain values."""
    folded = found["fold"]
    columns = Fold(tuple(folded["starts"]), tuple(folded["widths"]), folded["cuts"], folded["width"])
    return Result(**{**found, "fold": columns})
