"""The field book: all sheets of a site in one PDF, with what helps to find the right one."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from faultleaf.cards import Card, Caution, Library
from faultleaf.layout import Frame, lay_out
from faultleaf.sheets.back import keys_text, with_back
from faultleaf.sheets.chart_data import chart_data
from faultleaf.sheets.front import Front, Maker
from faultleaf.sheets.job import MARGIN_MM
from faultleaf.sheets.practice import TASKS, practice_chart
from faultleaf.sheets.steps import steps_of
from faultleaf.sheets.words import READING, Data, clean, document, known_tests, notices
from faultleaf.words import capital, graveness, often_text

PRACTICE_MM = 110.0


def make_book(library: Library, fronts: Sequence[Front], maker: Maker) -> bytes:
    """The book of these sheets, all on the same paper, in their order. Raises ValueError without sheets."""
    if not fronts:
        raise ValueError("a field book needs at least one sheet")
    paper = fronts[0].paper
    frame = Frame(paper.width_mm - 2 * MARGIN_MM, PRACTICE_MM)
    practice = {"chart": chart_data(lay_out(practice_chart(), maker.metrics, frame)), "tasks": list(TASKS)}
    words = clean(
        {
            **_about(library),
            "said": _said(fronts),
            "tables": _tables(library, fronts),
            "methods": _methods(fronts),
            "cautions": [_caution(one) for one in _by_gravity(library)],
            "notices": notices(library),
            "reading": list(READING),
        }
    )
    sheets = [{**with_back(front, maker), "key": _key(front)} for front in fronts]
    return maker.press.pdf(document("book", paper, {**words, "practice": practice, "sheets": sheets}))


def _key(front: Front) -> str:
    return f"{front.drawn.job.symptom.id}/{front.drawn.job.variant}"


def _about(library: Library) -> Mapping[str, Any]:
    site = library.site
    return {
        "title": site.title,
        "variant": "Field book",
        "publisher": site.firm or site.title,
        "telephone": site.telephone or "",
        "address": site.address or "",
        "invented": site.invented or "",
        "lang": "en",
    }


def _said(fronts: Sequence[Front]) -> list[Data]:
    """What callers say, from A to Z, with the first sheet of the symptom that it means."""
    first: dict[str, Front] = {}
    for front in fronts:
        first.setdefault(front.drawn.job.symptom.id, front)
    lines = [
        {"said": capital(said), "title": front.drawn.job.symptom.title, "key": _key(front)}
        for front in first.values()
        for said in front.drawn.job.symptom.said_in_print
    ]
    return sorted(lines, key=lambda line: (line["said"].lower(), line["title"]))


def _tables(library: Library, fronts: Sequence[Front]) -> list[Data]:
    """For each symptom its causes, the strongest first, with how often each shows so."""
    symptoms = {front.drawn.job.symptom.id: front.drawn.job.symptom for front in fronts}
    tables = []
    for name, symptom in symptoms.items():
        causes = sorted(library.candidates(name), key=lambda fault: (-fault.symptoms[name], fault.title))
        rows = [
            {
                "cause": fault.title,
                "part": library.components[fault.component].title,
                "strength": fault.symptoms[name],
                "words": often_text(fault.symptoms[name]),
            }
            for fault in causes
        ]
        tables.append({"title": symptom.title, "rows": rows})
    return tables


def _methods(fronts: Sequence[Front]) -> list[Data]:
    """The long method of every test and repair of the sheets, once, by title: tests, then repairs."""
    sides = [side for front in fronts for side in front.sides]
    library = sides[0].library
    tests = {test.id: test for side in sides for _, test in known_tests(side)}
    faults = {one.fault.id: one.fault for side in sides for one in side.repairs()}
    told = [_method(library, test, test.short.order if test.short else "", "Steps", test.cautions)
            for test in sorted(tests.values(), key=lambda test: test.title)]  # fmt: skip
    told += [_method(library, fault, fault.short or "", "Repair", fault.all_cautions)
             for fault in sorted(faults.values(), key=lambda fault: fault.title)]  # fmt: skip
    return [one for one in told if one["steps"]]


def _method(library: Library, card: Card, short: str, section: str, cautions: Iterable[str]) -> Data:
    keys = keys_text(library, cautions)
    return {"title": card.title, "short": short, "keys": keys, "steps": steps_of(card, section)}


def _by_gravity(library: Library) -> list[Caution]:
    return sorted(library.cautions.values(), key=lambda one: (graveness(one), one.title))


def _caution(one: Caution) -> Data:
    fields = ("key", "symbol", "title", "hazard", "consequence", "avoid", "rule")
    return {"word": one.signal.upper(), **{name: getattr(one, name) for name in fields}}
