"""Every page of a small library: renders, is told apart, leads somewhere, and warns before it tells to act."""

from itertools import permutations
from pathlib import Path

import pytest
from bs4 import BeautifulSoup, Tag
from faultleaf.cards import Library, card_url
from faultleaf.cards.urls import CALL_PAGE
from faultleaf.pages import SitePage

from tests.library import make_library
from tests.pages.samples import EVERYTHING, LEAST, everything, pages_of, with_text

Pages = dict[str, SitePage]
STEPS = ("steps", "repair", "proof", "looks", "first", "how-to-confirm", "tests")
"""Ids of headings below which somebody is told to act."""
GENERATED = ("graph.json",)


@pytest.fixture(scope="module")
def library(tmp_path_factory: pytest.TempPathFactory) -> Library:
    return everything(tmp_path_factory.mktemp("everything"))


@pytest.fixture(scope="module")
def whole(library: Library) -> Pages:
    return pages_of(library)


@pytest.fixture(scope="module")
def least(tmp_path_factory: pytest.TempPathFactory) -> Pages:
    return pages_of(make_library(tmp_path_factory.mktemp("least"), LEAST))


def soup_of(page: SitePage) -> BeautifulSoup:
    return BeautifulSoup(page.html, "html.parser")


def text_of(page: SitePage) -> str:
    return " ".join(soup_of(page).get_text(" ").split())


def test_every_card_has_its_page(library: Library, whole: Pages) -> None:
    for card in library.cards.values():
        path, _, anchor = card_url(card).partition("#")
        assert card.title in text_of(whole[path])
        assert not anchor or soup_of(whole[path]).find(id=anchor)
    assert len(whole) == 42


def test_smallest_library_has_all_pages_but_empty_ones(least: Pages) -> None:
    assert set(least) == {
        "about-the-numbers.html", "causes/overfills.html", "cautions/index.html", "components/index.html",
        "components/part.html",
        "faults/index.html", "faults/valve.html", "graphs/overfills.html", "index-of-troubles.html", "index.html",
        "symptoms/index.html", "symptoms/overfills.html", "work-the-call.html",
    }  # fmt: skip


def test_empty_library_has_its_fixed_pages() -> None:
    pages = pages_of(Library())
    fixed = {"about-the-numbers.html", "cautions/index.html", "index-of-troubles.html", "index.html"}
    assert set(pages) == {*fixed, "work-the-call.html"}
    assert dead_links(pages) == []


def dead_links(pages: Pages) -> list[str]:
    """Links that lead to no page or to no place on it."""
    ids = {path: {str(tag["id"]) for tag in soup_of(page).find_all(id=True)} for path, page in pages.items()}
    dead = []
    for path, page in pages.items():
        for link in soup_of(page).find_all("a", href=True):
            address = str(link["href"])
            target, _, anchor = address.partition("#")
            if target and path.count("/") != target.count("../"):
                dead.append(f"{path}: {address} counts its way to the root wrongly")
            file = target.removeprefix("../") or path
            if file in GENERATED or file.startswith("sheets/"):
                continue  # tests/site looks whether these files are there
            asks = file == CALL_PAGE and "=" in anchor  # what the call begins with, no place on the page
            if file not in pages or (anchor and not asks and anchor not in ids[file]):
                dead.append(f"{path}: {address}")
    return dead


def test_every_link_leads_somewhere(whole: Pages, least: Pages) -> None:
    assert dead_links(whole) == []
    assert dead_links(least) == []


def test_headings_of_the_contents_stand_on_the_page_in_order(whole: Pages, least: Pages) -> None:
    for page in (*whole.values(), *least.values()):
        soup = soup_of(page)
        ids = [str(tag["id"]) for tag in soup.find_all(id=True)]
        named = [heading.id for heading in page.headings]
        assert [name for name in ids if name in named] == named, page.path
        assert {str(tag["id"]) for tag in soup.find_all("h2")} - {"numbers"} <= set(named), page.path
        assert len(set(ids)) == len(ids), page.path
        assert len(soup.find_all("h1")) == 1, page.path


def test_what_labels_something_is_on_the_page(whole: Pages) -> None:
    for page in whole.values():
        soup = soup_of(page)
        for tag in soup.select("[aria-labelledby]"):
            assert all(soup.find(id=name) for name in str(tag["aria-labelledby"]).split()), page.path


