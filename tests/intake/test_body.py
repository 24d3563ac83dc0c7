"""intake/body.py: sections, markup that may not pass, links with their lines."""

import random
from html.parser import HTMLParser

import markdown
import pytest
from faultleaf.cards import Section
from faultleaf.intake.body import (
    HARMLESS_TAGS,
    MARKDOWN_EXTENSIONS,
    Link,
    find_links,
    html_mistakes,
    link_mistake,
    split_sections,
)


def found(text: str) -> list[tuple[int, str]]:
    """Line and tag of every mistake about markup."""
    prefix = "HTML is not allowed here: "
    return [(mistake.line, mistake.message.removeprefix(prefix)) for mistake in html_mistakes("x.md", text, 1)]


def test_a_body_is_cut_at_its_second_level_headings() -> None:
    text = "Lead.\n\n## Steps\n\n1. One.\n\n### Not here\n\n## Repair\nTwo.\n"
    assert split_sections(text, 10).sections == (
        Section("", "Lead.", 10),
        Section("Steps", "1. One.\n\n### Not here", 12),
        Section("Repair", "Two.", 18),
    )


def test_a_heading_within_fenced_code_is_code() -> None:
    text = "## Steps\n```\n## no heading\n```\n## Repair\n"
    assert [part.title for part in split_sections(text, 1).sections] == ["Steps", "Repair"]


def test_an_empty_body_has_no_section() -> None:
    assert split_sections("\n \n", 5).sections == ()


@pytest.mark.parametrize(
    "text",
    [
        "Press <kbd>Set</kbd>, then H<sub>2</sub>O and 3<sup>rd</sup>.<br>Next<br/>and<br />.",
        "In code: `<script>` and ``a ` <b>`` stay code.",
        "```\n<script>alert(1)</script>\n```\n",
        "~~~html\n<div>\n\n<p>\n~~~\nText",
        "````\n```\n<i>\n````\n",
        "Pressure < 5 psi, level <5 in, and 3 <> 4, a<-b, x <= y.",
        "See <https://example.org/a?b=c> or write to <help@example.org>.",
        "&lt;script&gt; is text.",
    ],
)
def test_what_is_harmless_may_stay(text: str) -> None:
    assert found(text) == []


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("<b>x</b>", [(1, "<b>")]),
        ("x</b>", [(1, "</b>")]),
        ("a\n\n<SCRIPT SRC=x>", [(3, "<script>")]),
        ("<br onclick=x>", [(1, "<br onclick=…>")]),
        ("<br/onclick=x>", [(1, "<br onclick=…>")]),
        ("</sub onclick=x>", [(1, "<sub onclick=…>")]),
        ("<img/src=x/onerror=alert(1)//@>", [(1, "<img>")]),
        ("<img/onerror=alert(1)/x://>", [(1, "<img>")]),
        ("<javascript://x>", [(1, "<javascript:>")]),
        ("text <level", [(1, "<level, which is never closed")]),
        ("<!-- x\n\n-->", [(1, "a comment")]),
        ("<?xml?>", [(1, "a processing instruction")]),
        ("`` a ` <b>", [(1, "<b>")]),
        ("` a\n`<b>`", [(2, "<b>")]),
        ("\\`<b>\\`", [(1, "<b>")]),
        ("<scr`x`ipt>", [(1, "<scr>")]),
        ("```\n<b>\n", [(2, "<b>")]),
        ("```\n<b>\n  ```\n", [(2, "<b>")]),
        ("```\n<b>\n````\n", [(2, "<b>")]),
        ("``` <b>\n```\n", [(1, "<b>")]),
        ("```\n  ```\n```\n<i>\n```\n", [(4, "<i>")]),
        ("  ```\n<b>\n  ```\n", [(2, "<b>")]),
    ],
)
def test_markup_that_a_browser_could_act_on_is_found(text: str, expected: list[tuple[int, str]]) -> None:
    assert found(text) == expected


SOUP = (
    "<script>", "</script>", "<b onclick=x>", "<br>", "<i", "<!--", "-->", "<kbd>", "</kbd>", "`", "``", "```\n",
    "\n```\n", "~~~\n", "\n~~~\n", "\\", "\n", "\n\n", "- ", "> ", "    ", "| ", "a ", "word", ">", "<", "&lt;", "[a](",
    ")", "* ", "1. ", "\n\n    ",
)  # fmt: skip
OWN_TAGS = {
    "a", "blockquote", "code", "em", "h1", "h2", "hr", "img", "li", "ol", "p", "pre", "strong", "table", "tbody", "td",
    "th", "thead", "tr", "ul", *HARMLESS_TAGS,
}  # fmt: skip
"""Every tag that Markdown itself makes of the soup."""


class Tags(HTMLParser):
    """Gathers what a reader of the rendered page would take for tags."""

    def __init__(self) -> None:
        super().__init__()
        self.odd: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag not in OWN_TAGS or any(name.startswith("on") for name, _ in attrs):
            self.odd.append(tag)

    def handle_comment(self, data: str) -> None:
        self.odd.append(f"comment {data}")


def test_where_nothing_is_found_nothing_foreign_is_rendered() -> None:
    """The law behind the scan: markup it does not see is markup that no renderer passes on."""
    chance = random.Random(20261125)
    clean = 0
    for _ in range(1500):
        text = "".join(chance.choices(SOUP, k=chance.randint(1, 14)))
        if found(text):
            continue
        clean += 1
        tags = Tags()
        tags.feed(markdown.markdown(text, extensions=list(MARKDOWN_EXTENSIONS)))
        assert tags.odd == [], text
    assert clean > 300


def test_links_are_found_with_the_line_of_each_use() -> None:
    text = "See ../tests/a.md.\n\n[one](../tests/a.md) and\n[two](../tests/a.md)\n![p](p.svg) [three][r]\n\n[r]: b.md\n"
    assert find_links(text, 10) == [
        Link("../tests/a.md", 12, False),
        Link("../tests/a.md", 13, False),
        Link("p.svg", 14, True),
        Link("b.md", 16, False),
    ]


def test_a_link_in_code_is_no_link() -> None:
    assert find_links("`[a](b.md)`\n\n```\n[a](b.md)\n\n[a](c.md)\n```\n", 1) == []


def test_a_text_without_links_has_none() -> None:
    assert find_links("Plain text (with brackets) [and more].", 1) == []


@pytest.mark.parametrize("address", ["../tests/hold.md", "valve.md", "valve.md#repair", "#top", "../tests/ho%6Cd.md"])
def test_links_to_cards_are_right(address: str) -> None:
    known = frozenset({"tests/hold.md", "faults/valve.md"})
    assert link_mistake("x.md", "faults", Link(address, 1, False), known) is None


@pytest.mark.parametrize("address", ["https://example.org", "HTTP://example.org", "mailto:a@example.org"])
def test_links_to_the_web_are_right(address: str) -> None:
    assert link_mistake("x.md", "faults", Link(address, 1, False), frozenset()) is None
