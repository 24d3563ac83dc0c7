"""Every page of a built site, read by a strict reader of HTML."""

from collections.abc import Iterator

import html5lib
from html5lib.constants import E as MEANINGS


def audit_html(name: str, text: str) -> Iterator[str]:
    """Every parse error that the HTML standard (WHATWG, 13.2 "Parsing HTML documents") names, with its line."""
    parser = html5lib.HTMLParser()
    parser.parse(text)
    for (line, _), code, values in parser.errors:
        yield f"{name}:{line}: {MEANINGS[code] % values}"
