"""What the numbers are worth, for every symptom and kind of system: the tables of the page about the numbers."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass

from faultleaf.cards import Library, chart_url
from faultleaf.diagnosis.worth.heuristics import SURE
from faultleaf.diagnosis.worth.shake import CLOSE
from faultleaf.pages.common import Link, link_to
from faultleaf.pages.worked import WorkedSymptom, WorkedVariant
from faultleaf.words import capital, hundredths, minutes_text, share_text, step_words

LARGE_CHART = 20
"""Boxes of the chart that a larger sheet could hold."""
BOXES_SHOWN = (5, 7, 9, 12, 15, LARGE_CHART)
"""Columns of the table of boxes and minutes."""


@dataclass(frozen=True)
class Column:
    """A column's heading and, where it is not plain, one sentence on how to read it."""

    title: str
    says: str = ""


@dataclass(frozen=True)
class Row:
    """One kind of system: its chart, and a text for every column. Without a chart, why there is none."""

    link: Link | None
    cells: tuple[str, ...]
    note: str = ""


@dataclass(frozen=True)
class Group:
    """The rows of one symptom."""

    symptom: Link
    rows: tuple[Row, ...]


@dataclass(frozen=True)
class Table:
    """A table over all symptoms and kinds of systems."""

    id: str
    title: str
    lead: str
    columns: tuple[Column, ...]
    groups: tuple[Group, ...]

    @property
    def says(self) -> tuple[tuple[str, str], ...]:
        """How to read the columns that are not plain."""
        return tuple((column.title, column.says) for column in self.columns if column.says)


ENDS = (
    Column("Cured", "cured, and proved to hold."),
    Column("Cause named", "somebody else repairs it, or it is a job to quote."),
    Column("Handed on", "with no cause named."),
    Column("Stopped", "handed on because of a danger that was found."),
    Column("Work of the cured", "mean hands-on time of the calls that are cured, all looks of the proofs included."),
)
MINUTES = (
    Column("Printed chart", "the sum for the chart on the sheet."),
    Column(f"Chart of {LARGE_CHART} boxes", f"the best chart found with at most {LARGE_CHART} boxes."),
    Column("Best plan found", "the best found with no limit of boxes; mostly too long to be printed."),
    Column("No plan under", "it is proved that by these cards no way of working costs less."),
    Column("May be over by", "how far the best plan found can at most lie above the best there is."),
    Column("Tests in the cards’ order", f"every test in turn until one cause is {SURE * 100:g} % sure, then repairs."),
    Column("Repairs, no tests", "first the repair that most likely cures for its minutes, then the next."),
    Column("Most told per minute", "always the test that tells most for its minutes, then repairs."),
    Column("One step ahead", "a test only where it pays for itself at once, then repairs."),
)
BOXES = tuple(Column(f"{boxes} boxes") for boxes in BOXES_SHOWN)
FIRM = (
    Column("First step", "after the checks that always come first have shown what they mostly show."),
    Column("Stays first", "in how many of the tries it is still the first step."),
    Column("As good as first", f"how often it costs at most {CLOSE * 100:g} % more than what would then come first."),
    Column("Stays first: causes only", "the same, where only the shares of the causes are made wrong."),
    Column("Not told apart", "causes with different repairs between which no test decides."),
    Column("False alarms", "calls made up from the cards that are said to fit no card; should be under 5 %."),
    Column(
        "Senseless noticed", "calls with outcomes picked blindly that are said to fit no card; the more the better."
    ),
)
Cells = Callable[[WorkedVariant], tuple[str, ...]]


