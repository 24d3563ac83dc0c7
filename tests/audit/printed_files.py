"""Every PDF of a built site, asked by readers that know nothing of how it was made."""

from collections.abc import Iterator
from io import BytesIO
from pathlib import Path
from tempfile import TemporaryDirectory

import page as ua
from pypdf import PdfReader

from tests.sheets.printed import grey_levels

BLACK_AND_WHITE = {0, 255}


def audit_pdf(name: str, pdf: bytes) -> Iterator[str]:
    """What is wrong with a file, in words.

    page-validation reads the rules of PDF/UA-1 (ISO 14289-1) that a machine can check; pypdf whether fonts are
    embedded, language and title set; poppler whether the page holds any grey, which a cheap laser printer would dot.
    """
    report = ua.validate_pdf_bytes(pdf, profile=ua.ValidationProfile.PDF_UA_1)
    yield from (f"{name}: PDF/UA-1 {one.rule_id}: {one.message}" for one in report.failures)
    reader = PdfReader(BytesIO(pdf))
    if not (reader.metadata and reader.metadata.title):
        yield f"{name}: no title"
    if "/Lang" not in reader.root_object:
        yield f"{name}: no language"
    for number, page in enumerate(reader.pages, 1):
        yield from (f"{name}, page {number}: {font} is not embedded" for font in sorted(_loose_fonts(page)))
        with TemporaryDirectory() as folder:
            if not grey_levels(pdf, Path(folder), number) <= BLACK_AND_WHITE:
                yield f"{name}, page {number}: prints in grey"


def _loose_fonts(page: object) -> set[str]:
    """Fonts of a page without a font file (ISO 32000-1, 9.9)."""
    found: set[str] = set()
    fonts = page["/Resources"].get("/Font", {})  # type: ignore[index]  # pypdf's objects act as plain mappings
    for font in fonts.values():
        for part in font.get_object().get("/DescendantFonts", [font]):
            made = part.get_object()
            descriptor = made.get("/FontDescriptor", {}).get_object()
            if not {"/FontFile", "/FontFile2", "/FontFile3"} & set(descriptor):
                found.add(str(made.get("/BaseFont")))
    return found
