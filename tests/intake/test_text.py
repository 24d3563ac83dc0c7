"""intake/text.py and links.py: sections, markup that may not pass, links with their lines."""

import random

import pytest
from faultleaf.cards.text import TAGS, Node, every, words_of
from faultleaf.intake.links import link_mistake
from faultleaf.intake.text import read_body


def found(text: str) -> list[tuple[int, str]]:
    """Line and tag of every mistake about markup."""
    prefix = "HTML is not allowed here: "
    return [(mistake.line, mistake.message.removeprefix(prefix)) for mistake in read_body("x.md", text, 1)[1]]


def sections(text: str, first_line: int = 1) -> list[tuple[str, str, int]]:
    """Title, words and line of every section."""
    return [(part.title, words_of(part.text), part.line) for part in read_body("x.md", text, first_line)[0].sections]


def links(text: str, first_line: int = 1) -> list[tuple[str, int, str]]:
    """Address, line and tag of every link and picture."""
    body = read_body("x.md", text, first_line)[0]
    return [(link.address, link.line, link.tag) for part in body.sections for link in every(part.text, "a", "img")]


def test_a_body_is_cut_at_its_second_level_headings() -> None:
    text = "Lead.\n\n## Steps\n\n1. One.\n\n### Not here\n\n## Repair ##\nTwo.\n"
    assert sections(text, 10) == [("", "Lead.", 10), ("Steps", "One. Not here", 12), ("Repair", "Two.", 18)]


def test_a_heading_within_fenced_code_is_code() -> None:
    assert [title for title, _, _ in sections("## Steps\n```\n## no heading\n```\n## Repair\n")] == ["Steps", "Repair"]


def test_dashes_below_a_line_make_no_heading_of_it() -> None:
    assert sections("Shut it.\n---\nWait.\n\n> ## In a quote\n") == [("", "Shut it. Wait. In a quote", 1)]


def test_an_empty_body_has_no_section() -> None:
    assert sections("\n \n", 5) == []


def test_a_text_nested_too_deep_is_a_mistake_and_loses_nothing_before_that() -> None:
    ten = "".join("   " * depth + "1. a\n" for depth in range(10))
    assert read_body("x.md", ten, 7)[1] == []
    assert words_of(read_body("x.md", ten, 7)[0].sections[0].text) == " ".join("a" * 10)
    (mistake,) = read_body("x.md", "> " * 21 + "a", 7)[1]
    assert (mistake.code, mistake.line) == ("too-deep", 7)


@pytest.mark.parametrize(
    "text",
    [
        "Press <kbd>Set</kbd>, then H<sub>2</sub>O and 3<sup>rd</sup>.<br>Next<br/>and<br />.",
        "In code: `<script>` and ``a ` <b>`` stay code.",
        "```\n<script>alert(1)</script>\n```\n",
        "~~~html\n<div>\n\n<p>\n~~~\nText",
        "````\n```\n<i>\n````\n",
        "```\n<b>\n  ```\n",
        "``` <b>\n```\n",
        "  ```\n<b>\n",
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
        ("text <level", [(1, "<level, which is never closed")]),
        ("<!-- x\n\n-->", [(1, "a comment")]),
        ("<?xml?>", [(1, "a processing instruction")]),
        ("`` a ` <b>", [(1, "<b>")]),
        ("` a\n`<b>`", [(2, "<b>")]),
        ("\\`<b>\\`", [(1, "<b>")]),
        ("<scr`x`ipt>", [(1, "<scr>")]),
    ],
)
def test_markup_that_a_browser_could_act_on_is_found(text: str, expected: list[tuple[int, str]]) -> None:
    assert found(text) == expected


SOUP = (
    "<script>", "</script>", "<b onclick=x>", "<br>", "<i", "<!--", "-->", "<kbd>", "</kbd>", "`", "``", "```\n",
    "\n```\n", "~~~\n", "\n~~~\n", "\\", "\n", "\n\n", "- ", "> ", "    ", "| ", "a ", "\n\nword\n\n", ">", "<", "&lt;",
    "[a](", ")", "* ", "1. ", "\n\n    ",
)  # fmt: skip


def test_every_text_becomes_a_tree_that_holds_its_words_and_known_tags_alone() -> None:
    """Whatever is written: no tag but those of Markdown, all lines in the text, no word lost."""
    chance = random.Random(20261125)
    for _ in range(1500):
        text = "".join(chance.choices(SOUP, k=chance.randint(1, 14)))
        body, _ = read_body("x.md", text, 1)
        nodes = [node for part in body.sections for node in every(part.text, *TAGS, "h1", "h2", "img", "link")]
        assert all(1 <= node.line <= text.count("\n") + 1 for node in nodes), text
        assert sum(words_of(part.text).count("word") for part in body.sections) == text.count("word"), text


def test_where_nothing_is_found_no_letter_of_markup_is_left() -> None:
    """The law behind the mistakes: outside code and escapes nothing is left that a browser would begin a tag with."""
    chance = random.Random(20261126)
    clean = 0
    for _ in range(3000):
        text = "".join(piece for piece in chance.choices(SOUP, k=chance.randint(1, 14)) if "`" not in piece)
        if "~" in text or "\\" in text or "&" in text or "    " in text or found(text):
            continue
        clean += 1
        words = " ".join(words_of(part.text) for part in read_body("x.md", text, 1)[0].sections)
        assert not any(f"<{mark}" in words for mark in ("script", "/script", "b", "i", "!--")), text
    assert clean > 300


def test_tags_closed_in_the_wrong_order_are_closed_with_what_holds_them() -> None:
    (paragraph,) = read_body("x.md", "**a <kbd>b** c</kbd></sub> <sub>d", 1)[0].sections[0].text
    kbd = Node("kbd", ("b",), 1)
    assert paragraph == Node("p", (Node("strong", ("a ", kbd), 1), " c ", Node("sub", ("d",), 1)), 1)


def test_links_are_found_with_the_line_of_each_use_and_references_with_that_of_their_address() -> None:
    text = "See ../tests/a.md.\n\n[one](../tests/a.md) and\n[two](../tests/a.md)\n![p](p.svg) [three][r]\n\n[r]: b.md\n"
    assert links(text, 10) == [
        ("../tests/a.md", 12, "a"), ("../tests/a.md", 13, "a"), ("p.svg", 14, "img"), ("b.md", 16, "a"),
    ]  # fmt: skip


def test_lines_are_counted_past_code_that_runs_over_them() -> None:
    assert links("- a `b\n  c` and\n  [one](a.md)\n\n| x |\n|---|\n| [two](b.md) |\n") == [
        ("a.md", 3, "a"),
        ("b.md", 7, "a"),
    ]


def test_a_link_in_code_is_no_link() -> None:
    assert links("`[a](b.md)`\n\n```\n[a](b.md)\n\n[a](c.md)\n```\n") == []


def test_a_text_without_links_has_none() -> None:
    assert links("Plain text (with brackets) [and more].") == []


@pytest.mark.parametrize("address", ["../tests/hold.md", "valve.md", "valve.md#repair", "#top", "../tests/ho%6Cd.md"])
def test_links_to_cards_are_right(address: str) -> None:
    known = frozenset({"tests/hold.md", "faults/valve.md"})
    assert link_mistake("x.md", "faults", Node("a", ("x",), 1, address), known) is None


@pytest.mark.parametrize("address", ["https://example.org", "HTTP://example.org", "mailto:a@example.org"])
def test_links_to_the_web_are_right(address: str) -> None:
    assert link_mistake("x.md", "faults", Node("a", ("x",), 1, address), frozenset()) is None