def worth_tables(library: Library, worked: Mapping[str, WorkedSymptom]) -> tuple[Table, ...]:
    """The tables: how calls end, the planner's minutes, boxes, and how firm the answers are."""
    symptoms = [each for _, each in sorted(worked.items())]
    ends_lead = "Of 100 calls that follow the printed chart, about so many end so."
    minutes_lead = (
        "The sum by which plans are compared, no promise for any call: hands-on minutes, making safe, waiting, return "
        "visits, and, where a call is handed on, what that counts and the repair that is still owed. So it is high "
        "where many calls are handed on. Every way of working below does what always comes first and keeps every "
        "step’s conditions."
    )
    boxes_lead = "The same sum for the best chart found, by how many boxes it may have at most."
    firm_lead = (
        "Most numbers are judgement. So all of them are made wrong by chance, by up to twice or half of what the card "
        "says, and the first step is worked out again."
    )
    return (
        Table("worth-ends", "How calls end", ends_lead, ENDS, _groups(symptoms, _ends)),
        Table("worth-minutes", "The planner’s sum", minutes_lead, MINUTES, _groups(symptoms, _minutes)),
        Table("worth-boxes", "More boxes, a lower sum", boxes_lead, BOXES, _groups(symptoms, _curve)),
        Table(
            "worth-firm", "How firm it is", firm_lead, FIRM, _groups(symptoms, lambda each: _firmness(library, each))
        ),
    )


def _groups(symptoms: Iterable[WorkedSymptom], cells: Cells) -> tuple[Group, ...]:
    return tuple(Group(link_to(each.symptom), tuple(_rows(each, cells))) for each in symptoms)


def _rows(worked: WorkedSymptom, cells: Cells) -> Iterator[Row]:
    symptom = worked.symptom
    if symptom.emergency:
        yield Row(None, (), "An emergency: make safe and hand on. No plan is computed.")
    elif not worked.variants:
        yield Row(None, (), "Its card names no kind of system, so there is no chart.")
    for variant in worked.variants:
        yield Row(Link(capital(variant.name), chart_url(symptom, variant.name)), cells(variant))


def _ends(variant: WorkedVariant) -> tuple[str, ...]:
    ends = variant.endings
    counts = hundredths((ends.cured, ends.named, ends.handed_on, ends.stopped))
    return (*map(str, counts), minutes_text(ends.work_minutes) if ends.cured else "none")


def _minutes(variant: WorkedVariant) -> tuple[str, ...]:
    worth, boxes = variant.worth, len(variant.plan.boxes)
    return (
        f"{minutes_text(variant.plan.expected_minutes)} ({boxes} box{'es' * (boxes > 1)})",
        _with_boxes(variant, LARGE_CHART),
        minutes_text(worth.unlimited),
        minutes_text(worth.lower_bound),
        "nothing: proved the best" if worth.proved else share_text(worth.excess),
        minutes_text(worth.in_card_order),
        minutes_text(worth.repairs_alone),
        minutes_text(worth.gain_per_cost),
        minutes_text(worth.one_step),
    )


def _curve(variant: WorkedVariant) -> tuple[str, ...]:
    return tuple(_with_boxes(variant, boxes) for boxes in BOXES_SHOWN)


def _with_boxes(variant: WorkedVariant, boxes: int) -> str:
    minutes = dict(variant.worth.curve).get(boxes)
    return "too few" if minutes is None else minutes_text(minutes)


def _firmness(library: Library, variant: WorkedVariant) -> tuple[str, ...]:
    stable, misfits = variant.worth.stability, variant.worth.misfits
    pairs = [f"{library.faults[one].title} / {library.faults[other].title}" for one, other in variant.alike]
    return (
        capital(step_words(library, stable.id)) if stable.id else "none",
        *(_of_tries(count, stable.tries) for count in (stable.same, stable.close, stable.same_weights)),
        "; ".join(pairs) or "none",
        "; ".join(_after(each.drawn, each.findings) for each in misfits),
        "; ".join(_after(each.random, each.findings) for each in misfits),
    )


def _of_tries(count: int, tries: int) -> str:
    return f"{count} of {tries}" if tries else "not tried"


def _after(share: float, findings: int) -> str:
    return f"{share_text(share)} after {findings} finding{'s' * (findings != 1)}"
