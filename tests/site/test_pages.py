"""Every page of the demonstration site: sound, marked as invented, with its cautions and under its policy."""

import base64
import hashlib
import re
from collections import Counter
from collections.abc import Iterable, Iterator
from html.parser import HTMLParser
from pathlib import PurePosixPath

from bs4 import BeautifulSoup, Tag
from bs4.element import PageElement
from faultleaf.cards import Fault, card_url, chart_url
from faultleaf.cards.urls import causes_url, repair_url

from tests.site.sites import Site, target_of

VOID = frozenset(["area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr"])
"""Elements without an end tag (HTML Standard, 13.1.2, from memory)."""

MAY_STAY_OPEN = frozenset(["li", "p", "dt", "dd", "tr", "td", "th", "thead", "tbody", "option"])
"""Elements whose end tag may be left out (HTML Standard, 13.1.2.4, from memory)."""


class Nesting(HTMLParser):
    """Finds end tags that close nothing and start tags that nothing closes."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.wrong: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag not in VOID:
            self.open.append(tag)
        names = [name for name, _ in attrs]
        self.wrong += [f"<{tag}> has {name} twice" for name in set(names) if names.count(name) > 1]

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Opens nothing: `<path/>` in a drawing."""

    def handle_endtag(self, tag: str) -> None:
        while self.open and self.open[-1] != tag and self.open[-1] in MAY_STAY_OPEN:
            self.open.pop()
        if self.open and self.open[-1] == tag:
            self.open.pop()
        else:
            self.wrong.append(f"</{tag}> at {self.getpos()} inside {self.open[-3:]}")


def nesting_of(html: str) -> list[str]:
    """What is wrong with the nesting of a page's elements."""
    parser = Nesting()
    parser.feed(html)
    parser.close()
    return parser.wrong + parser.open


def test_the_nesting_ruler_sees_what_is_wrong() -> None:
    assert nesting_of("<p>One<p>Two<ul><li>a<li>b</ul><br>") == ["p", "p"]
    assert nesting_of("<div><b>x</div></b>")[0].startswith("</div> at (1, 9)")
    assert nesting_of("<div><svg><path/></svg></div>") == []


def test_every_page_is_nested_soundly(site: Site) -> None:
    wrong = {path: nesting_of((site.root / path).read_text(encoding="utf-8")) for path in site.pages}
    assert {path: found for path, found in wrong.items() if found} == {}


def test_every_page_has_one_title_one_heading_and_a_language(site: Site) -> None:
    for path, page in site.pages.items():
        assert page.html is not None, path
        assert page.html.get("lang") == "en", path
        assert page.title is not None, path
        assert page.title.get_text(strip=True), path
        assert len(page.find_all("h1")) == 1, path


def test_ids_are_unique_and_references_to_them_lead_somewhere(site: Site) -> None:
    for path, page in site.pages.items():
        ids = Counter(str(tag["id"]) for tag in page.find_all(id=True))
        assert [name for name, count in ids.items() if count > 1] == [], path
        for name in ("aria-labelledby", "aria-describedby", "aria-controls", "for"):
            for tag in page.find_all(lambda tag, name=name: tag.has_attr(name)):
                # The theme labels a table of contents that a page without headings does not have.
                lost = [word for word in str(tag[name]).split() if word not in ids and word != "__toc"]
                assert lost == [], f"{path}: {name}"


def test_no_two_pages_share_a_path_even_where_case_does_not_count(site: Site) -> None:
    paths = Counter(page.path.lower() for page in site.made)
    assert [path for path, count in paths.items() if count > 1] == []
    assert {page.path for page in site.made} <= set(site.pages)
    assert not any(".." in PurePosixPath(page.path).parts for page in site.made)


def test_every_card_has_its_page_or_its_place_on_one(site: Site) -> None:
    for card in site.library.cards.values():
        path, _, anchor = card_url(card).partition("#")
        page = site.page(path)
        assert not anchor or page.find(id=anchor), card.id