def test_acting_pages_show_notices_before_anything_to_do(library: Library, whole: Pages, least: Pages) -> None:
    for page in (*whole.values(), *least.values()):
        if not page.acts or page.shell == "sheet":
            continue
        soup = soup_of(page)
        notice = soup.select_one("[data-faultleaf=notice]")
        assert notice is not None, page.path
        place = {id(tag): number for number, tag in enumerate(soup.find_all(True))}
        todo = [tag for tag in soup.find_all("h2") if tag["id"] in STEPS]
        todo += soup.find_all("ol")
        assert all(place[id(notice)] < place[id(tag)] for tag in todo), page.path
    local = library.site.notices[0]
    for path in ("faults/valve.html", "charts/overfills--fed-by-hand.html", "index.html"):
        for words in (library.site.notice, local.place, local.text, local.source, str(local.date)):
            assert words in text_of(whole[path])


def test_which_pages_act(whole: Pages) -> None:
    idle = {path for path, page in whole.items() if not page.acts}
    assert idle == {"about-the-numbers.html", "pictures/glass.html", "terms/index.html"}


CAUTIONS = {
    "faults/valve.html": (["scald", "wet"], "repair"),
    "faults/drip.html": (["wet"], "repair"),  # its proof's
    "tests/hold.html": (["scald", "wet"], "steps"),
    "tests/probe.html": (["scald"], "steps"),
    "proofs/log.html": (["wet"], "looks"),
    "repairs/valve.html": (["scald", "wet"], "steps"),
    "repairs/drip.html": (["wet"], "proof"),
    "symptoms/overfills.html": (["scald"], "looks"),
    "causes/overfills.html": (["scald", "wet"], "tests"),  # its own, then those of its tests and repairs
}


@pytest.mark.parametrize(("path", "expected"), CAUTIONS.items(), ids=CAUTIONS)
def test_cautions_stand_before_the_steps_gravest_first(
    path: str, expected: tuple[list[str], str], whole: Pages
) -> None:
    names, anchor = expected
    heading = soup_of(whole[path]).find(id=anchor)
    assert isinstance(heading, Tag)
    panels = heading.find_all_previous(attrs={"data-caution": True})
    above = [str(panel["data-caution"]) for panel in panels if isinstance(panel, Tag)]
    assert above[::-1] == names  # found from the heading upwards


def test_emergency_has_no_plan_no_tests_and_says_whom_to_call(whole: Pages) -> None:
    page = soup_of(whole["symptoms/gas.html"])
    words = " ".join(page.get_text(" ").split())
    assert "This is an emergency. Make safe, then hand the call on: call somebody licensed." in words
    assert page.find(id="charts") is None
    assert page.find(id="tests") is None
    assert not any(path.startswith("charts/gas") for path in whole)
    home = soup_of(whole["index.html"])
    assert "fl-home__symptom--emergency" in str(home.select(".fl-home > li")[0]["class"])


def test_fault_without_repair_has_neither_repair_nor_proof(whole: Pages) -> None:
    assert soup_of(whole["faults/bypass.html"]).find(id="repair") is None
    assert "repairs/bypass.html" not in whole
    assert [heading.id for heading in whole["faults/bypass.html"].headings] == ["numbers"]


def test_fault_with_alternatives_shows_each_with_its_proof(whole: Pages) -> None:
    offered = soup_of(whole["faults/valve.html"]).select("section[aria-labelledby=repair] a.fl-row")
    assert [tag["href"] for tag in offered] == ["../repairs/valve.html"] * 2
    assert "50 min · Licensed · cures it nearly always" in offered[0].get_text()
    page = soup_of(whole["repairs/valve.html"])
    titles = [tag.get_text() for tag in page.select(".fl-repair__title strong")]
    assert titles == ["Rebuild it", "Swap it"]
    words = " ".join(page.get_text(" ").split())
    assert "Takes 50 min · Licensed · only on By a feeder Cures it nearly always" in words
    assert "Prove it before you replace it: Listen to it" in words
    assert "Have with you Seat kit" in words
    assert "It also removes: Drip at the seat half" in words
    assert words.count("Cured It has not moved") == 2
    assert "5 min hands-on in all, the last look after 7 days" in words


def test_look_alikes_name_the_test_that_tells_them_apart(whole: Pages) -> None:
    page = soup_of(whole["faults/valve.html"])
    drip, bypass = page.select(".fl-alikes li")
    # Valve: hold rises .95, look as ever (wet .9). Drip: hold rises .9, look dry .7. So the look parts them, by .6.
    assert "Told apart best by Look at the glass : here “Wet”, there “Dry”." in " ".join(drip.get_text(" ").split())
    # The bypass names no test: it shows at the hold what lies elsewhere shows, steady .9 beside rises .95.
    assert "Told apart best by Hold it : here “It climbs”, there “It stays”." in " ".join(bypass.get_text(" ").split())


