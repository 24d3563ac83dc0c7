"""A worksheet's page: what is put in, what comes out, worked with its first values and ready to be worked anew."""

from collections.abc import Iterable
from dataclasses import dataclass

from markupsafe import Markup

from faultleaf.cards import Library, Worksheet, card_url
from faultleaf.cards.worksheet import WorksheetInput
from faultleaf.pages.common import (
    CautionView,
    Part,
    Provenance,
    caution_views,
    lead_of,
    parts_of,
    provenance,
)
from faultleaf.pages.linked import (
    WaitView,
    WorkedView,
    served_views,
    served_waits,
)
from faultleaf.pages.page import Heading, SitePage, base_of
from faultleaf.pages.render import render_page
from faultleaf.physics import alternatives, unit_named
from faultleaf.worksheets import Worked, measured_text, number_text, work
from faultleaf.worksheets.shown import plain_text


@dataclass(frozen=True)
class UnitView:
    """A unit that a field can be in."""

    name: str
    label: str
    chosen: bool


@dataclass(frozen=True)
class InputView:
    """A field to fill in: its first value, its ±, and where it is read."""

    id: str
    title: str
    where: str
    sensible: str
    value: str
    give: str
    units: tuple[UnitView, ...]
    label: str
    choices: tuple[tuple[str, bool], ...]


@dataclass(frozen=True)
class ResultView:
    """A result, worked with the first values."""

    id: str
    title: str
    sum: str
    value: str
    says: str
    also: str
    units: tuple[UnitView, ...]
    label: str
    meanings: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class WorksheetView:
    """Everything on a worksheet's page."""

    id: str
    title: str
    answers: str
    lead: Markup
    inputs: tuple[InputView, ...]
    results: tuple[ResultView, ...]
    rule: str
    off: str
    serves: tuple[WorkedView, ...]
    waits: tuple[WaitView, ...]
    cautions: tuple[CautionView, ...]
    more: tuple[Part, ...]
    provenance: Provenance


def page_of_worksheet(library: Library, card: Worksheet) -> SitePage:
    """The page of one worksheet."""
    path = card_url(card)
    base = base_of(path)
    worked = work(card.sheet, card.values_with({}))
    view = WorksheetView(
        id=card.id,
        title=card.title,
        answers=card.answers,
        lead=lead_of(card, base),
        inputs=tuple(_input_view(name, each) for name, each in card.inputs.items()),
        results=tuple(_result_view(card, name, worked[name]) for name in card.results),
        rule=card.replaces.rule if card.replaces else "",
        off=card.replaces.off if card.replaces else "",
        serves=served_views(library, card),
        waits=served_waits(library, card),
        cautions=caution_views(library, card.cautions),
        more=parts_of(card, base),
        provenance=provenance(library, card),
    )
    headings = [Heading("put-in", "What you put in"), Heading("comes-out", "What comes out")]
    headings += [Heading("serves", "Tests it serves")] if view.serves or view.waits else []
    headings += [*(part.heading for part in view.more), Heading("numbers", "Where the numbers come from")]
    return render_page(
        "worksheet.html", path, view, library.site,
        title=card.title, description=f"{card.title}: {card.answers}", headings=headings, acts=True,
        group="worksheets", shell="worksheet",
    )  # fmt: skip


def _units(unit: str) -> tuple[UnitView, ...]:
    return tuple(UnitView(name, unit_named(name).label, name == unit) for name in alternatives(unit))


def _input_view(name: str, each: WorksheetInput) -> InputView:
    value, _, give = (each.usual or "").partition("±")
    return InputView(
        name, each.title, each.where, _range_text(each), value.strip(), give.strip(), _units(each.unit),
        unit_named(each.unit).label, tuple((words, words == each.usual) for words in each.choices),
    )  # fmt: skip


def _range_text(each: WorksheetInput) -> str:
    """The sensible range in words, "" for none."""
    label = unit_named(each.unit).label
    if each.choices or (each.least is None and each.most is None):
        return ""
    low = "" if each.least is None else plain_text(each.least)
    high = "" if each.most is None else plain_text(each.most)
    words = f"{low} to {high}" if low and high else f"{low} or more" if low else f"at most {high}"
    return f"Sensible: {words} {label}".rstrip()


def _result_view(card: Worksheet, name: str, worked: Worked) -> ResultView:
    result = card.results[name]
    return ResultView(
        name, result.title, result.sum.text, result_text(card, name, worked), worked.says, worked.also,
        _units(result.unit), unit_named(result.unit).label, tuple(_meanings(result.says.items())),
    )  # fmt: skip


def result_text(card: Worksheet, name: str, worked: Worked) -> str:
    """A result with its ± in its own unit, or why there is none."""
    if worked.value is None:
        return f"cannot be worked out: {worked.reason}"
    result = card.results[name]
    unit = unit_named(result.unit)
    value = unit.from_si(worked.value)
    if worked.give is None:
        return f"{number_text(value, result.digits)} (± cannot be said)"
    return measured_text(value, worked.give / unit.factor, result.digits)


def _meanings(says: Iterable[tuple[str, tuple[float, float]]]) -> Iterable[tuple[str, str]]:
    for words, (low, high) in says:
        if low == float("-inf"):
            yield f"under {plain_text(high)}", words
        elif high == float("inf"):
            yield f"{plain_text(low)} or more", words
        else:
            yield f"{plain_text(low)} to {plain_text(high)}", words
