"""What every card is made of: its body, its references, and the base of all models.

The folder decides a card's kind and the file name is its id, so neither stands in the front matter.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import ClassVar

from pydantic import BaseModel, ConfigDict, Field

from faultleaf.cards.mistakes import Loc
from faultleaf.cards.text import Text
from faultleaf.cards.values import Basis, Date, Line, Slug, Truth


@dataclass(frozen=True)
class Section:
    """A stretch of a card's text under one second-level heading ("" before the first)."""

    title: str
    text: Text
    line: int


@dataclass(frozen=True)
class Body:
    """The text below the front matter, cut at its second-level headings."""

    sections: tuple[Section, ...] = ()

    def section(self, title: str) -> Section | None:
        """The section with this heading, or None."""
        return next((part for part in self.sections if part.title == title), None)


@dataclass(frozen=True)
class Reference:
    """A field that names another card: its place, the kind, the id, the outcomes (or values) named with it."""

    loc: Loc
    kind: str
    target: str
    outcomes: tuple[str, ...] = ()


class Model(BaseModel):
    """Base of everything an author writes: frozen, and no field that we do not know."""

    model_config = ConfigDict(frozen=True, extra="forbid", arbitrary_types_allowed=True)


class Card(Model):
    """What every kind of card has."""

    kind: ClassVar[str]
    folder: ClassVar[str]
    sections: ClassVar[tuple[str, ...]] = ()
    """Headings that this kind's pages know where to put; others are shown below them."""

    id: str
    body: Body = Body()
    title: Line = Field(description="The name people read; sentence case, no full stop")
    formerly: tuple[Slug, ...] = Field((), description="Ids this card had before, so that old links live on")
    supersedes: Truth = Field(False, description="yes: it stands in the place of the library's card of the same id")
    sources: tuple[Slug, ...] = Field((), description="Ids from sources.yml behind what this card says")
    reviewed: Date | None = Field(None, description="Day of the last review by somebody of the trade")

    def references(self) -> Iterator[Reference]:
        """Every other card that this card names."""
        yield from named((), "source", "sources", self.sources)


def named(loc: Loc, kind: str, field: str, ids: tuple[str, ...]) -> Iterator[Reference]:
    """A reference for each id in a list; `loc` is where the field stands in its card."""
    for index, target in enumerate(ids):
        yield Reference((*loc, field, index), kind, target)


def keyed(loc: Loc, kind: str, field: str, mapping: Mapping[str, tuple[str, ...]]) -> Iterator[Reference]:
    """A reference for each id that is a key of a mapping, with the outcomes (or values) named there."""
    for target, outcomes in mapping.items():
        yield Reference((*loc, field, target), kind, target, outcomes)


def basis_reference(loc: Loc, basis: str | None) -> Reference | None:
    """What a basis names, where it is `source ID` or `worksheet ID`."""
    kind, _, target = (basis or "").partition(" ")
    return Reference(loc, kind, target) if kind in ("source", "worksheet") else None


class Numbered(Card):
    """A card with numbers in it, which must say where they come from."""

    basis: Basis | None = Field(None, description="Where this card's numbers come from")
    basis_of: Mapping[str, Basis] = Field({}, description="Fields whose numbers come from elsewhere")

    def references(self) -> Iterator[Reference]:
        yield from super().references()
        bases: dict[Loc, str] = {("basis_of", field): text for field, text in self.basis_of.items()}
        for loc, text in {("basis",): self.basis or "", **bases}.items():
            if reference := basis_reference(loc, text):
                yield reference