def test_every_page_says_that_it_is_invented(site: Site) -> None:
    words = site.library.site.invented
    assert words is not None
    assert "do not exist" in words
    assert [path for path, page in site.pages.items() if words not in _text(page)] == []


def test_every_page_that_tells_to_act_shows_both_notices(site: Site) -> None:
    values = site.library.site
    acting = [page for page in site.made if page.acts]
    assert len(acting) > 100
    for page in acting:
        shown = [_text(notice) for notice in site.page(page.path).select("[data-faultleaf=notice]")]
        for text in (values.notice, values.notices[0].text, values.notices[0].source, str(values.notices[0].date)):
            assert any(text in words for words in shown), f"{page.path}: {text}"


def test_kinds_of_pages_that_must_act_do(site: Site) -> None:
    acts = {page.path for page in site.made if page.acts}
    for folder in ("symptoms", "causes", "faults", "repairs", "tests", "proofs", "charts", "readings", "components"):
        assert set(site.below(folder)) <= acts, folder


def test_cautions_stand_before_the_first_step(site: Site) -> None:
    library = site.library
    expected = [(card_url(test), list(test.cautions), "steps") for test in library.tests.values()]
    expected += [(card_url(proof), list(proof.cautions), "looks") for proof in library.proofs.values()]
    expected += [(card_url(fault), _cautions_of(site, fault), "how-to-confirm") for fault in library.faults.values()]
    repaired = [fault for fault in library.faults.values() if fault.all_repairs]
    expected += [(repair_url(fault), _cautions_of(site, fault), "proof") for fault in repaired]
    expected += [
        (repair_url(fault), _cautions_of(site, fault), "steps") for fault in repaired if fault.body.section("Repair")
    ]
    worked = [symptom for symptom in library.symptoms.values() if not symptom.emergency]
    expected += [(card_url(symptom), list(symptom.make_safe), "looks") for symptom in worked]
    assert sum(len(cautions) for _, cautions, _ in expected) > 200
    for path, cautions, step in expected:
        seen = _cautions_before(site.page(path), step)
        assert set(cautions) <= set(seen), path


def test_cautions_of_a_symptoms_tests_stand_before_the_tests(site: Site) -> None:
    for symptom in (each for each in site.library.symptoms.values() if not each.emergency):
        page = site.page(causes_url(symptom))
        tests = [a["href"] for a in page.select(".fl-test > p > a")]
        assert tests
        named = {c for href in tests for c in site.library.tests[PurePosixPath(str(href)).stem].cautions}
        first_test = page.select_one(".fl-test")
        assert first_test is not None
        assert named <= set(_names(first_test.find_all_previous(attrs={"data-caution": True}))), symptom.id


def test_sheets_list_every_caution_above_the_chart(site: Site) -> None:
    for symptom in site.library.symptoms.values():
        for variant in symptom.variants:
            chart = site.page(chart_url(symptom, variant)).select_one(".fl-sheet__chart")
            assert chart is not None
            above = _names(chart.find_all_previous(attrs={"data-caution": True}))
            assert set(symptom.make_safe) <= set(above)
            assert not chart.find_all_next(attrs={"data-caution": True})


def test_every_caution_panel_is_whole(site: Site) -> None:
    for path, page in site.pages.items():
        for panel in page.select("[data-faultleaf=caution]:is(section, details)"):
            card = site.library.cautions[str(panel["data-caution"])]
            words = _text(panel)
            for text in (card.signal.upper(), card.key, card.hazard, card.consequence, card.avoid):
                assert text in words, f"{path}: {card.id}"
            if panel.name == "details":  # the closed line says how grave it is, the key, and what to do
                line = _text(panel.select("summary")[0])
                assert line == f"{card.signal.upper()} {card.key}: {card.order}", f"{path}: {card.id}"
            # ANSI Z535.6 (from memory): the alert sign goes with every word but NOTICE.
            assert bool(panel.select(".fl-sign")) == (card.signal != "notice"), f"{path}: {card.id}"


