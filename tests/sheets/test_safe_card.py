"""The page of all stops: each one told, once, on one page, in type that is read from an arm's length."""

import page as ua
import pytest
from faultleaf.cards.urls import safe_card_url

from tests.sheets.printed import PAPERS, Printed, squeezed
from tests.site.sites import Site


@pytest.fixture(scope="module", params=PAPERS)
def card(request: pytest.FixtureRequest, site: Site) -> Printed:
    url = safe_card_url(request.param)
    return Printed(url, (site.root / url).read_bytes())


def test_every_stop_is_told_with_what_to_do_and_whom_to_call(site: Site, card: Printed) -> None:
    (text,) = card.texts
    text = text.lower()
    stops = [(test.outcomes[name], stop) for test in site.library.tests.values() for name, stop in test.stops.items()]
    assert len({stop.caution for _, stop in stops}) >= 6
    for seen, stop in stops:
        caution = site.library.cautions[stop.caution]
        for words in (seen, caution.title, caution.avoid, stop.call or site.library.site.call):
            assert squeezed(words).lower() in text
    assert squeezed(site.library.site.notice).lower() in text


def test_it_is_large_and_fit_for_readers_of_every_kind(card: Printed) -> None:
    assert min(card.type_sizes()) >= 9.95
    assert ua.validate_pdf_bytes(card.pdf, profile=ua.ValidationProfile.PDF_UA_1).is_compliant


def test_the_gravest_stand_first(card: Printed) -> None:
    text = card.text()
    assert text.rindex("DANGER") < text.index("WARNING")
