"""Every size and distance of the drawing, in proportion to the type, and text set to them."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

from faultleaf.layout.metrics import Rulers
from faultleaf.layout.shapes import PlacedSymbol, Rect, TextLine
from faultleaf.layout.wrap import Wrapped, wrap

LEADING = 1.25  # STANDARDS: at least a quarter of the type size between lines
QUESTION = 14 / 12  # size of questions against other text


@dataclass(frozen=True)
class Style:
    """Every distance of the drawing, from the size of ordinary text (`body`, mm)."""

    rulers: Rulers
    body: float

    @property
    def question(self) -> float:
        """Size of questions and numbers."""
        return self.body * QUESTION

    @property
    def lead(self) -> float:
        """From baseline to baseline of ordinary text."""
        return self.body * LEADING

    @property
    def pad(self) -> float:
        """From an outline to the text in it."""
        return self.body * 0.45

    @property
    def diamond(self) -> float:
        """Height and width of a decision."""
        return self.body * 2.45

    @property
    def stem(self) -> float:
        """From the left edge of a unit to the line that runs down."""
        return self.diamond / 2

    @property
    def circle(self) -> float:
        """Diameter of a connector: two digits and the stroke, and no more than leaves the next line of text free."""
        return self.body * 1.58

    @property
    def arrow(self) -> float:
        """Length of the shortest line with an arrowhead."""
        return self.body * 1.25

    @property
    def words(self) -> float:
        """From the left edge of a unit to the words of its exits."""
        return self.stem + self.body

    def text_width(self, text: str, size: float, bold: bool = False) -> float:
        """Width of `text` in mm."""
        return self.rulers.of(bold).width_em(text) * size

    def wrap(self, text: str, size: float, width: float, bold: bool = False, indent: float = 0.0) -> Wrapped:
        """`text` broken to `width` mm."""
        return wrap(text, self.rulers.of(bold), max(width, size) / size, indent / size)

    def middle(self, size: float) -> float:
        """From the middle of small letters down to their baseline; alike for both weights, so leading is even."""
        face = self.rulers.regular.face
        return size * face.x_height / face.units_per_em / 2


def set_lines(
    style: Style, text: Wrapped, x: float, middle_y: float, size: float, bold: bool = False
) -> tuple[TextLine, ...]:
    """The lines one below the other, the middle of the first at `middle_y`."""
    first = middle_y + style.middle(size)
    return tuple(
        TextLine(x, first + i * size * LEADING, line, size, width * size, bold)
        for i, (line, width) in enumerate(zip(text.lines, text.widths, strict=True))
    )


def centre_text(style: Style, text: str, rect: Rect, size: float) -> TextLine:
    """One bold line in the middle of `rect`, by the height of its capitals."""
    width = style.text_width(text, size, bold=True)
    face = style.rulers.bold.face
    y = rect.y + rect.h / 2 + size * face.cap_height / face.units_per_em / 2
    return TextLine(rect.x + (rect.w - width) / 2, y, text, size, width, bold=True)


def circle_for(style: Style, number: int, x: float, middle_y: float) -> PlacedSymbol:
    """The connector circle of a box number, its left edge at `x`."""
    rect = Rect(x, middle_y - style.circle / 2, style.circle, style.circle)
    return PlacedSymbol("connector", rect, (centre_text(style, str(number), rect, style.body),))


def end_radius(height: float, stem: float) -> float:
    """Radius of a terminal's round ends (mm): half its height, but never past the line that comes in from above."""
    return min(height / 2, stem)


def end_inset(height: float, pad: float, stem: float) -> float:
    """From the side of a terminal to text that keeps `pad` from its upper and lower edge (mm)."""
    radius = end_radius(height, stem)
    return radius - sqrt(radius**2 - (radius - pad) ** 2)
