"""The field book of the demonstration site: everything in it, and where to find it."""

from io import BytesIO

import page as ua
import pytest
from faultleaf.cards import Library
from faultleaf.cards.urls import book_url
from faultleaf.sheets.steps import steps_of
from pypdf import PdfReader

from tests.sheets.printed import PAPERS, Printed, squeezed
from tests.site.sites import Site


@pytest.fixture(scope="module", params=PAPERS)
def book(request: pytest.FixtureRequest, site: Site) -> Printed:
    url = book_url(request.param)
    return Printed(url, (site.root / url).read_bytes())


def variants_of(library: Library) -> list[tuple[str, str]]:
    return [(one.title, name) for one in library.symptoms.values() if not one.emergency for name in one.variants]


def test_every_sheet_is_in_it_once_and_in_the_bookmarks(site: Site, book: Printed) -> None:
    marks = [squeezed(str(one.title)) for one in PdfReader(BytesIO(book.pdf)).outline if not isinstance(one, list)]
    for title, variant in variants_of(site.library):
        name = squeezed(title + variant[:1].upper() + variant[1:])
        assert marks.count(name) == 1
        assert sum(text.startswith(name + "Beforeyoustart") for text in book.texts) == 1
    assert {"Contents", "Howtoreadachart", "Whatcallerssay", "Symptomsandcauses", "Cautions", "Notices"} <= set(marks)


def test_what_callers_say_leads_to_a_sheet(site: Site, book: Printed) -> None:
    first = next(number for number, text in enumerate(book.texts) if text.startswith("Whatcallerssay"))
    after = next(
        number for number, text in enumerate(book.texts) if number > first and text.startswith("Symptomsandcauses")
    )
    index = "".join(book.texts[first:after])
    for symptom in site.library.symptoms.values():
        for said in symptom.said_in_print if symptom.variants and not symptom.emergency else ():
            assert squeezed(said[1:]) in index
    links = [link for page in book.pages[first:after] for link in page.get("/Annots", ())]
    assert len(links) > 10


def test_causes_cautions_and_notices_are_in_it(site: Site, book: Printed) -> None:
    whole = "".join(book.texts)
    for caution in site.library.cautions.values():
        assert squeezed(f"{caution.hazard}{caution.consequence}{caution.avoid}Rule:{caution.rule}") in whole
    tests = site.library.tests.values()
    printed = [test for test in tests if squeezed(test.how or "?") in whole]
    assert len(printed) > 20
    for line in ("".join(letters for _, letters in one) for test in printed for one in steps_of(test, "Steps")):
        assert all(squeezed(words) in whole for words in line.split(". ")), line
    emergencies = {symptom.id for symptom in site.library.symptoms.values() if symptom.emergency}
    for fault in site.library.faults.values():  # an emergency has no sheet
        assert squeezed(fault.title) in whole or fault.symptoms.keys() <= emergencies
    for local in site.library.site.notices:
        assert whole.count(squeezed(local.text)) > len(variants_of(site.library))
    assert "Jobcardforwhatnosheetcovers" in whole


def test_nothing_against_pdf_ua(book: Printed) -> None:
    report = ua.validate_pdf_bytes(book.pdf, profile=ua.ValidationProfile.PDF_UA_1)
    assert report.is_compliant, [(one.rule_id, one.message) for one in report.failures]
