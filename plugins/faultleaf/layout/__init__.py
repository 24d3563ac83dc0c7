"""From a chart to placed boxes, lines and an SVG drawing.

    Chart -> measured units -> columns -> routed lines -> PlacedChart -> SVG string

Each arrow is a pure function. Font files are read elsewhere; here a font is its `FontMetrics`.
"""

from .chart import Chart, ChartBox, ChartError, ChartExit, Flow, Symbol, reading_order
from .fit import DoesNotFit, Frame, lay_out
from .label import label_plan
from .metrics import Face, FontMetrics, clean_text
from .outline import OutlineExit, OutlineStep, outline
from .shapes import Connector, Line, PlacedChart, PlacedSymbol, Rect, TextLine, Unit, UnitExit
from .svg import draw_svg

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
    "outline",
    "reading_order",
]
