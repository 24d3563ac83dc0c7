"""Whether the links of a card's text lead anywhere."""

import posixpath
from collections.abc import Mapping
from typing import Final
from urllib.parse import SplitResult, unquote, urlsplit

from faultleaf.cards.mistakes import Mistake, did_you_mean, quoted
from faultleaf.cards.text import Node

LINK_SCHEMES: Final = ("http", "https", "mailto")


def link_mistake(
    path: str, folder: str, link: Node, known: frozenset[str], renamed: Mapping[str, str] | None = None
) -> Mistake | None:
    """What is wrong with a link of a card in `folder`.

    `known` are the files links may lead to, `renamed` those that have another name today.
    """

    def mistake(code: str, message: str, hint: str) -> Mistake:
        return Mistake(path, link.line, "body", message, hint, code)

    address = quoted(link.address)
    if link.tag == "img":
        hint = "Make it a card in pictures/ and name it in the component's 'pictures'."
        return mistake("picture-in-text", f"the picture {address} stands in the text", hint)
    parts = _split(link.address)
    if parts is None:
        return mistake("bad-link", f"{address} is not a web address", "")
    if parts.scheme:
        if parts.scheme.lower() in LINK_SCHEMES:
            return None
        return mistake("link-scheme", f"links with '{parts.scheme}:' are not allowed", "Use http or https.")
    target = posixpath.normpath(posixpath.join(folder, unquote(parts.path))) if parts.path else ""
    if parts.netloc or link.address.startswith(("/", "\\")) or target.startswith(".."):
        return mistake("path-outside", f"the link {address} leads outside the content folder", "")
    if target and target not in known:
        today = (renamed or {}).get(target)
        general = f"Link to a card's file, as in '../tests/ID.md' from '{folder}/'."
        near = (
            f"It is called '{today}' now."
            if today
            else did_you_mean(
                posixpath.relpath(target, folder), {posixpath.relpath(name, folder) for name in known}, general
            )
        )
        return mistake("dead-link", f"the link {address} leads to no card", near)
    return None


def _split(address: str) -> SplitResult | None:
    try:
        return urlsplit(address)
    except ValueError:  # a bracket that closes no IPv6 address, and the like
        return None
