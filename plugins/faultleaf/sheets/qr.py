"""A code of squares (ISO/IEC 18004) for a web address: never the only way to it, so the address is printed too."""

from __future__ import annotations

import segno

from faultleaf.cards import Library, Symptom
from faultleaf.cards.urls import code_url


def address_of(library: Library, symptom: Symptom, variant: str) -> str:
    """The address at which a call for this symptom and variant is worked, "" where the site has none."""
    return f"{library.site.address}/{code_url(symptom.id, variant)}" if library.site.address else ""


def qr_rows(address: str) -> list[list[int]]:
    """The squares row by row, 1 for black, without a margin; none without an address."""
    if not address:
        return []
    return [[int(one > 0) for one in row] for row in segno.make_qr(address, error="m").matrix]
