"""One box of the chart as a measured block: symbols, wrapped text, one row for each exit.

A long question inside a diamond wastes most of the paper. So the decision is a small true diamond
that carries a question mark, and the question stands beside it in the annotation bracket of
ISO 5807. Its exits leave as one line that branches, each branch with its words on it:

    +---------------------+
    | 3 Hold with ...     |   process: action, how, note
    +-/\\------------------+
      \\/ - [ Does it rise? |   decision
       |-- it stays --> (7)     a side exit, here with its connector
       |  it rises
       v                        the likeliest way, straight down
"""

from __future__ import annotations

from faultleaf.layout.chart import ChartBox
from faultleaf.layout.head import set_head
from faultleaf.layout.rows import Fan, set_exits
from faultleaf.layout.shapes import PlacedSymbol, Rect, Shape, Unit
from faultleaf.layout.style import LEADING, Style, centre_text, end_inset, set_lines


def measure_unit(
    style: Style, box: ChartBox, width: float, end_words: str, ways_down: tuple[int | None, ...]
) -> tuple[Unit, ...]:
    """The unit of `box`, `width` mm wide, at the origin, once for each of `ways_down`.

    That is the exit which goes straight down; None makes every exit a row with its own end.
    """
    head, cuts = _head(style, box, width)
    mark, mark_cuts = _mark(style, box, width, head[0].rect.bottom if head else 0.0)
    symbols = (*head, *mark)
    first = symbols[0]
    units = []
    for down in ways_down:
        exits, bottom, exit_cuts = set_exits(style, _fan(style, symbols, mark, box, width), box.exits, end_words, down)
        area = Rect(0, 0, width, max(bottom, first.rect.bottom))
        side = (style.stem, _entry_y(style, first), first.rect.w == width)
        units.append(Unit(box, area, symbols, exits, *side, cuts + mark_cuts + exit_cuts))
    return tuple(units)


def _fan(
    style: Style, symbols: tuple[PlacedSymbol, ...], mark: tuple[PlacedSymbol, ...], box: ChartBox, width: float
) -> Fan:
    """Where the exits of these symbols begin. Without words beside it, a diamond has a tip free for the first exit."""
    top = max(symbol.rect.bottom for symbol in symbols) + (0.25 * style.body if box.exits else 0.0)
    tip = mark[0].rect.y + style.diamond / 2 if len(mark) == 1 and len(box.exits) > 1 else None
    return Fan(width, (mark or symbols)[0].rect.bottom, top, tip)


def _entry_y(style: Style, first: PlacedSymbol) -> float:
    """Where a line from the side meets the first symbol: tips and round ends at half height."""
    return style.pad + style.lead / 2 if first.shape == "process" else first.rect.h / 2


def _head(style: Style, box: ChartBox, width: float) -> tuple[tuple[PlacedSymbol, ...], int]:
    """The process, terminal or preparation with the action; nothing for a bare decision or connector."""
    bare = box.symbol == "connector" or (box.symbol == "decision" and not box.action)
    if bare:
        return (), 0
    shape: Shape = "process" if box.symbol == "decision" else box.symbol
    lines = 0
    while True:  # round and slanted ends need more room the taller the symbol is
        lines += 1
        inset = _inset(style, shape, lines)
        text = set_head(style, box, Rect(inset, style.pad, width - 2 * inset, 0))
        if text.height <= lines * style.lead + 1e-9 or _inset(style, shape, lines + 1) <= inset:
            break
    rect = Rect(0, 0, width, text.height + 2 * style.pad)
    return (PlacedSymbol(shape, rect, text.lines), *text.marks), text.cut_words


def _inset(style: Style, shape: Shape, lines: int) -> float:
    """From the side of a symbol to its text, for a symbol of so many lines."""
    if shape == "preparation":
        return style.stem * 0.8 + style.pad
    if shape == "terminal":
        return end_inset(lines * style.lead + 2 * style.pad, style.pad, style.stem) + style.pad
    return style.pad


def _mark(style: Style, box: ChartBox, width: float, top: float) -> tuple[tuple[PlacedSymbol, ...], int]:
    """The diamond with its question, or the circle of a connector box; nothing where no choice is made."""
    connector = box.symbol == "connector"
    if not (connector or box.question or len(box.exits) > 1 or box.symbol == "decision"):
        return (), 0
    bare = "\n".join(one for one in (box.hazard, box.action, box.question, box.how, box.note) if one)
    words = box.question if top else bare  # without a head above it, the mark says everything
    rect = Rect(0, top, style.diamond, style.diamond)
    sign = "?" if top else str(box.number)
    mark = PlacedSymbol(
        "connector" if connector else "decision", rect, (centre_text(style, sign, rect, style.question),)
    )
    x = style.diamond + 0.75 * style.body
    text = style.wrap(words, style.question, width - x, bold=True)
    if not text.lines:
        return (mark,), text.cut_words
    lead = style.question * LEADING
    free = max(0.3 * style.body, (style.diamond - len(text.lines) * lead) / 2)
    lines = set_lines(style, text, x, top + free + lead / 2, style.question, bold=True)
    bracket = Rect(
        style.diamond + 0.4 * style.body, top + free, width - style.diamond - 0.4 * style.body, len(text.lines) * lead
    )
    return (mark, PlacedSymbol("annotation", bracket, lines)), text.cut_words
