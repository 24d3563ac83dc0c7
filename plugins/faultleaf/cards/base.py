"""What every card is made of: its body, and the base of all models.

The folder decides a card's kind and the file name is its id, so neither stands in the front matter.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import ClassVar

from pydantic import BaseModel, ConfigDict, Field

from faultleaf.cards.names import Provenance, Reference, SourceId, references_in
from faultleaf.cards.text import Text
from faultleaf.cards.values import Date, Line, Slug, Truth


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
    sources: tuple[SourceId, ...] = Field((), description="Ids from sources.yml behind what this card says")
    reviewed: Date | None = Field(None, description="Day of the last review by somebody of the trade")

    def references(self) -> Iterator[Reference]:
        """Every other card that this card names."""
        return references_in(self)


class Numbered(Card):
    """A card with numbers in it, which must say where they come from."""

    basis: Provenance | None = Field(None, description="Where this card's numbers come from")
    basis_of: Mapping[str, Provenance] = Field({}, description="Fields whose numbers come from elsewhere")
