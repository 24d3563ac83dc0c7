"""Every sheet of the demonstration site, read back from its PDF and held against the cards.

The site is the shipped library with a notice of its own, so its sheets have less room than the library's.
"""

from collections.abc import Iterator, Mapping

import page as ua
import pytest
from faultleaf.cards import Library
from faultleaf.cards.urls import book_url, safe_card_url, sheet_url
from faultleaf.pages import WorkedSymptom, WorkedVariant

from tests.sheets.printed import MM, PAPERS, Printed, grey_levels, squeezed
from tests.site.sites import Site

NO_TYPE_BELOW = 8.0
HEAD_TYPE = 9.0  # head and foot of a page with a chart; its boxes are held to 10 pt where they are chosen
MOST_BACKS = 7  # four leaves of paper
SHORT_KEY = 3  # shorter keys are also abbreviations that other words use


@pytest.fixture(scope="module")
def sheets(site: Site, worked: Mapping[str, WorkedSymptom]) -> list[tuple[WorkedSymptom, WorkedVariant, Printed]]:
    return [
        (each, variant, Printed(url, (site.root / url).read_bytes()))
        for each in worked.values()
        for variant in each.variants
        for url in (sheet_url(each.symptom, variant.name, paper) for paper in PAPERS)
    ]


Sheets = list[tuple[WorkedSymptom, WorkedVariant, Printed]]


def test_every_variant_has_a_sheet_on_both_papers(site: Site, sheets: Sheets) -> None:
    made = {path.relative_to(site.root).as_posix() for path in (site.root / "sheets").iterdir()}
    others = {url(paper) for paper in PAPERS for url in (book_url, safe_card_url)}
    assert made == {sheet.name for _, _, sheet in sheets} | others
    assert len(made - others) == 2 * sum(
        len(one.variants) for one in site.library.symptoms.values() if not one.emergency
    )


def test_front_is_one_page_of_its_paper_and_the_back_follows(sheets: Sheets) -> None:
    for each, variant, sheet in sheets:
        front, *backs = sheet.pages
        width, height = PAPERS[sheet.paper]
        assert (float(front.mediabox.width), float(front.mediabox.height)) == pytest.approx(
            (width * MM, height * MM), abs=0.1
        )
        assert 1 <= len(backs) <= MOST_BACKS
        assert f"page1/{1 + len(backs)}" in sheet.text(0), "the whole front stands on the first page"
        for number in range(1, 1 + len(backs)):
            told = "goes on" if number == 1 and goes_on(sheet) else f"{each.symptom.title}: the steps"
            assert squeezed(told) in sheet.text(number)
            assert f"page{number + 1}/{1 + len(backs)}" in sheet.text(number)
        assert squeezed(variant.name[1:]) in sheet.text(0)


def goes_on(sheet: Printed) -> bool:
    """Whether the front sends calls overleaf."""
    return squeezed("Not settled: turn over") in sheet.text(0)


def test_a_chart_goes_on_where_the_front_alone_costs_over_a_twentieth_more(sheets: Sheets) -> None:
    for _, variant, sheet in sheets:
        alone = variant.plan.expected_minutes / variant.worth.unlimited
        assert goes_on(sheet) == (alone > 1.05), sheet.name
        if goes_on(sheet):
            last = max(step.number for step in variant.outline)
            assert f"turnover,goonat{last + 1}" in sheet.text(0)
            assert squeezed("Not settled: hand on") in sheet.text(1)


def test_all_text_of_the_chart_in_the_order_of_reading(site: Site, sheets: Sheets) -> None:
    """Repairs stand by their cause; the decision behind them says "no" alone; a front that goes on hands nobody on;
    whom to call in danger stands in the head, by the danger's order."""
    dangers = tuple(f"STOP. {card.key}:" for card in site.library.cautions.values() if card.signal == "danger")
    for _, variant, sheet in sheets:
        text = sheet.read(0)
        place = text.index("Start")
        for step in variant.outline:
            if step.actions and step.actions[0].startswith("Hand on"):
                continue
            how = "" if step.actions and step.actions[0].startswith(dangers) else step.how
            labels = [way.label for way in step.exits if way.label not in ("Cured", "Still there")]
            for words in (how, step.note, step.question, *labels):
                for line in words.split("; "):
                    assert squeezed(line) in text[place:], f"{sheet.name}: {line}"
            if step.actions:
                place = text.index(squeezed(step.actions[0].split(": ")[0]), place)


def test_the_order_of_a_danger_that_stops_says_whom_to_call(site: Site) -> None:
    library = site.library
    stops = {library.cautions[stop.caution] for test in library.tests.values() for stop in test.stops.values()}
    dangers = [card for card in stops if card.signal == "danger"]
    assert len(dangers) >= 4
    assert [card.id for card in dangers if "call " not in card.order] == []


