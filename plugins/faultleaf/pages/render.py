"""Templates → page text. Knows Jinja and nothing of what is in a view."""

from collections.abc import Iterable
from functools import cache
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined

from faultleaf.cards import SiteValues
from faultleaf.pages.page import Heading, Shell, SitePage, base_of


@cache
def _environment() -> Environment:
    return Environment(
        loader=PackageLoader("faultleaf.pages", "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )


def render_page(
    template: str,
    path: str,
    view: Any,
    site: SiteValues,
    *,
    title: str,
    description: str,
    headings: Iterable[Heading] = (),
    acts: bool = False,
    group: str = "",
    shell: Shell = "card",
) -> SitePage:
    """The page that `template` makes of `view`; templates find the site's root as `base`."""
    html = _environment().get_template(template).render(view=view, site=site, base=base_of(path), title=title)
    return SitePage(path, title, description, html, tuple(headings), acts, group, shell)


def render_part(template: str, path: str, view: Any) -> str:
    """A part of the page at `path`."""
    return _environment().get_template(template).render(view=view, base=base_of(path))
