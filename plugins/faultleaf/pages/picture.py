"""A picture's page: the picture, what it shows in words, where it comes from, and the parts that it belongs to."""

from dataclasses import dataclass

from faultleaf.cards import Library, Picture, card_url
from faultleaf.cards.urls import picture_url
from faultleaf.pages.common import Link, Part, link_to, parts_of
from faultleaf.pages.page import SitePage, base_of
from faultleaf.pages.render import render_page


@dataclass(frozen=True)
class PictureView:
    """A picture with its words."""

    title: str
    file: str
    alt: str
    credit: str
    url: str
    parts: tuple[Part, ...] = ()
    shown_at: tuple[Link, ...] = ()


def picture_view(picture: Picture) -> PictureView:
    """The picture as it stands on the page of a part."""
    credit = f"{picture.credit}; {picture.licence}"
    return PictureView(picture.title, picture_url(picture), picture.alt, credit, card_url(picture))


def page_of_picture(library: Library, picture: Picture) -> SitePage:
    """The page of one picture."""
    path = card_url(picture)
    base = base_of(path)
    seen = picture_view(picture)
    shown_at = tuple(link_to(part) for part in library.components.values() if picture.id in part.pictures)
    parts = (*parts_of(picture, base, ("",)), *parts_of(picture, base))
    view = PictureView(seen.title, seen.file, seen.alt, seen.credit, seen.url, parts, shown_at)
    return render_page(
        "picture.html", path, view, library.site,
        title=picture.title, description=picture.alt,
        headings=[part.heading for part in parts if part.heading.title], acts=False,
    )  # fmt: skip
