"""What a library says beside its cards: equipment.yml, sources.yml, callers.yml and site.yml."""

from collections.abc import Mapping

from pydantic import Field

from faultleaf.cards.models import Model
from faultleaf.cards.names import PictureId, Provenance
from faultleaf.cards.short import Short
from faultleaf.cards.values import Date, Line, Minutes, Probability, Slug, Truth, WebAddress, Work, Year


class EquipmentValue(Model):
    """One way a feature can be, with its share among systems."""

    title: Line
    share: Probability
    also_said: tuple[Line, ...] = Field((), description="What callers say who have it, in their own words")


class Feature(Model):
    """A feature of the system at hand, from equipment.yml."""

    id: str
    title: Line
    asks: Line = Field(description="The question that settles it")
    how: Line | None = Field(None, max_length=90, description="How to see it, in at most 90 characters")
    short: Short | None = Field(None, description="The same in the few words that a printed sheet has room for")
    values: Mapping[Slug, EquipmentValue] = Field(min_length=2)
    basis: Provenance | None = None


class Source(Model):
    """A published source, from sources.yml."""

    id: str
    title: Line
    by: Line | None = Field(None, description="Body or authors")
    year: Year | None = None
    part: Line | None = Field(None, description="Section, table or clause")
    seen: Line = Field(description="'read' or 'from memory'")
    address: Line | None = Field(None, description="Web address, http or https")
    note: Line | None = None


class Notion(Model):
    """One thing that callers say in many words, from callers.yml."""

    id: str
    said: tuple[Line, ...] = Field(min_length=1, description="Words and short phrases that mean the same to a listener")
    elsewhere: Truth = Field(False, description="yes: words of another trade; whoever says one means none of ours")


class LocalNotice(Model):
    """A jurisdiction's own notice, with its date and source."""

    place: Line
    text: Line
    source: Line
    date: Date


class SiteValues(Model):
    """Values of the whole site, from site.yml."""

    title: Line = Field("Faultleaf", description="Name on pages and papers; mkdocs.yml's site_name unless told")
    invented: Line | None = Field(None, description="Said on every page where the site is made up")
    return_visit: Work = Field(60.0, description="What coming back another day costs")
    telephone_call: Work = Field(10.0, description="What a reading that the owner telephones costs")
    hand_on: Work = Field(240.0, description="What handing the call on costs beside the repair that is owed")
    review_every: Minutes = Field(730 * 1440.0, description="How long a review holds")
    notice: Line = Field(
        "Local code, the authority having jurisdiction and the maker's printed instructions prevail over "
        "this page. Work only within your licence and training.",
        description="The local-code notice of every page that tells somebody to act",
    )
    notices: tuple[LocalNotice, ...] = Field((), description="Notices of jurisdictions, each with its date and source")
    call: Line = Field("a licensed boiler contractor", description="Whom to call when a chart hands on")
    address: WebAddress | None = Field(None, description="The site's own web address, for the code on printed sheets")
    firm: Line | None = Field(None, max_length=40, description="The firm whose name stands on printed sheets")
    mark: PictureId | None = Field(None, description="The firm's mark on printed sheets: the id of a picture card")
    telephone: Line | None = Field(None, max_length=30, description="The firm's telephone, for printed sheets")

    @property
    def dial(self) -> str:
        """The telephone as a link dials it: digits, and a plus sign before them."""
        return "".join(char for char in self.telephone or "" if char.isdigit() or char == "+")

    @property
    def review_days(self) -> int:
        """How many days a review holds."""
        return round(self.review_every / 1440)