def test_measured_test_shows_its_limits(whole: Pages) -> None:
    outcomes = soup_of(whole["tests/probe.html"]).select(".fl-outcome")
    assert [" ".join(one.select("h3")[0].get_text(" ").split()) for one in outcomes] == [
        "Low under 50 ohm", "Middle 50 to under 5,000 ohm", "High 5,000 ohm or more",
    ]  # fmt: skip
    elsewhere = [one.select(".fl-outcome__else svg")[0]["aria-label"] for one in outcomes]
    assert elsewhere == ["sometimes", "half", "sometimes"]  # .25, .5, .25
    assert "resistance, in ohm" in text_of(whole["tests/probe.html"])


def test_test_says_what_it_needs_and_when_it_must_not_be_done(whole: Pages) -> None:
    words = text_of(whole["tests/hold.html"])
    assert (
        "Takes 5 min, then wait 4 h · Apprentice, supervised Where the wait comes from Head : stands 3 h 30 min"
        in words
    )
    assert "Rounded up to 4 h. Read and telephoned by Owner: look" in words
    assert "Tools Tape May wait the same night as Smell first" in words
    assert "Means something only after: Look at the glass : Wet" in words
    assert "Must not be done when: Probe : High" in words
    assert "Why this test: It settles it." in words


def test_provenance_of_a_card_and_of_single_numbers(whole: Pages) -> None:
    words = text_of(whole["faults/valve.html"])
    assert "This card: judgement of the trade, common practice, no source." in words
    assert "how common: A body, A book, Part 2, 1999, from memory." in words
    counts = soup_of(whole["about-the-numbers.html"]).select("section[aria-labelledby=where-from] tbody tr")
    said = {row.find("th").get_text(): row.find("td").get_text() for row in counts}  # type: ignore[union-attr]
    judged = "judgement of the trade, common practice, no source"
    assert said == {judged: "11", "a published source": "1", "counted on jobs": "1"}
    assert "This card: counted, 12 of 57 jobs." in text_of(whole["faults/bypass.html"])


def test_index_has_a_dot_where_the_fault_shows(library: Library, whole: Pages) -> None:
    table = soup_of(whole["index-of-troubles.html"]).select_one("table.fl-matrix")
    assert table is not None
    columns = [cell.get_text(strip=True) for cell in table.select("thead th")][1:]
    titles = {symptom.title: name for name, symptom in library.symptoms.items()}
    for row in table.select("tbody tr"):
        link = row.select_one("th a")
        assert link is not None
        fault = library.faults[str(link["href"]).removeprefix("faults/").removesuffix(".html")]
        dots = [bool(cell.find("svg")) for cell in row.find_all("td")]
        assert dots == [titles[column] in fault.symptoms for column in columns]
    fits = [str(dot["data-fits"]) for dot in table.select("svg")]
    assert sorted(set(fits)) == ["", "feed:automatic"]


def test_a_to_z_holds_what_callers_say(whole: Pages) -> None:
    page = soup_of(whole["index-of-troubles.html"])
    letter = page.find(id="letter-T")
    assert isinstance(letter, Tag)
    entries = letter.find_next("ul")
    assert isinstance(entries, Tag)
    assert "“The glass is full” callers say, of: Overfills" in " ".join(entries.get_text(" ").split())
    letters = [tag.get_text() for tag in page.select(".fl-letters a")]
    assert letters == sorted(letters)
    titles = [
        tag.get_text().lower().lstrip("“") for tag in page.select("section[aria-labelledby=a-to-z] .fl-row__title")
    ]
    assert titles == sorted(titles)


def test_tests_are_listed_quickest_first_and_those_with_a_wait_apart(whole: Pages) -> None:
    page = soup_of(whole["tests/index.html"])
    assert [tag.get_text() for tag in page.find_all("h2")] == ["At once", "With a wait"]
    assert [tag.get_text() for tag in page.select(".fl-row__title")] == [
        "Probe",
        "Smell first",
        "Look at the glass",
        "Hold it",
    ]


def test_same_cards_in_another_order_give_the_same_pages(tmp_path: Path, whole: Pages) -> None:
    first = make_library(tmp_path / "a", dict(reversed(list(EVERYTHING.items()))))
    again = pages_of(with_text(first, ""))
    assert again == whole


def test_order_of_cards_does_not_matter_to_lists(tmp_path: Path) -> None:
    cards = {f"terms/t{n}": {"title": title} for n, title in enumerate(("Boiler", "boiler", "Ash"))}
    made = [
        pages_of(make_library(tmp_path / str(number), dict(order)))["terms/index.html"].html
        for number, order in enumerate(permutations(cards.items()))
    ]
    assert len(set(made)) == 1
