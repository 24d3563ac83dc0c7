"""The heating plant as one line drawing, cut-aways of its parts, and windows into it. Pure.

    parts, pipes, labels (data) -> Scene -> a pane or a window round a part -> SVG string

`plant` holds the drawing as data, `inside` the cut-aways; `symbols` makes shapes from sizes, `svg` draws.
"""

from faultleaf.drawing.crop import Crop, crop_of, crop_of_most
from faultleaf.drawing.inside import CUTAWAYS
from faultleaf.drawing.plant import PLANT
from faultleaf.drawing.scene import Cutaway, Label, Pane, Part, Pipe, Scene
from faultleaf.drawing.svg import draw_crop, draw_cutaway, draw_pane, draw_window

__all__ = [
    "CUTAWAYS",
    "PLANT",
    "Crop",
    "Cutaway",
    "Label",
    "Pane",
    "Part",
    "Pipe",
    "Scene",
    "crop_of",
    "crop_of_most",
    "draw_crop",
    "draw_cutaway",
    "draw_pane",
    "draw_window",
]
