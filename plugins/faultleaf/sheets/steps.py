"""The numbered steps of a card's text, as plain lines."""

from __future__ import annotations

from xml.etree.ElementTree import Element

from markdown import Markdown

from faultleaf.cards import Card
from faultleaf.intake.body import MARKDOWN_EXTENSIONS


def steps_of(card: Card, section: str) -> tuple[str, ...]:
    """The steps under this heading without markup: the items of its lists, else its paragraphs; none without it."""
    part = card.body.section(section)
    if part is None:
        return ()
    root = _tree(part.text)
    items = [item for kind in ("ol", "ul") for found in root.iter(kind) for item in found.findall("li")]
    lines = (" ".join("".join(item.itertext()).split()) for item in items or root.iter("p"))
    return tuple(line for line in lines if line)


def _tree(text: str) -> Element:
    """Markdown's own tree, with links, emphasis and escapes resolved."""
    reader = Markdown(extensions=list(MARKDOWN_EXTENSIONS))
    lines = text.split("\n")
    for before in reader.preprocessors:
        lines = before.run(lines)
    root = reader.parser.parseDocument(lines).getroot()
    if root is None:
        return Element("div")
    for after in reader.treeprocessors:
        changed = after.run(root)
        root = root if changed is None else changed
    return root
