"""The numbered steps of a card's text, as runs of letters for the press."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby
from typing import Final

from faultleaf.cards import Card
from faultleaf.cards.text import INLINE, Node, Text, every

STYLES: Final = {"strong": "strong", "em": "strong", "sub": "sub", "sup": "sup"}
"""Marks that a sheet can show; its font has no slant, so what is emphasised is bold."""

Step = list[list[str]]
"""One step: runs of text, each as its style ("" for none) and its letters."""


def steps_of(card: Card, section: str) -> list[Step]:
    """The steps under this heading: the items of its lists, else its paragraphs; none without it."""
    part = card.body.section(section)
    if part is None:
        return []
    lists = [node for node in part.text if isinstance(node, Node) and node.tag in ("ol", "ul")]
    items = [item for found in lists for item in found.children if isinstance(item, Node)]
    steps = (_step(item.children) for item in items or every(part.text, "p"))
    return [step for step in steps if step]


def _step(text: Text) -> Step:
    """The runs, those of one style together, with one blank for any white space."""
    runs, apart = list[list[str]](), False
    for style, group in groupby(_runs(text, ""), key=lambda run: run[0]):
        letters = "".join(piece for _, piece in group)
        words = " ".join(letters.split())
        if words and runs and (apart or letters[:1].isspace()):
            words = " " + words
        apart = letters[-1:].isspace() or (apart and not words)
        if words:
            runs.append([style, words])
    return runs


def _runs(text: Text, style: str) -> Iterator[tuple[str, str]]:
    for node in text:
        if isinstance(node, str):
            yield style, node
        elif node.tag in INLINE:
            yield from _runs(node.children, STYLES.get(node.tag, style))
        else:
            yield style, " "
            yield from _runs(node.children, style)
            yield style, " "
