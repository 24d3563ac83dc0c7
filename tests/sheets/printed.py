"""What stands on a page of a PDF, read by pypdf and poppler, which know nothing of how it was made."""

import subprocess
from dataclasses import dataclass
from functools import cached_property
from io import BytesIO
from pathlib import Path

from pypdf import PageObject, PdfReader

MM = 72 / 25.4
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
    def texts(self) -> list[str]:
        """The text of every page, read once."""
        return [squeezed(page.extract_text()) for page in self.pages]

    def text(self, page: int = 0) -> str:
        """The text of a page in the order of its content, without white space: line breaks do not count."""
        return self.texts[page]


def squeezed(text: str) -> str:
    """The text without white space."""
    return "".join(text.split())


def type_sizes(page: PageObject) -> set[float]:
    """Every size of type on the page (pt)."""
    found: set[float] = set()

    def visit(text: str, cm: list[float], tm: list[float], _font: object, size: float) -> None:
        if text.strip():
            found.add(round(size * abs(tm[3]) * abs(cm[3]), 2))

    page.extract_text(visitor_text=visit)
    return found


def grey_levels(pdf: bytes, folder: Path, page: int) -> set[int]:
    """The levels of grey (0 black, 255 white) that a page prints in, without the mixed ones of smooth edges."""
    source = folder / "sheet.pdf"
    source.write_bytes(pdf)
    command = ["pdftoppm", "-gray", "-r", "60", "-aa", "no", "-aaVector", "no", "-f", str(page), "-l", str(page)]
    done = subprocess.run([*command, str(source)], check=True, capture_output=True)
    _magic, _size, _depth, pixels = done.stdout.split(b"\n", 3)
    return set(pixels)
