"""From a chart to placed boxes, lines and an SVG drawing.

    Chart -> measured units -> columns -> routed lines -> PlacedChart -> SVG string

Each arrow is a pure function. Font files are read elsewhere; here a font is its `FontMetrics`.
"""

from faultleaf.layout.chart import Chart, ChartBox, ChartError, ChartExit, Flow, Symbol, reading_order
from faultleaf.layout.fit import DoesNotFit, Frame, lay_out, lay_out_legible
from faultleaf.layout.label import label_plan
from faultleaf.layout.metrics import Face, FontMetrics, clean_text
from faultleaf.layout.outline import OutlineExit, OutlineStep, outline
from faultleaf.layout.shapes import Connector, Line, PlacedChart, PlacedSymbol, Rect, TextLine, Unit, UnitExit
from faultleaf.layout.svg import draw_svg

__all__ = [
    "Chart",
    "ChartBox",
    "ChartError",
    "ChartExit",
    "Connector",
    "DoesNotFit",
    "Face",
    "Flow",
    "FontMetrics",
    "Frame",
    "Line",
    "OutlineExit",
    "OutlineStep",
    "PlacedChart",
    "PlacedSymbol",
    "Rect",
    "Symbol",
    "TextLine",
    "Unit",
    "UnitExit",
    "clean_text",
    "draw_svg",
    "label_plan",
    "lay_out",
    "lay_out_legible",
    "outline",
    "reading_order",
]
