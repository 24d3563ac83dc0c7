"""A finished page, ready for whatever site generator hosts it."""

from dataclasses import dataclass
from typing import Literal

Shell = Literal["card", "wide", "sheet", "call", "worksheet"]
"""`card`: inside the site's frame, with navigation. `wide`: the same over the full width, the
navigation in its drawer. `sheet`: alone, made for paper. `call`: the frame alone, with
the scripts that work a call. `worksheet`: like `card`, with the scripts that work a sum."""


@dataclass(frozen=True)
class Heading:
    """A second-level heading of a page, for its table of contents."""

    id: str
    title: str


@dataclass(frozen=True)
class SitePage:
    """One page: `path` from the site's root ("faults/coil-pinhole.html"), and its article as HTML.

    `acts` is true where the page tells somebody to do something: it must then show the notice.
    `group` is the section of the navigation it stands in, "" for none.
    """

    path: str
    title: str
    description: str
    html: str
    headings: tuple[Heading, ...]
    acts: bool
    group: str
    shell: Shell = "card"

    @property
    def base(self) -> str:
        """The way from this page to the site's root: "" or "../"."""
        return base_of(self.path)


def base_of(path: str) -> str:
    """The way from a page at `path` to the site's root.

    >>> base_of("faults/coil-pinhole.html")
    '../'
    """
    return "../" * path.count("/")
