"""pages/markup.py: links lead to pages, and no payload of any known class survives.

The classes of payloads are those of the OWASP cheat sheet on filter evasion, from memory. Intake refuses
all of them with a line; here the sanitiser behind it is asked alone.
"""

import random
from itertools import product
from urllib.parse import urlsplit

import pytest
from bs4 import BeautifulSoup
from faultleaf.cards.text import TAGS
from faultleaf.pages.markup import to_html

from tests.texts import text_of

SCHEMES = {"", "http", "https", "mailto"}
ATTRIBUTES = {"a": {"href", "rel"}, "ol": {"start"}}
WORDS_ALONE = {"title", "lang"}
"""Attributes that nh3 lets through on any element, and that do nothing."""

CONTROLS = "".join(map(chr, range(33)))

PAYLOADS = {
    "script": "<script>alert(1)</script>",
    "script in capitals": "<SCRIPT SRC=//x.example/a.js></SCRIPT>",
    "script unclosed": "<script>alert(1)",
    "script split": "<scr<script>ipt>alert(1)</scr</script>ipt>",
    "script with a slash": "<script/x>alert(1)</script >",
    "handler": "<img src=x onerror=alert(1)>",
    "handler without blanks": "<img/src='x'/onerror='alert(1)'>",
    "handler on harmless": "<kbd onclick=alert(1)>K</kbd>",
    "handler on a link": "<a href='https://x.example' onmouseover=alert(1)>a</a>",
    "handler over lines": "<p\nonclick\n=\nalert(1)>x</p>",
    "details": "<details open ontoggle=alert(1)>x</details>",
    "address": "<a href='javascript:alert(1)'>a</a>",
    "address in mixed case": "<a href='JaVaScRiPt:alert(1)'>a</a>",
    "address with a tab": "<a href='java\tscript:alert(1)'>a</a>",
    "address with entities": "<a href='&#106;avascript&#58;alert(1)'>a</a>",
    "address with a named entity": "<a href='javascript&colon;alert(1)'>a</a>",
    "address with control signs": "<a href='\x01javascript:alert(1)'>a</a>",
    "data": "<a href='data:text/html;base64,PHNjcmlwdD4='>a</a>",
    "vbscript": "<a href='vbscript:msgbox(1)'>a</a>",
    "file": "<a href='file:///etc/passwd'>a</a>",
    "svg": "<svg onload=alert(1)><a xlink:href='javascript:alert(1)'><text>x</text></a></svg>",
    "svg script": "<svg><script>alert(1)</script></svg>",
    "mathml": "<math><mtext><table><mglyph><style><img src=x onerror=alert(1)>",
    "iframe": "<iframe src='javascript:alert(1)'></iframe>",
    "srcdoc": "<iframe srcdoc='&lt;script&gt;alert(1)&lt;/script&gt;'>",
    "object": "<object data='a.swf'></object><embed src='a.swf'>",
    "style": "<style>*{background:url(//x.example)}</style>",
    "style attribute": "<p style='background:url(//x.example)'>x</p>",
    "link": "<link rel=stylesheet href=//x.example/a.css>",
    "refresh": "<meta http-equiv=refresh content='0;url=https://x.example'>",
    "base": "<base href='https://x.example/'>",
    "form": "<form action=https://x.example><input name=a><button>go</button></form>",
    "comment": "<!-- <script>alert(1)</script> -->",
    "comment unclosed": "<!-- x --!><img src=x onerror=alert(1)>",
    "conditional comment": "<!--[if IE]><script>alert(1)</script><![endif]-->",
    "declaration": "<!DOCTYPE html><![CDATA[<script>alert(1)</script>]]>",
    "instruction": "<?php echo 1 ?>",
    "end tags": "</p></section></body></html><script>alert(1)</script>",
    "unclosed": "<a href='https://x.example",
    "id and class": "<p id=numbers class=fl-notice data-faultleaf=notice>Local code does not matter.</p>",
    "noscript": "<noscript><p title='</noscript><img src=x onerror=alert(1)>'>",
    "template": "<template><img src=x onerror=alert(1)></template>",
    "textarea": "<textarea><img title='</textarea><img src=x onerror=alert(1)>'>",
    "picture": "![x](https://x.example/track.png)",
    "markdown address": "[a](javascript:alert(1))",
    "markdown address in mixed case": "[a](JAVASCRIPT:alert(1))",
    "markdown address with entities": "[a](&#x6A;avascript&#x3A;alert(1))",
    "markdown address with a tab": "[a](<java\tscript:alert(1)>)",
    "markdown data": "[a](data:text/html,<script>alert(1)</script>)",
    "markdown vbscript": "[a](vbscript:x)",
    "markdown reference": "[a][b]\n\n[b]: javascript:alert(1) 'title'",
    "markdown autolink": "<javascript:alert(1)>",
    "markdown title": "[a](https://x.example '\"onclick=alert(1)')",
    "markdown code": "`<script>alert(1)</script>`",
    "markdown fence": '```html" onclick=alert(1)\n<script>alert(1)</script>\n```',
    "markdown heading": "### <script>alert(1)</script>",
    "template words": "{{ 7*7 }}{% include '/etc/passwd' %}",
}
AROUND = ("{}", "1. {}\n2. x", "a | b\n--|--\n{} | c", "x **{}** y", "> {}")