def test_pages_to_do_by_show_one_panel_whole_at_most(site: Site) -> None:
    for folder in ("tests", "repairs", "proofs"):
        for path in site.below(folder):
            page = site.page(path)
            # What ends a call has its own panel each.
            whole = [tag for tag in page.select("section[data-faultleaf=caution]") if not tag.find_parent(class_="fl-stop")]
            assert len(whole) <= (0 if page.select(".fl-stop") else 1), path


def test_no_page_says_how_many_times_likelier(site: Site) -> None:
    # Dots and whole percents instead; the call's own page says it, of the last finding alone.
    for path, page in site.pages.items():
        assert not re.search(r"×\s?\d+(\.\d+)? (likelier|less likely)", _text(page)), path


def test_no_inline_handler_style_or_foreign_frame(site: Site) -> None:
    for path, page in site.pages.items():
        for tag in page.find_all(True):
            assert isinstance(tag, Tag)
            assert tag.name not in ("style", "iframe", "object", "embed", "base", "frame"), f"{path}: <{tag.name}>"
            risky = [name for name in tag.attrs if name.startswith("on") or name == "style"]
            assert risky == [], f"{path}: <{tag.name}>"


def test_policy_lets_exactly_the_pages_own_inline_scripts_run(site: Site) -> None:
    for path, page in site.pages.items():
        metas = page.find_all("meta", attrs={"http-equiv": "Content-Security-Policy"})
        assert len(metas) == 1, path
        rules = dict(_rules(str(metas[0]["content"])))
        assert rules["default-src"] == ["'none'"], path
        assert "'unsafe-inline'" not in str(metas[0]["content"]), path
        assert rules["script-src"] == ["'self'", *sorted(set(_hashes(page)))], path
        # A policy holds only for what comes after it.
        assert not metas[0].find_all_previous("script"), path


def test_every_page_but_sheets_has_the_search_box(site: Site) -> None:
    sheets = {page.path for page in site.made if page.shell == "sheet"}
    assert len(sheets) == sum(len(symptom.variants) for symptom in site.library.symptoms.values())
    for path, page in site.pages.items():
        boxes = page.select("#faultleaf-search, .faultleaf-search")
        assert bool(boxes) == (path not in sheets), path
        for box in boxes:
            address = str(box["data-base"]) + "graph.json"
            assert target_of(path, address) == ("graph.json", ""), path
    large = site.page("index.html").select("[data-large]")
    assert len(large) == 1


def _text(tag: Tag) -> str:
    return " ".join(tag.get_text(" ").split())


def _cautions_of(site: Site, fault: Fault) -> list[str]:
    proofs = [site.library.proofs[repair.proof] for repair in fault.all_repairs]
    return [*fault.all_cautions, *(name for proof in proofs for name in proof.cautions)]


def _cautions_before(page: BeautifulSoup, anchor: str) -> list[str]:
    """The caution panels above the heading with this id."""
    place = page.find(id=anchor)
    assert isinstance(place, Tag)
    return _names(place.find_all_previous(attrs={"data-caution": True}))


def _names(panels: Iterable[PageElement]) -> list[str]:
    """The cautions that these elements show, in their order."""
    return [str(panel["data-caution"]) for panel in panels if isinstance(panel, Tag)]


def _rules(policy: str) -> Iterator[tuple[str, list[str]]]:
    for rule in policy.split(";"):
        name, *values = rule.split()
        yield name, values


def _hashes(page: BeautifulSoup) -> Iterator[str]:
    for script in page.find_all("script"):
        if not script.get("src") and script.get("type") in (None, "", "text/javascript", "module"):
            digest = hashlib.sha256((script.string or "").encode()).digest()
            yield f"'sha256-{base64.b64encode(digest).decode()}'"
