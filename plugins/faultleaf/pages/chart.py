"""A chart's own page: one sheet, made to be printed on one page of Letter or A4 paper."""

from collections.abc import Iterable
from dataclasses import asdict, dataclass

from markupsafe import Markup

from faultleaf.cards import Library, Symptom, card_url, chart_url
from faultleaf.cards.urls import call_url
from faultleaf.diagnosis import Plan
from faultleaf.layout import OutlineStep
from faultleaf.pages.common import CautionView, Link, by_signal, caution_views, firm_words, sheet_links
from faultleaf.pages.page import SitePage
from faultleaf.pages.render import render_page
from faultleaf.pages.worked import WorkedVariant
from faultleaf.words import capital, ends_text


@dataclass(frozen=True)
class SheetView:
    """Everything on a sheet."""

    title: str
    variant: str
    equipment: tuple[str, ...]
    symptom: Link
    work: Link
    cautions: tuple[tuple[CautionView, ...], ...]
    svg: Markup
    outline: tuple[OutlineStep, ...]
    ends: str
    firm: str
    reviewed: str
    card: str
    call: str
    downloads: tuple[Link, ...]


def chart_page(library: Library, symptom: Symptom, variant: WorkedVariant) -> SitePage:
    """The printable sheet of one symptom and variant."""
    panels = caution_views(library, [*symptom.make_safe, *plan_cautions(library, variant.plan)])
    view = SheetView(
        title=symptom.title,
        variant=capital(variant.name),
        equipment=tuple(library.equipment[feature].values[value].title for feature, value in variant.equipment.items()),
        symptom=Link(symptom.title, card_url(symptom)),
        work=Link("Work this call", call_url(symptom.id, variant.equipment)),
        cautions=by_signal(panels),
        svg=Markup(variant.svg),
        outline=variant.outline,
        ends=ends_text(**asdict(variant.endings)),
        firm=firm_words(library, variant),
        reviewed=symptom.reviewed.isoformat() if symptom.reviewed else "not yet",
        card=f"{symptom.id}, {variant.name}",
        call=library.site.call,
        downloads=sheet_links(symptom, variant),
    )
    title = f"{symptom.title}: {variant.name}"
    return render_page(
        "sheet.html", chart_url(symptom, variant.name), view, library.site,
        title=title, description=f"Flowchart to print: {title}", acts=True, shell="sheet",
    )  # fmt: skip


def plan_cautions(library: Library, plan: Plan) -> Iterable[str]:
    """The cautions of every test and repair that a plan draws, in the order of its boxes."""
    named: dict[str, None] = {}
    for box in plan.boxes:
        for step in box.steps:
            if box.kind == "test" and step in library.tests:
                named |= dict.fromkeys(library.tests[step].cautions)
            elif box.kind == "repair" and (found := library.find_repair(step)):
                named |= dict.fromkeys(found[0].all_cautions)
    return named
