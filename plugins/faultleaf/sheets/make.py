"""From a chosen front to the bytes of a file."""

from __future__ import annotations

from faultleaf.sheets.front import FRONT, Front, Maker


def make_sheet(front: Front, maker: Maker, back: bool) -> bytes:
    """The sheet as a PDF: its front, and with `back` a second page for the other side of the paper."""
    return maker.press.pdf(FRONT, front.data(back))
