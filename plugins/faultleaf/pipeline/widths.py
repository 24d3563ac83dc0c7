"""Short words of cards that are too wide for their place on a sheet, measured in the sheet's own font."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from faultleaf.cards import Caution, Fault, Library, Mistake, Origin, Test
from faultleaf.cards.mistakes import Loc, dotted
from faultleaf.cards.short import Short
from faultleaf.layout import FLOOR_PT, FontMetrics, clean_text
from faultleaf.layout.metrics import MM_PER_PT

EM_MM: Final = FLOOR_PT * MM_PER_PT
"""A size of the least type in which a step is printed."""
ORDER_MM, ASKS_MM, OUTCOME_MM = 64.0, 47.0, 34.0
"""Half a page's width: the order beside number and minutes, the question beside its keys, two outcomes on a line."""
FAULT_MM, ACT_MM = 42.0, 51.0
"""A repair stands aside of its test, with minutes and the decision behind it."""
CAUTION_MM, DANGER_MM = 45.5, 161.0
"""A quarter of the page's width for a key with its order; a line beside the signal word, in type of 12 pt."""
DANGER_PT: Final = 12.0
HINT: Final = "Say it in fewer or narrower letters."


@dataclass(frozen=True)
class _Words:
    """Words of a card, where they stand in it, and the width that they have on a sheet (mm)."""

    loc: Loc
    text: str
    most: float
    bold: bool = False
    key: str = ""  # bold before the words
    pt: float = FLOOR_PT


def too_wide(library: Library, metrics: FontMetrics) -> Iterator[Mistake]:
    """A warning for all short words that a sheet would have to break into a further line."""
    for origin, words in _all_words(library):
        face = metrics.bold if words.bold else metrics.regular
        em = face.width_em(clean_text(words.text))
        em += metrics.bold.width_em(words.key) + metrics.regular.width_em(" ") if words.key else 0.0
        wide = em * words.pt * MM_PER_PT
        if wide > words.most:
            message = f"{wide:.1f} mm wide in the sheet's type of {words.pt:g} pt, {words.most:g} mm fit"
            line = origin.line_of(words.loc)
            yield Mistake(origin.path, line, dotted(words.loc), message, HINT, "too-wide", "warning")


def _all_words(library: Library) -> Iterator[tuple[Origin, _Words]]:
    for key, card in library.cards.items():
        if isinstance(card, Test) and card.short:
            found = _of_short(("short",), card.short)
        elif isinstance(card, Fault):
            found = _of_fault(card)
        elif isinstance(card, Caution):
            found = [_of_caution(card)]
        else:
            continue
        yield from ((library.origins[key], words) for words in found)
    for name, feature in library.equipment.items():
        if feature.short:
            origin = library.origins["equipment", name]
            yield from ((origin, words) for words in _of_short((name, "short"), feature.short))


def _of_short(loc: Loc, short: Short) -> Sequence[_Words]:
    outcomes = [_Words((*loc, "outcomes", name), text, OUTCOME_MM) for name, text in short.outcomes.items()]
    order = _Words((*loc, "order"), short.order, ORDER_MM, bold=True)
    return [order, _Words((*loc, "asks"), short.asks, ASKS_MM, bold=True), *outcomes]


def _of_fault(fault: Fault) -> Sequence[_Words]:
    places: list[Loc] = [("repair",)] if fault.repair else []
    places += [("repairs", index) for index in range(len(fault.repairs))]
    acts = zip(places, fault.all_repairs, strict=True)
    found = [_Words((*loc, "act"), repair.act, ACT_MM) for loc, repair in acts if repair.act]
    return [*found, _Words(("short",), fault.short, FAULT_MM, bold=True)] if fault.short else found


def _of_caution(caution: Caution) -> _Words:
    if caution.signal == "danger":
        return _Words(("order",), caution.order, DANGER_MM, key=caution.key, pt=DANGER_PT)
    return _Words(("order",), caution.order, CAUTION_MM, key=caution.key)
