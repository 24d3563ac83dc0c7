"""Every sheet of the demonstration site, read back from its PDF and held against the cards.

The site is the shipped library with a notice of its own, so its sheets have less room than the library's.
"""

from collections.abc import Iterator, Mapping

import page as ua
import pytest
from faultleaf.cards import Library
from faultleaf.cards.urls import book_url, sheet_url
from faultleaf.pages import WorkedSymptom, WorkedVariant
from faultleaf.sheets.steps import steps_of

from tests.sheets.printed import MM, PAPERS, Printed, grey_levels, squeezed, type_sizes
from tests.site.sites import Site

NO_TYPE_BELOW = 8.0
BOX_TYPE = 10.0  # CAP 676 issue 3, at second hand (STANDARDS): body text never below


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
    assert made == {sheet.name for _, _, sheet in sheets} | {book_url(paper) for paper in PAPERS}
    assert len(made) - 2 == 2 * sum(len(one.variants) for one in site.library.symptoms.values() if not one.emergency)


def test_front_is_one_page_of_its_paper_and_the_back_follows(sheets: Sheets) -> None:
    for each, variant, sheet in sheets:
        front, *backs = sheet.pages
        width, height = PAPERS[sheet.paper]
        assert (float(front.mediabox.width), float(front.mediabox.height)) == pytest.approx(
            (width * MM, height * MM), abs=0.1
        )
        assert len(backs) in (1, 2, 3), "two leaves of paper at most"
        assert f"page1/{1 + len(backs)}" in sheet.text(0), "the whole front stands on the first page"
        for number in range(1, 1 + len(backs)):
            assert squeezed(f"{each.symptom.title}: the steps") in sheet.text(number)
            assert f"page{number + 1}/{1 + len(backs)}" in sheet.text(number)
        assert squeezed(variant.name[1:]) in sheet.text(0)


def test_all_text_of_the_chart_in_the_order_of_reading(sheets: Sheets) -> None:
    for _, variant, sheet in sheets:
        text = sheet.text(0)
        place = text.index("Start")
        for step in variant.outline:
            for words in (*step.actions, step.how, step.note, step.question, *(way.label for way in step.exits)):
                for line in words.split("; or: "):
                    assert squeezed(line) in text[place:], f"{sheet.name}: {line}"
            if step.actions:
                place = text.index(squeezed(step.actions[0]), place)


def test_every_caution_and_notice_before_the_first_step_of_every_page(site: Site, sheets: Sheets) -> None:
    library = site.library
    notices = [library.site.notice, *(local.text for local in library.site.notices)]
    for each, variant, sheet in sheets:
        needed = set(each.symptom.make_safe).union(*map(set, cautions_of_steps(library, variant)))
        for number in range(len(sheet.pages)):
            text = sheet.text(number)
            start = text.index("Start", text.index("Tools")) if number == 0 else text.index(squeezed(notices[-1]))
            for name in needed:
                card = library.cautions[name]
                told = squeezed(card.brief or card.avoid), squeezed(card.avoid)
                assert min(text.index(one) for one in told if one in text) < start, f"{sheet.name}: {name}"
            for notice in notices:
                assert squeezed(notice) in text
        for number in range(1, len(sheet.pages)):
            assert squeezed(notices[-1]) in sheet.text(number).split(squeezed(variant.outline[0].actions[0]))[0]
        for local in library.site.notices:
            assert squeezed(f"({local.source}, {local.date})") in sheet.text(0)


def cautions_of_steps(library: Library, variant: WorkedVariant) -> Iterator[tuple[str, ...]]:
    """The cautions of every step of the plan, and of the proofs of its repairs."""
    for box in variant.plan.boxes:
        for step in box.steps:
            yield library.cautions_of(step)
            if found := library.find_repair(step):
                yield library.proofs[found[1].proof].cautions


def test_a_caution_told_at_length_has_hazard_consequence_and_how_to_avoid(site: Site, sheets: Sheets) -> None:
    for each, _, sheet in sheets:
        gravest = [one for name in each.symptom.make_safe if (one := site.library.cautions[name]).signal == "danger"]
        assert gravest
        text = sheet.text(0)
        for one in gravest[:3]:
            assert squeezed(f"{one.hazard}{one.consequence}{one.avoid}") in text


def test_what_a_repair_needs_is_on_the_sheet(site: Site, sheets: Sheets) -> None:
    for _, variant, sheet in sheets:
        both = "".join(sheet.text(number) for number in range(len(sheet.pages)))
        for box in variant.plan.boxes:
            for step in box.steps:
                if found := site.library.find_repair(step):
                    fault, repair = found
                    told = [repair.title, site.library.proofs[repair.proof].title, *repair.prove_first]
                    told += [site.library.faults[name].title for name in fault.comes_from]
                    for words in told:
                        assert squeezed(words) in both, f"{sheet.name}: {words}"


def test_every_steps_method_is_told_on_the_back(site: Site, sheets: Sheets) -> None:
    for _, variant, sheet in sheets:
        back = "".join(sheet.text(number) for number in range(1, len(sheet.pages)))
        tests = site.library.tests
        asked = {step for box in variant.plan.boxes for step in box.steps if step in tests}
        assert asked
        told = (one for step in sorted(asked) for one in steps_of(tests[step], "Steps"))
        for line in ("".join(letters for _, letters in one) for one in told):
            assert all(squeezed(words) in back for words in line.split(". ")), f"{sheet.name}: {line}"


def test_no_type_is_too_small(sheets: Sheets) -> None:
    for _, variant, sheet in sheets:
        for number in range(len(sheet.pages)):
            assert min(type_sizes(sheet.pages[number])) >= NO_TYPE_BELOW
        assert variant.type_pt >= BOX_TYPE


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
