"""From a chosen front to the bytes of a file."""

from __future__ import annotations

from faultleaf.sheets.back import with_back
from faultleaf.sheets.front import Front, Maker
from faultleaf.sheets.words import document


def make_sheet(front: Front, maker: Maker, back: bool) -> bytes:
    """The sheet as a PDF: its front, and with `back` a second page for the other side of the paper."""
    sheet = with_back(front, maker) if back else front.data(back=False)
    return maker.press.pdf(document("sheet", front.paper, sheet))
