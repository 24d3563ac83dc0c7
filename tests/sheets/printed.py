"""What stands on a page of a PDF, read by PDFium, pypdf and poppler, which know nothing of how it was made."""

import subprocess
from dataclasses import dataclass
from functools import cached_property
from io import BytesIO
from pathlib import Path

import pypdfium2.raw as pdfium
from pypdf import PageObject, PdfReader
from pypdfium2 import PdfDocument, PdfTextPage

MM = 72 / 25.4
SOFT_HYPHEN = "\ufffe"
"""What PDFium makes of a hyphen at the end of a line."""
PAPERS = {"letter": (215.9, 279.4), "a4": (210.0, 297.0)}
"""Sizes of ANSI A (Letter) and ISO 216 A4, mm."""


@dataclass(frozen=True)
class Printed:
    """A file and its pages."""

    name: str
    pdf: bytes

    @cached_property
    def pages(self) -> list[PageObject]:
        """The pages in order."""
        return list(PdfReader(BytesIO(self.pdf)).pages)

    @property
    def paper(self) -> str:
        """The paper that the file's name speaks of."""
        return self.name.removesuffix(".pdf").rpartition("-")[2]

    @cached_property
    def _read(self) -> list[PdfTextPage]:
        """The text of every page, read by PDFium."""
        return [page.get_textpage() for page in PdfDocument(self.pdf)]

    @cached_property
    def texts(self) -> list[str]:
        """The text of every page without white space: line breaks do not count, nor do hyphens turn soft at them."""
        return [squeezed(page.get_text_range()).replace(SOFT_HYPHEN, "-") for page in self._read]

    def text(self, page: int = 0) -> str:
        """The text of a page without white space."""
        return self.texts[page]

    def read(self, page: int = 0) -> str:
        """The same in the very order of the file's content, by pypdf (25 times slower)."""
        return squeezed(self.pages[page].extract_text())

    def type_sizes(self, number: int = 0) -> set[float]:
        """Every size of type on a page (pt)."""
        page, matrix = self._read[number], pdfium.FS_MATRIX()
        found = set()
        for place in range(page.count_chars()):
            if chr(pdfium.FPDFText_GetUnicode(page, place)).isspace():
                continue
            pdfium.FPDFText_GetMatrix(page, place, matrix)
            found.add(round(pdfium.FPDFText_GetFontSize(page, place) * abs(matrix.d), 2))
        return found


def squeezed(text: str) -> str:
    """The text without white space."""
    return "".join(text.split())


def grey_levels(pdf: bytes, folder: Path, page: int) -> set[int]:
    """The levels of grey (0 black, 255 white) that a page prints in, without the mixed ones of smooth edges."""
    source = folder / "sheet.pdf"
    source.write_bytes(pdf)
    command = ["pdftoppm", "-gray", "-r", "60", "-aa", "no", "-aaVector", "no", "-f", str(page), "-l", str(page)]
    done = subprocess.run([*command, str(source)], check=True, capture_output=True)
    _magic, _size, _depth, pixels = done.stdout.split(b"\n", 3)
    return set(pixels)