def html_of(text: str, folder: str, base: str) -> str:
    """A text as a page shows it, whatever intake says of it."""
    return str(to_html(text_of(text), folder, base))


def faults_of(html: str) -> list[str]:
    """What a browser would find in the HTML that it must not."""
    wrong = []
    for tag in BeautifulSoup(html, "html.parser").find_all(True):
        if tag.name not in TAGS:
            wrong.append(f"<{tag.name}>")
        allowed = ATTRIBUTES.get(tag.name, set()) | WORDS_ALONE
        wrong += [f"<{tag.name} {name}>" for name in tag.attrs if name not in allowed]
        # As a browser reads an address (WHATWG URL, "basic URL parser", steps 1 to 3, from memory).
        address = str(tag.get("href", "")).strip(CONTROLS).translate(dict.fromkeys(b"\t\n\r"))
        if urlsplit(address).scheme.lower() not in SCHEMES:
            wrong.append(f"link to {address}")
    return wrong


def test_the_ruler_sees_what_is_wrong() -> None:
    assert faults_of(PAYLOADS["script"]) == ["<script>"]
    assert faults_of(PAYLOADS["handler on harmless"]) == ["<kbd onclick>"]
    for name in ("address", "address in mixed case", "address with a tab", "address with entities", "data", "vbscript"):
        assert len(faults_of(PAYLOADS[name])) == 1, name
    assert faults_of("<p>fine <a href='../a.html' rel='noopener'>a</a></p>") == []


@pytest.mark.parametrize("payload", PAYLOADS.values(), ids=PAYLOADS)
def test_no_payload_survives(payload: str) -> None:
    for around in AROUND:
        html = html_of(around.replace("{}", payload), "faults", "../")
        assert faults_of(html) == [], html
        assert "<!--" not in html
        assert "{%" not in payload or "{%" in html  # a template's words are words


def test_no_mixture_of_pieces_survives() -> None:
    pieces = [piece for payload in PAYLOADS.values() for piece in payload.replace("<", "\0<").split("\0") if piece]
    pieces += ["\n\n", "`", "```\n", "~~~", "1. ", "> ", "    ", "[", "](", ")", "|", "<", ">", "&#60;", '"', "\\"]
    chance = random.Random(17)
    for _ in range(400):
        text = "".join(chance.choice(pieces) for _ in range(chance.randint(2, 9)))
        assert faults_of(html_of(text, "faults", "../")) == [], text


LINKS = {
    ("faults", "../tests/hold.md"): "../tests/hold.html",
    ("faults", "other.md"): "../faults/other.html",
    ("faults", "other.md#repair"): "../faults/other.html#repair",
    ("faults", "deep/other.md"): "../faults/other.html",
    ("faults", "../cautions/scald.md"): "../cautions/index.html#scald",
    ("faults", "../cautions/burns/scald.md"): "../cautions/index.html#scald",
    ("faults", "../terms/mark.md"): "../terms/index.html#mark",
    ("faults", "../about.md"): "../about.html",
    ("faults", "../about.md#here"): "../about.html#here",
    ("faults", "#repair"): "#repair",
    ("faults", "https://x.example/a.md"): "https://x.example/a.md",
    ("faults", "mailto:a@x.example"): "mailto:a@x.example",
    ("terms", "mark.md"): "../terms/index.html#mark",
    ("tests", "./hold.md"): "../tests/hold.html",
}


@pytest.mark.parametrize(("place", "address"), LINKS.items(), ids=[" ".join(place) for place in LINKS])
def test_links_to_cards_lead_to_their_pages(place: tuple[str, str], address: str) -> None:
    folder, written = place
    for text in (f"see [it]({written})", f"see [it][x]\n\n[x]: {written}"):
        (link,) = BeautifulSoup(html_of(text, folder, "../"), "html.parser").find_all("a")
        assert link["href"] == address
        assert link["rel"] == ["noopener", "noreferrer"]


def test_links_count_from_where_the_page_stands() -> None:
    assert 'href="faults/a.html"' in html_of("[a](faults/a.md)", "", "")
    assert 'href="../../faults/a.html"' in html_of("[a](../faults/a.md)", "tests", "../../")


def test_what_authors_write_is_kept() -> None:
    text = "1. Shut H<sub>2</sub>O, press <kbd>Reset</kbd>\n2. **Look**, *twice*\n\na | b\n--|--\n1 | 2\n\n"
    text += "```\nx < y\n```"
    html = BeautifulSoup(html_of(text, "faults", "../"), "html.parser")
    names = {tag.name for tag in html.find_all(True)}
    assert names >= {"ol", "li", "sub", "kbd", "strong", "em", "table", "th", "td", "pre", "code"}
    assert len(html.find_all("li")) == 2
    assert html.find("code").get_text() == "x < y\n"  # type: ignore[union-attr]


def test_a_list_may_begin_at_any_number() -> None:
    assert '<ol start="3">' in html_of("3. third\n4. fourth", "faults", "../")


def test_same_text_gives_the_same_html() -> None:
    for text, folder in product(("[a](b.md) **c**", PAYLOADS["svg"]), ("faults", "tests")):
        assert html_of(text, folder, "../") == html_of(text, folder, "../")
