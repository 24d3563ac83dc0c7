"""A card's text → nested lists that the browser builds elements from, so that no text is ever read as markup.

An element is [tag, child, child …]; a link is ["a", address, child …]; a child is a text or an element.
Only tags of a short list come through; of any other the children alone are kept.
"""

from __future__ import annotations

from faultleaf.cards.text import TAGS, Text
from faultleaf.cards.urls import text_url

Tree = str | list["Tree"]


def tree_of(text: Text, folder: str) -> list[Tree]:
    """The text as the page that works a call builds it; its links, of a card in `folder`, count from the site's root.

    >>> from faultleaf.cards.text import Node
    >>> tree_of((Node("ol", (Node("li", ("Shut the ", Node("strong", ("upper",)), " cock.")),)),), "tests")
    [['ol', ['li', 'Shut the ', ['strong', 'upper'], ' cock.']]]
    """
    made: list[Tree] = []
    for node in text:
        if isinstance(node, str):
            made.append(node)
        elif node.tag in TAGS:
            address = [text_url(node.address, folder, "")] if node.tag == "a" else []
            made.append([node.tag, *address, *tree_of(node.children, folder)])
        else:
            made += tree_of(node.children, folder)
    return made
