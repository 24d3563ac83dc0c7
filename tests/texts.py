"""A text as intake reads it, for tests of what is made of texts."""

from faultleaf.cards.text import Text
from faultleaf.intake.text import read_body


def text_of(markdown: str) -> Text:
    """The tree of a text without second-level headings; what intake would refuse is in it too."""
    body, _ = read_body("x.md", markdown, 1)
    return body.sections[0].text if body.sections else ()
