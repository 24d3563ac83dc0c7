"""From a library to printed sheets: plans and figures worked out or taken from the shelf, then chosen and set."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from faultleaf.cards import Library, Symptom
from faultleaf.cards.urls import book_url, safe_card_url
from faultleaf.diagnosis import Figured, Plan, PlanError, Problem, Worth, compile_problem
from faultleaf.intake import Layer, read_picture
from faultleaf.layout import Memory
from faultleaf.pipeline.figures import figure_all, plan_all
from faultleaf.pipeline.fonts import FONT_FOLDER, load_metrics
from faultleaf.pipeline.shelf import Kept
from faultleaf.sheets import (
    PAPERS,
    Fronts,
    Maker,
    Mark,
    Press,
    SheetJob,
    Tally,
    choose,
    followed,
    go_on,
    has_stops,
    make_book,
    make_large,
    make_safe_card,
    make_sheet,
    onward,
    start_of,
    turns_over,
)


@dataclass(frozen=True)
class Wish:
    """How a sheet is to be printed: on which paper, with the other side too, in large print."""

    paper: str = "letter"
    back: bool = False
    large: bool = False


def sheet_maker(library: Library, layers: Sequence[Layer], drawn: Memory | None = None) -> Maker:
    """The press with the shipped font, the firm's mark where site.yml names one, and what builds before have drawn."""
    return Maker(Press(FONT_FOLDER, drawn), load_metrics(), mark_of(library, layers), drawn)


def mark_of(library: Library, layers: Sequence[Layer]) -> Mark | None:
    """The picture that site.yml names as the firm's mark; None where it names none, or the file cannot be read."""
    picture = library.pictures.get(library.site.mark or "")
    content = read_picture(layers, library, library.site.mark or "")
    if picture is None or content is None:
        return None
    return Mark(content, Path(picture.file).suffix.lower().lstrip(".").replace("jpeg", "jpg"), picture.alt)


def sheet_job(
    library: Library, symptom: Symptom, variant: str, plans: Mapping[int, Plan], worth: Worth, mark: Mark | None = None
) -> SheetJob:
    """What the sheets of one variant are chosen from."""
    equipment = symptom.variants[variant]
    problem = compile_problem(library, [symptom.id], equipment=equipment)
    return SheetJob(library, symptom, variant, equipment, problem, plans, worth.stability, mark, worth.unlimited)


def worth_of(symptom: Symptom, variant: str, figures: Figured) -> Worth:
    """What the figures are worth. Raises PlanError where the variant has no plan."""
    if figures.worth is None:
        raise PlanError(f"{symptom.id}: there is no plan for '{variant}'")
    return figures.worth


def charted(library: Library) -> dict[tuple[str, str], Problem]:
    """The problem of every variant that a chart is made for, by symptom id and name; emergencies have none."""
    return {
        (symptom.id, variant): compile_problem(library, [symptom.id], equipment=equipment)
        for symptom in library.symptoms.values()
        for variant, equipment in symptom.variants.items()
        if not symptom.emergency
    }


def choose_fronts(library: Library, symptom: Symptom, variant: str, figures: Figured, maker: Maker) -> Fronts:
    """The fronts of one variant on all papers.

    Raises PlanError where the variant has no plan (an emergency), SheetError where no chart fits the paper.
    """
    worth = worth_of(symptom, variant, figures)
    return choose(sheet_job(library, symptom, variant, figures.plans, worth, maker.mark), maker)


def choose_all(
    library: Library, asked: Mapping[tuple[str, str], Problem], figures: Sequence[Figured], maker: Maker
) -> list[Fronts]:
    """The fronts of every variant asked for (`charted`), in its order. Raises as `choose_fronts` does."""
    return [
        choose_fronts(library, library.symptoms[owner], variant, found, maker)
        for (owner, variant), found in zip(asked, figures, strict=True)
    ]


def gone_on(each: Sequence[Fronts], maker: Maker, kept: Kept) -> list[Fronts]:
    """The same fronts, those that turn over with their other side. Raises SheetError as `choose_fronts` does."""
    asked = {place: problem for place, fronts in enumerate(each) if (problem := onward_of(fronts)) is not None}
    found = list(each)
    for (place, problem), plans in zip(asked.items(), plan_all(tuple(asked.values()), kept), strict=True):
        found[place] = go_on(each[place], problem, plans, maker)
    return found


def onward_of(fronts: Fronts) -> Problem | None:
    """The problem of the calls that turn over; None where none do."""
    one = next(iter(fronts.values())).drawn
    if not turns_over(one.job, one.plan):
        return None
    return onward(one.job.problem, followed(one.job.problem, one.plan, [start_of(one.job.problem)], Tally()))


def print_sheet(library: Library, symptom: Symptom, variant: str, wish: Wish, maker: Maker, kept: Kept) -> bytes:
    """The PDF of one variant's sheet; `kept` says where results from before are.

    Raises as `choose_fronts` does.
    """
    problem = compile_problem(library, [symptom.id], equipment=symptom.variants[variant])
    (figures,) = figure_all((problem,), kept)
    (fronts,) = gone_on([choose_fronts(library, symptom, variant, figures, maker)], maker, kept)
    front = fronts[wish.paper]
    return make_large(front, maker) if wish.large else make_sheet(front, maker, wish.back)


def print_book(library: Library, paper: str, maker: Maker, kept: Kept) -> bytes:
    """The field book of all variants on that paper. Raises as `choose_fronts` does, and ValueError without variants."""
    asked = charted(library)
    fronts = choose_all(library, asked, figure_all(tuple(asked.values()), kept), maker)
    return make_book(library, [each[paper] for each in gone_on(fronts, maker, kept)], maker)


def safe_cards(library: Library, maker: Maker) -> dict[str, bytes]:
    """The page of all stops on every paper by its address; none where nothing stops a call."""
    if not has_stops(library):
        return {}
    return {safe_card_url(name): make_safe_card(library, paper, maker) for name, paper in PAPERS.items()}


def books(library: Library, fronts: Sequence[Fronts], maker: Maker) -> dict[str, bytes]:
    """The field book on every paper by its address; none where there is no sheet."""
    if not fronts:
        return {}
    return {book_url(name): make_book(library, [one[name] for one in fronts], maker) for name in PAPERS}
