"""Hostile text in every field of every card changes no element and no attribute of any page.

Intake refuses such lines; here they are put into the library behind its back, so that the templates, the
drawings and the lists are each asked alone whether they escape.
"""

from pathlib import Path

import pytest
from bs4 import BeautifulSoup, Tag
from faultleaf.pages import SitePage

from tests.library import make_library
from tests.pages.samples import EVERYTHING, MARK, pages_of, with_text

PAYLOADS = {
    "tag": "<script>x()</script>",
    "out of an attribute": "\"><img src=x onerror='x()'>",
    "out of single quotes": "' onmouseover='x()' x='",
    "handler without tag": '" onfocus=x() autofocus="',
    "end tags": "</title></desc></text></svg></p>",
    "comment": "<!-- <b>",
    "entities": "&lt;b&gt;&quot;&#x3C;i&#62;",
    "template": "{{ view }}{% raw %}{#",
    "markdown": "**b** [a](javascript:x) `",
    "marks of ours": "@@x@@ %s {0} \\u003c",
}


def pages(tmp: Path, text: str) -> list[SitePage]:
    return list(pages_of(with_text(make_library(tmp, EVERYTHING), text)).values())


@pytest.fixture(scope="module")
def plain(tmp_path_factory: pytest.TempPathFactory) -> list[SitePage]:
    return pages(tmp_path_factory.mktemp("plain"), "")


def skeleton(html: str) -> tuple[list[tuple[str, ...]], set[tuple[str, ...]]]:
    """The elements with their attributes' names in order; those inside drawings, whose lines wrap, as a set."""
    soup = BeautifulSoup(html, "html.parser")
    drawn = {shape(tag) for svg in soup.find_all("svg") for tag in svg.find_all(True)}
    for svg in soup.find_all("svg"):
        svg.clear()
    return [shape(tag) for tag in soup.find_all(True)], drawn


def shape(tag: Tag) -> tuple[str, ...]:
    return (tag.name, *sorted(tag.attrs))


@pytest.mark.parametrize("text", PAYLOADS.values(), ids=PAYLOADS)
def test_text_is_shown_as_it_is_and_nothing_comes_of_it(text: str, plain: list[SitePage], tmp_path: Path) -> None:
    for page, same in zip(pages(tmp_path, text), plain, strict=True):
        (elements, drawn), (expected, drawable) = skeleton(page.html), skeleton(same.html)
        assert elements == expected, page.path
        assert drawn <= drawable, page.path
        assert "<!--" not in page.html
        shown = BeautifulSoup(page.html, "html.parser").get_text()
        assert "".join(text.split()).lower() in "".join(shown.split()).lower(), page.path
        assert not set("<>\"'&{} ") & set(page.path)


def test_every_line_of_the_sample_carries_the_mark(tmp_path: Path) -> None:
    """Else the tests above would look at nothing: on every page stand several marked lines."""
    for page in pages(tmp_path, "§"):
        assert page.html.count(MARK) >= 4, page.path


def test_the_ruler_sees_what_is_wrong() -> None:
    assert skeleton("<p>a</p>") != skeleton("<p>a<b></p>")
    assert skeleton("<p>a</p>") != skeleton('<p x="">a</p>')
    assert skeleton("<svg><g/></svg>")[1] != skeleton("<svg><g/><a/></svg>")[1]
