"""The pages behind the charts: each step's method in a line or two, blanks for readings, proofs, cautions in full."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from typing import Final

from faultleaf.cards import Caution, Library, Repair, Test
from faultleaf.drawing import PLANT, crop_of_most, draw_window
from faultleaf.physics import unit_named
from faultleaf.sheets.front import Front, Maker
from faultleaf.sheets.job import Drawn, Paper, RepairStep
from faultleaf.sheets.words import Data, clean, document, firmness, keys_of, known_tests
from faultleaf.words import effort_text, graveness, limits_text, minutes_text

SIZES_PT: Final = (10.0, 9.5, 9.0, 8.5, 8.0)
MOST_PAGES: Final = 4
"""Pages of a sheet with its charts: two leaves of paper."""

Columns = list[list[list[int]]]
"""For each page its two columns, each the places of its entries in the list of all."""


def with_back(front: Front, maker: Maker) -> Data:
    """All that the template is given of a sheet with the pages behind its charts."""
    sheet = front.data(back=True)
    words, pages = fitted_back(maker, sheet, front)
    return {**sheet, "back": words, "pages": _charts(front) + pages}


def _charts(front: Front) -> int:
    return 1 + (front.over is not None)


def fitted_back(maker: Maker, sheet: Data, front: Front) -> tuple[Data, int]:
    """The pages as they serve best, and how many: everything in the largest type that keeps to two leaves of paper.

    Where the smallest is too large, the cautions in full are left to the field book and the site; where that is too
    much still, there are more pages.
    """
    words = back_words(front, maker)
    room = MOST_PAGES - _charts(front)
    measured = _measured(maker, sheet, words, front.paper)
    kinds = [one["kind"] for one in words["entries"]]
    whole = len(kinds) - 1 - kinds.count("where")
    steps = whole - kinds.count("caution")
    offers = [(size, whole) for size in SIZES_PT] + [(size, steps) for size in SIZES_PT[2:]]
    for size, count in offers:
        columns = _columns(measured[size], range(count))
        if len(columns) <= room:
            break
    drawn = _columns(measured[size], [*range(count), *range(whole, len(kinds) - 1)])
    best = drawn if len(drawn) == len(columns) else columns  # the picture takes no page of its own
    return {**words, "size": size, "columns": best}, len(best)


def _measured(maker: Maker, sheet: Data, words: Data, paper: Paper) -> dict[float, Data]:
    """For each size of type the heights of all entries, and the room of a column on the first page and on others."""
    told = {name: value for name, value in sheet.items() if name not in ("chart", "over", "qr")}
    asked = document("back-heights", paper, {**told, "back": {**words, "sizes": list(SIZES_PT), "size": SIZES_PT[0]}})
    return dict(zip(SIZES_PT, maker.press.measure(asked), strict=True))


def _columns(measured: Data, chosen: Iterable[int]) -> Columns:
    """The chosen entries in their order, and the last of all, down one column and then the other."""
    heights = list(enumerate(measured["entries"]))
    pages: Columns = [[[], []]]
    room = [measured["first"]] * 2
    for place, height in [*(heights[place] for place in chosen), heights[-1]]:
        column = next((side for side in (0, 1) if height <= room[side] and not (side == 0 and pages[-1][1])), None)
        if column is None:
            pages.append([[], []])
            room = [measured["other"]] * 2
            column = 0
        pages[-1][column].append(place)
        room[column] -= height
    return pages


def back_words(front: Front, maker: Maker) -> Data:
    """Everything on these pages but the columns."""
    sides = front.sides
    library = front.drawn.library
    cautions = sorted(
        (library.cautions[name] for name in dict.fromkeys(name for side in sides for name in side.cautions())),
        key=graveness,
    )
    words: Data = clean(
        {
            "keys": keys_of(cautions),
            "entries": [
                *(_test(library, number, test) for number, test in _tests_of(sides)),
                *(_repair(library, one) for one in _repairs_of(sides)),
                *(_proof(library, name) for name in _proofs_of(sides)),
                *(_in_full(one) for one in cautions),
                *_where(front, maker),
                {"kind": "last", "firm": firmness(front.drawn.job.stability)},
            ],
        }
    )
    return words


def _tests_of(sides: Sequence[Drawn]) -> Iterator[tuple[str, Test]]:
    """The tests of both charts, once each, with the numbers of all their places."""
    numbers: dict[str, list[str]] = {}
    tests = {test.id: test for side in sides for _, test in known_tests(side)}
    for number, test in (pair for side in sides for pair in known_tests(side)):
        numbers.setdefault(test.id, []).append(number)
    yield from ((", ".join(places), tests[name]) for name, places in numbers.items())


def _repairs_of(sides: Sequence[Drawn]) -> Iterator[RepairStep]:
    """The repairs of both charts, once each, with the numbers of all their places."""
    found: dict[tuple[str, str], RepairStep] = {}
    for one in (one for side in sides for one in side.repairs()):
        key = one.fault.id, one.repair.title
        same = found.get(key)
        found[key] = replace(one, number=f"{same.number}, {one.number}") if same else one
    yield from found.values()


def _where(front: Front, maker: Maker) -> Iterator[Data]:
    """The window of the plant's drawing that shows most of the parts that the tests stand at, and whose number is
    where; nothing where none is on the drawing."""
    library = front.drawn.library
    numbers: dict[str, list[str]] = {}
    for number, test in _tests_of(front.sides):
        if test.at:
            numbers.setdefault(test.at, []).append(number)
    counts = {card: len(places) for card, places in sorted(numbers.items(), key=lambda one: -len(one[1]))}
    crop = crop_of_most(PLANT, counts, maker.metrics)
    if crop is not None:
        seen = {part.card for part in PLANT.parts if part.id in crop.named}
        told = [f"{library.components[card].title}: {', '.join(numbers[card])}" for card in counts if card in seen]
        svg = draw_window(PLANT, crop, maker.metrics)
        yield {"kind": "where", "svg": svg, "words": "; ".join(told)}


def _proofs_of(sides: Sequence[Drawn]) -> tuple[str, ...]:
    """The proofs of all repairs, once each."""
    return tuple(dict.fromkeys(one.repair.proof for one in _repairs_of(sides)))


def _proof(library: Library, name: str) -> Data:
    proof = library.proofs[name]
    looks = "; ".join(f"{look.when}: {look.see.rstrip('.')}" for look in proof.looks)
    keys = keys_text(library, proof.cautions)
    return {"kind": "proof", "title": proof.title, "looks": looks, "holds": proof.holds_when, "keys": keys}


def _test(library: Library, number: str, test: Test) -> Data:
    reading, unit = _reading(library, test)
    return {
        "kind": "test",
        "number": number,
        "title": test.short.order if test.short else test.title,
        "long": test.title if test.short else "",
        "effort": effort_text(test.takes, test.wait, test.who),
        "wait": minutes_text(test.wait) if test.wait else "",
        "how": test.how or "",
        "outcomes": [
            {
                "words": words,
                "limits": "" if test.short else limits_words(test, name),
                "wanted": name == wanted_of(test),
            }
            for name, words in (test.short.outcomes if test.short else test.outcomes).items()
        ],
        "reading": reading,
        "unit": unit,
        "tools": ", ".join(test.tools),
        "keys": keys_text(library, test.cautions),
    }


def _reading(library: Library, test: Test) -> tuple[str, str]:
    """What is written into the blank of a measurement, and its unit; of a worksheet, whose page has its own blanks,
    the result that is asked first."""
    if test.measures:
        return test.measures.quantity, test.measures.unit
    if not test.works_out:
        return "", ""
    sheets = [library.worksheets[one.worksheet].title for one in test.works_out]
    first = library.worksheets[test.works_out[0].worksheet].results[next(iter(test.works_out[0].decides))]
    return f"Worksheet “{'” or “'.join(sheets)}”: {first.title}", unit_named(first.unit).label


def wanted_of(test: Test) -> str:
    """The outcome of a system without this fault: what is seen when the fault lies elsewhere; "" where nothing says."""
    if isinstance(test.otherwise, str):
        return test.otherwise
    shares: dict[str, float] = dict(test.otherwise or {})
    return max(shares, key=lambda name: (shares[name], name), default="")


def limits_words(test: Test, outcome: str) -> str:
    """The limits of a measured outcome with their unit; "" where it is only looked at."""
    return limits_text(test.measures.limits, outcome, test.measures.unit) if test.measures else ""


def _repair(library: Library, one: RepairStep) -> Data:
    fault, repair = one.fault, one.repair
    proof = library.proofs[repair.proof]
    return {
        "kind": "repair",
        "number": one.number,
        "title": f"{fault.short or fault.title}: {_act(repair)}",
        "long": f"{repair.title}." if repair.act else "",
        "effort": effort_text(repair.takes, 0.0, repair.who),
        "prove": list(repair.prove_first),
        "parts": ", ".join(repair.parts),
        "proof": proof.title,
        "causes": "; ".join(library.faults[name].title for name in fault.comes_from),
        "keys": keys_text(library, (*fault.cautions, *repair.cautions)),
    }


def _act(repair: Repair) -> str:
    return repair.act or repair.title


def keys_text(library: Library, ids: Iterable[str]) -> str:
    """The keys of these cautions on one line, the gravest first."""
    cautions = sorted((library.cautions[name] for name in dict.fromkeys(ids)), key=graveness)
    return " ".join(caution.key for caution in cautions)


def _in_full(caution: Caution) -> Data:
    fields = ("key", "hazard", "consequence", "avoid")
    words = {name: getattr(caution, name) for name in fields}
    return {"kind": "caution", "word": caution.signal.upper(), **words}
