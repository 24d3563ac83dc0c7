"""A small invented library with everything that a sheet can show, and its sheets."""

from pathlib import Path

from faultleaf.cards import Library
from faultleaf.diagnosis import Effort, compile_problem
from faultleaf.diagnosis.worth.figured import figured
from faultleaf.pipeline.fonts import FONT_FOLDER, load_metrics
from faultleaf.pipeline.sheets import sheet_job
from faultleaf.sheets import Fronts, Maker, Mark, Press, SheetJob, choose

from tests.library import make_library
from tests.pages.samples import EVERYTHING, with_text

MAKER = Maker(Press(FONT_FOLDER), load_metrics())
QUICK = Effort(states=50, outlook=50, shakings=0)


def small_library(root: Path, text: str = "") -> Library:
    """The library of everything with this text at every place of free text."""
    return with_text(make_library(root, EVERYTHING), text)


def small_job(library: Library, mark: Mark | None = None) -> SheetJob:
    """The job of its one symptom with two variants, for the first of them."""
    symptom = library.symptoms["overfills"]
    variant, equipment = next(iter(symptom.variants.items()))
    found = figured(compile_problem(library, [symptom.id], equipment=equipment), range(1, 7), QUICK)
    assert found.worth is not None
    return sheet_job(library, symptom, variant, found.plans, found.worth, mark)


def small_fronts(library: Library) -> Fronts:
    """Its fronts on both papers."""
    return choose(small_job(library), MAKER)
