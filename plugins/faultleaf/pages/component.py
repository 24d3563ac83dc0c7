"""A component's page: what it does, where to find it, what goes wrong with it, how it is tested."""

from dataclasses import dataclass

from faultleaf.cards import Component, Library, card_url
from faultleaf.pages.common import Link, Part, Provenance, common, link_to, parts_of, provenance
from faultleaf.pages.drawn import Drawings, DrawnView
from faultleaf.pages.page import Heading, SitePage, base_of
from faultleaf.pages.picture import PictureView, picture_view
from faultleaf.pages.render import render_page
from faultleaf.words import equipment_text


@dataclass(frozen=True)
class ComponentView:
    """Everything on a component's page."""

    title: str
    also_called: tuple[str, ...]
    part_of: Link | None
    holds: tuple[Link, ...]
    only_on: str
    parts: tuple[Part, ...]
    drawn: DrawnView | None
    pictures: tuple[PictureView, ...]
    faults: tuple[Link, ...]
    tests: tuple[Link, ...]
    provenance: Provenance


def page_of_component(library: Library, drawings: Drawings, component: Component) -> SitePage:
    """The page of one component."""
    path = card_url(component)
    base = base_of(path)
    faults = [fault for fault in library.faults.values() if fault.component == component.id]
    faults.sort(key=lambda fault: (-fault.how_common, fault.title))
    tests = dict.fromkeys(name for fault in faults for name in fault.named_tests)
    view = ComponentView(
        title=component.title,
        also_called=component.also_called,
        part_of=link_to(library.components[component.part_of]) if component.part_of else None,
        holds=tuple(link_to(other) for other in library.components.values() if other.part_of == component.id),
        only_on=equipment_text(library, component.found_on),
        parts=(*parts_of(component, base, component.sections), *parts_of(component, base)),
        drawn=drawings.of(component.id),
        pictures=tuple(picture_view(library.pictures[name]) for name in component.pictures),
        faults=tuple(link_to(fault, fault.cue or "", common(fault.how_common)) for fault in faults),
        tests=tuple(link_to(library.tests[name], library.tests[name].asks) for name in tests),
        provenance=provenance(library, component),
    )
    headings = [part.heading for part in view.parts]
    headings += [Heading("faults", "What goes wrong with it")] if faults else []
    headings += [Heading("tests", "Tests that speak of it")] if tests else []
    return render_page(
        "component.html", path, view, library.site,
        title=component.title, description=f"{component.title}: what it does and what goes wrong with it.",
        headings=headings, acts=True, group="components",
    )  # fmt: skip