def test_every_caution_and_notice_before_the_first_step_of_every_page(site: Site, sheets: Sheets) -> None:
    library = site.library
    notices = [library.site.notice, *(local.text for local in library.site.notices)]
    for each, variant, sheet in sheets:
        needed = set(each.symptom.make_safe).union(*map(set, cautions_of_steps(library, variant)))
        for number in range(len(sheet.pages)):
            text = sheet.text(number)
            for notice in notices:
                assert squeezed(notice) in text
            head = text.split(squeezed(notices[-1]))[0]
            for name in needed if number != 1 or not goes_on(sheet) else ():
                card = library.cautions[name]
                assert squeezed(card.key + card.order) in head, f"{sheet.name}: {name}"
        for local in library.site.notices:
            assert squeezed(f"({local.source}, {local.date})") in sheet.text(0)


def test_every_key_of_a_page_is_told_at_its_head(site: Site, sheets: Sheets) -> None:
    """A key at a step stands after its triangle, in capitals; no other words of that length do."""
    library = site.library
    notice = squeezed(library.site.notices[-1].text)
    for _, _, sheet in sheets:
        for number in range(len(sheet.pages)):
            head, steps = sheet.text(number).split(notice, maxsplit=1)
            for card in library.cautions.values():
                if len(card.key) > SHORT_KEY and card.key in steps:
                    assert squeezed(card.key + card.order) in head, f"{sheet.name}, page {number + 1}: {card.key}"


def cautions_of_steps(library: Library, variant: WorkedVariant) -> Iterator[tuple[str, ...]]:
    """The cautions of every step of the plan that the chart draws."""
    drawn = {step.link for step in variant.outline}
    for box in variant.plan.boxes:
        for step in box.steps:
            found = library.find_repair(step)
            named = found is not None and found[1].quote  # others do it on another day: here its cause is named
            if not named and any(step.removesuffix(".2") in link for link in drawn):
                yield library.cautions_of(step)


def test_what_a_repair_needs_is_on_the_sheet(site: Site, sheets: Sheets) -> None:
    for _, variant, sheet in sheets:
        both = "".join(sheet.text(number) for number in range(len(sheet.pages)))
        for box in variant.plan.boxes:
            for step in box.steps:
                if found := site.library.find_repair(step):
                    fault, repair = found
                    if repair.quote:  # others do it on another day: here its cause is named
                        continue
                    told = [repair.title, site.library.proofs[repair.proof].title, *repair.prove_first]
                    told += [site.library.faults[name].title for name in fault.comes_from]
                    for words in told:
                        assert squeezed(words) in both, f"{sheet.name}: {words}"


def test_every_steps_method_is_told_behind_the_charts(site: Site, sheets: Sheets) -> None:
    for _, variant, sheet in sheets:
        back = "".join(sheet.text(number) for number in range(1, len(sheet.pages)))
        tests = site.library.tests
        asked = {step for box in variant.plan.boxes for step in box.steps if step in tests}
        assert asked
        for test in (tests[step] for step in sorted(asked)):
            assert squeezed(test.how or "") in back, f"{sheet.name}: {test.id}"
            assert squeezed(test.title) in back


def test_where_parts_are_is_drawn_on_the_back_where_it_takes_no_page(site: Site, sheets: Sheets) -> None:
    drawn = 0
    for _, variant, sheet in sheets:
        back = "".join(sheet.text(number) for number in range(1, len(sheet.pages)))
        parts = {test.at for box in variant.plan.boxes for step in box.steps if (test := site.library.tests.get(step))}
        titles = [site.library.components[name].title for name in parts if name]
        if "Where:" in back:
            drawn += 1
            assert any(squeezed(f"{title}:") in back.partition("Where:")[2] for title in titles), sheet.name
    assert drawn >= len(sheets) / 3


def test_no_type_is_too_small(sheets: Sheets) -> None:
    for _, _, sheet in sheets:
        for number in range(len(sheet.pages)):
            charts = 1 + goes_on(sheet)
            least = HEAD_TYPE if number < charts else NO_TYPE_BELOW
            assert min(sheet.type_sizes(number)) >= least


def test_pages_are_black_and_white_so_that_grey_keeps_all_contrast(
    sheets: Sheets, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """Contrast of black on white is 21:1 (WCAG 2.1, relative luminance); 7:1 is asked for."""
    for _, _, sheet in sheets[:2]:
        for number in range(1, 1 + len(sheet.pages)):
            assert grey_levels(sheet.pdf, tmp_path_factory.mktemp("grey"), number) == {0, 255}


def test_another_library_finds_nothing_against_pdf_ua(sheets: Sheets) -> None:
    """page-validation, which reads the rules of PDF/UA-1 (ISO 14289-1) that a machine can check."""
    for _, _, sheet in sheets:
        report = ua.validate_pdf_bytes(sheet.pdf, profile=ua.ValidationProfile.PDF_UA_1)
        assert report.is_compliant, [(one.rule_id, one.message) for one in report.failures]
        assert report.rules.total > 100


def test_pages_lead_to_the_sheets(site: Site, sheets: Sheets) -> None:
    for each, _, sheet in sheets:
        links = {str(link["href"]) for link in site.page(f"symptoms/{each.symptom.id}.html").find_all("a", href=True)}
        assert {f"../{sheet.name}", f"../{book_url(sheet.paper)}"} <= links
