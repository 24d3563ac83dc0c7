"""Reads the shipped font into the values that the layout room measures with."""

from __future__ import annotations

from pathlib import Path
from types import MappingProxyType

from fontTools.ttLib import TTFont

from faultleaf.layout import Face, FontMetrics

FONT_FOLDER = Path(__file__).resolve().parent.parent / "assets" / "fonts"
REGULAR = "NotoSans-subset-Regular.ttf"
BOLD = "NotoSans-subset-Bold.ttf"


def load_metrics(folder: Path = FONT_FOLDER) -> FontMetrics:
    """The measures of both weights of the shipped font. Raises OSError when a file is missing."""
    return FontMetrics(load_face(folder / REGULAR), load_face(folder / BOLD))


def load_face(path: Path) -> Face:
    """The measures of one font file, in its own units."""
    with TTFont(path) as font:
        widths = font["hmtx"].metrics
        advances = {code: int(widths[glyph][0]) for code, glyph in sorted(font.getBestCmap().items())}
        return Face(
            advances=MappingProxyType(advances),
            units_per_em=int(font["head"].unitsPerEm),
            x_height=int(font["OS/2"].sxHeight),
            cap_height=int(font["OS/2"].sCapHeight),
            ascender=int(font["hhea"].ascent),
            descender=int(font["hhea"].descent),
        )
