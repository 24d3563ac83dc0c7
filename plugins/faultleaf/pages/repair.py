"""The page of a fault's repair, to do by: what must be proved before, cautions, steps, the proof over days."""

from dataclasses import dataclass

from faultleaf.cards import Fault, Library, Repair, card_url
from faultleaf.cards.urls import repair_url
from faultleaf.pages.common import CautionView, Dots, Link, Part, caution_views, link_to, often, parts_of
from faultleaf.pages.drawn import Drawings, DrawnView
from faultleaf.pages.page import Heading, SitePage, base_of
from faultleaf.pages.render import render_page
from faultleaf.words import equipment_text, minutes_text, often_text, rank_text


@dataclass(frozen=True)
class RepairView:
    """One repair and its proof."""

    title: str
    takes: str
    who: str
    fixes: Dots
    quote: bool
    mends: tuple[Link, ...]
    only_on: str
    parts: tuple[str, ...]
    prove_first: tuple[str, ...]
    also_fixes: tuple[Link, ...]
    proof: Link
    looks: tuple[tuple[str, str], ...]
    holds_when: str


@dataclass(frozen=True)
class RepairPageView:
    """Everything on the page: the repairs of one fault have their steps in common."""

    title: str
    fault: Link
    repairs: tuple[RepairView, ...]
    cautions: tuple[CautionView, ...]
    steps: tuple[Part, ...]
    call: str
    drawn: DrawnView | None


def page_of_repair(library: Library, drawings: Drawings, fault: Fault) -> SitePage:
    """The page of a fault's repair or repairs."""
    path = repair_url(fault)
    proofs = [library.proofs[repair.proof] for repair in fault.all_repairs]
    named = [*fault.all_cautions, *(name for proof in proofs for name in proof.cautions)]
    repairs = tuple(_repair_view(library, repair) for repair in fault.all_repairs)
    view = RepairPageView(
        title=repairs[0].title if len(repairs) == 1 else f"Repairs: {fault.title}",
        fault=Link(fault.title, card_url(fault), fault.cue or ""),
        repairs=repairs,
        cautions=caution_views(library, named),
        steps=parts_of(fault, base_of(path), ["Repair"]),
        call=library.site.call,
        drawn=drawings.of(fault.component),
    )
    headings = [Heading("steps", "Steps")] if view.steps else []
    return render_page(
        "repair.html", path, view, library.site,
        title=f"Repair: {fault.title}", description=f"{fault.title}: its repair, step by step, and the proof.",
        headings=[*headings, Heading("proof", "Proof over days")], acts=True,
    )  # fmt: skip


def _repair_view(library: Library, repair: Repair) -> RepairView:
    proof = library.proofs[repair.proof]
    over = f", the last look after {minutes_text(proof.over)}" if proof.over else ""
    return RepairView(
        title=repair.title,
        takes=minutes_text(repair.takes),
        who=rank_text(repair.who),
        fixes=often(repair.fixes),
        quote=repair.quote,
        mends=tuple(link_to(library.tests[name]) for name in repair.mends),
        only_on=equipment_text(library, repair.found_on),
        parts=repair.parts,
        prove_first=repair.prove_first,
        also_fixes=tuple(link_to(library.faults[n], often_text(s), often(s)) for n, s in repair.also_fixes.items()),
        proof=link_to(proof, f"{minutes_text(proof.takes)} hands-on in all{over}"),
        looks=tuple((look.when, look.see) for look in proof.looks),
        holds_when=proof.holds_when,
    )
