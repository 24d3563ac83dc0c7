"""The checkers of `make audit` do find what is wrong."""

from io import BytesIO

from pypdf import PdfWriter

from tests.audit.html_pages import audit_html
from tests.audit.printed_files import audit_pdf


def test_parse_errors_have_their_line() -> None:
    assert list(audit_html("a.html", "<!doctype html>\n<p>One</p>\n<b>two")) == [
        "a.html:3: Expected closing tag. Unexpected end of file."
    ]
    assert list(audit_html("a.html", "<!doctype html><title>Sound</title><p>One</p>")) == []


def test_a_bare_pdf_is_refused() -> None:
    writer, made = PdfWriter(), BytesIO()
    writer.add_blank_page(100, 100)
    writer.write(made)
    found = list(audit_pdf("a.pdf", made.getvalue()))
    assert {"a.pdf: no title", "a.pdf: no language"} <= set(found)
    assert any("PDF/UA-1" in line for line in found)
