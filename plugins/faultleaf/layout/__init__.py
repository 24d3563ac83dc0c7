"""From a chart to placed boxes, lines and an SVG drawing.

    Chart -> order of reading -> measured boxes -> columns -> PlacedChart -> figures -> SVG string

Each arrow is a pure function. Font files are read elsewhere; here a font is its `FontMetrics`.
"""

from faultleaf.layout.chart import Chart, ChartBox, ChartError, ChartExit, Symbol, in_brief
from faultleaf.layout.drawing import Circle, DrawnBox, DrawnExit, Figure, Polyline, RoundRect, drawing
from faultleaf.layout.fit import FLOOR_PT, DoesNotFit, Frame
from faultleaf.layout.fitting import Fitting, lay_out, lay_out_turned
from faultleaf.layout.label import label_plan
from faultleaf.layout.memory import Memory, remembered
from faultleaf.layout.metrics import Face, FontMetrics, clean_text
from faultleaf.layout.order import Place, reading_order
from faultleaf.layout.outline import OutlineExit, OutlineStep, outline
from faultleaf.layout.shapes import PlacedBox, PlacedChart, PlacedExit, PlacedSymbol, Rect, TextLine
from faultleaf.layout.sheets import lay_out_sheets
from faultleaf.layout.svg import draw_svg

__all__ = [
    "FLOOR_PT",
    "Chart",
    "ChartBox",
    "ChartError",
    "ChartExit",
    "Circle",
    "DoesNotFit",
    "DrawnBox",
    "DrawnExit",
    "Face",
    "Figure",
    "Fitting",
    "FontMetrics",
    "Frame",
    "Memory",
    "OutlineExit",
    "OutlineStep",
    "Place",
    "PlacedBox",
    "PlacedChart",
    "PlacedExit",
    "PlacedSymbol",
    "Polyline",
    "Rect",
    "RoundRect",
    "Symbol",
    "TextLine",
    "clean_text",
    "draw_svg",
    "drawing",
    "in_brief",
    "label_plan",
    "lay_out",
    "lay_out_sheets",
    "lay_out_turned",
    "outline",
    "reading_order",
    "remembered",
]
