"""The words of a sheet's front, as plain data for the template: nothing is worked out there."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable
from dataclasses import asdict
from string import ascii_lowercase
from typing import Any, Final

from faultleaf.cards import Card, Caution, Library, Test
from faultleaf.cards.vocabulary import rank_level
from faultleaf.diagnosis.worth.endings import endings
from faultleaf.diagnosis.worth.shake import Stability
from faultleaf.layout import clean_text
from faultleaf.sheets.job import Drawn, Mark, Paper, RepairStep
from faultleaf.sheets.qr import address_of, qr_rows
from faultleaf.words import ends_text, graveness, rank_text

MOST_FULL: Final = 3
"""Cautions told at length at the head of a sheet (STANDARDS: at most three); the others take a line each."""
PANELS: Final = (("danger",), ("warning", "caution"), ("notice",))
"""The signal words of each panel at the head of a sheet."""
READING: Final = (
    "How to read: start at the top, do the box, answer its question.",
    "Follow the line with your answer; a numbered circle leads to that box.",
    "Boxes name minutes and lowest rank; triangle: read the cautions first.",
)
NO_STATE: Final = "burner locked off, boiler as it was found"
POINTERS: Final = {True: "see the back.", False: "see each repair's card."}

Data = dict[str, Any]


def front_words(drawn: Drawn, back: bool) -> Data:
    """Everything on the front but the paper and the placed chart."""
    job, library = drawn.job, drawn.library
    address = address_of(library, job.symptom, job.variant)
    words: Data = {
        "lang": drawn.chart.lang,
        "title": job.symptom.title,
        "variant": drawn.chart.subtitle or "Any system",
        "system": " · ".join(library.equipment[f].values[v].title for f, v in job.equipment.items()),
        "publisher": library.site.title,
        "firm": {"name": library.site.firm or "", "telephone": library.site.telephone or ""},
        "who": who_words(drawn),
        "at_start": job.symptom.at_start or NO_STATE,
        "tools": ", ".join(tools_of(drawn)) or "none",
        "panels": panels(library, drawn.cautions(), job.symptom.make_safe),
        "first": first_checks(drawn),
        "ends": [_end(library, one) for one in drawn.repairs()],
        "proofs": _by_proof(library, drawn.repairs()),
        "pointer": POINTERS[back],
        "notices": notices(library),
        "reading": list(READING),
        "pages": 2 if back else 1,
        "qr": qr_rows(address),
        "mark": _mark(job.mark),
    }
    words["numbers"] = _numbers(drawn)
    words["about"] = f"{job.symptom.id} · version {version_of(words, drawn)} · reviewed {reviewed(drawn)}"
    words["about"] += f" · {address}" if address else ""
    cleaned: Data = clean(words)
    return cleaned


def _mark(mark: Mark | None) -> Data:
    """The mark for the template, empty where there is none; typst takes bytes as numbers."""
    return {"bytes": list(mark.content), "form": mark.form, "alt": mark.alt} if mark else {}


def who_words(drawn: Drawn) -> str:
    """Whom the sheet is for: the highest rank that a step asks for."""
    ranks = [_rank(drawn.library, step) for _, step in drawn.steps()]
    highest = max(ranks, key=rank_level, default="technician")
    return rank_text(highest)


def _rank(library: Library, step: str) -> str:
    if step in library.tests:
        return library.tests[step].who
    found = library.find_repair(step)
    return found[1].who if found else "owner"


def known_tests(drawn: Drawn) -> Iterable[tuple[str, Test]]:
    """The tests of the chart with their numbers; questions about the equipment are none."""
    return ((number, drawn.library.tests[step]) for number, step in drawn.steps() if step in drawn.library.tests)


def tools_of(drawn: Drawn) -> tuple[str, ...]:
    """The tools of all tests, once each."""
    return tuple(dict.fromkeys(tool for _, test in known_tests(drawn) for tool in test.tools))


def panels(library: Library, ids: Iterable[str], at_length: Iterable[str]) -> list[Data]:
    """At most three panels, the gravest first: DANGER, what else hurts people under its gravest word, NOTICE.

    The gravest of `at_length` are told in full, three at most; the others take a line each. Several hazards under
    the gravest word of theirs: ANSI Z535.4, as ISO 9244:2020 words it (at second hand).
    """
    cautions = sorted((library.cautions[name] for name in ids), key=graveness)
    full = sorted((library.cautions[name] for name in at_length), key=graveness)
    gravest = [one for one in full if one.signal == full[0].signal]
    long = {one.id for one in gravest[:MOST_FULL]}
    groups = ([one for one in cautions if one.signal in words] for words in PANELS)
    return [
        {
            "word": group[0].signal.upper(),
            "full": [_caution(one) for one in group if one.id in long],
            "brief": [_caution(one) for one in group if one.id not in long],
        }
        for group in groups
        if group
    ]


def _caution(caution: Caution) -> Data:
    fields = ("symbol", "title", "hazard", "consequence", "avoid")
    return {"brief": caution.brief or caution.avoid, **{name: getattr(caution, name) for name in fields}}


def first_checks(drawn: Drawn) -> list[Data]:
    """The tests that come first on this symptom, with their numbers on the chart."""
    numbers = {test.id: number for number, test in known_tests(drawn)}
    return [
        {"number": numbers[check.test], "title": drawn.library.tests[check.test].title, "because": check.because}
        for check in drawn.job.symptom.first
        if check.test in numbers
    ]


def _end(library: Library, one: RepairStep) -> Data:
    return {
        "number": one.number,
        "title": one.repair.title,
        "prove": [text.rstrip(".") for text in one.repair.prove_first],
        "proof": library.proofs[one.repair.proof].title,
        "causes": [library.faults[name].title for name in one.fault.comes_from],
    }


def _by_proof(library: Library, repairs: Iterable[RepairStep]) -> list[Data]:
    """The proofs, each with the numbers of its repairs in the order of the chart."""
    numbers: dict[str, list[str]] = {}
    for one in repairs:
        numbers.setdefault(one.repair.proof, []).extend(one.number.split(", "))
    return [
        {"proof": library.proofs[proof].title, "numbers": sorted(group, key=_place)} for proof, group in numbers.items()
    ]


def _place(number: str) -> tuple[int, str]:
    """Where "12b" stands among the numbers of a chart."""
    digits = number.rstrip(ascii_lowercase)
    return int(digits), number.removeprefix(digits)


def notices(library: Library) -> list[Data]:
    """The general notice and each jurisdiction's own, with date and source."""
    site = library.site
    general = {"place": "", "text": site.notice, "source": "", "date": ""}
    return [general] + [
        {"place": one.place, "text": one.text, "source": one.source, "date": one.date.isoformat()}
        for one in site.notices
    ]


def _numbers(drawn: Drawn) -> list[str]:
    """How calls end that follow the chart, and how far that hangs on the numbers."""
    site = drawn.library.site
    ends = endings(drawn.job.problem, drawn.plan)
    told = f"{ends_text(**asdict(ends))} {firmness(drawn.job.stability)}Handed on: call {site.call}. "
    return [f"{told}Computed: a hint, never proof.", *([site.invented] if site.invented else [])]


def firmness(stable: Stability) -> str:
    """How often the first step stays the same when the numbers are made wrong; "" where that was not tried."""
    if not stable.tries:
        return ""
    return (
        f"With all numbers made wrong by up to twice, the first step after the checks stays in {stable.same} of "
        f"{stable.tries} tries. "
    )


def reviewed(drawn: Drawn) -> str:
    """The oldest review among the cards of the sheet."""
    library = drawn.library
    cards: list[Card] = [drawn.job.symptom, *(test for _, test in known_tests(drawn))]
    cards += [one.fault for one in drawn.repairs()]
    cards += [library.cautions[name] for name in drawn.cautions()]
    days = [card.reviewed for card in cards]
    return min(day for day in days if day).isoformat() if all(days) else "not yet"


def version_of(words: Data, drawn: Drawn) -> str:
    """A sign of everything the sheet says: it changes when a word of it does."""
    boxes = [(box.number, box.action, box.question, [way.label for way in box.exits]) for box in drawn.chart.boxes]
    text = json.dumps([words, boxes], sort_keys=True, ensure_ascii=False)
    return hashlib.sha256(text.encode()).hexdigest()[:6]


def clean(value: Any) -> Any:
    """The data with every text cleaned for setting, as the chart's is."""
    if isinstance(value, str):
        return clean_text(value)
    if isinstance(value, dict):
        return {name: clean(one) for name, one in value.items()}
    return [clean(one) for one in value] if isinstance(value, list) else value


def document(kind: str, paper: Paper, sheet: Data) -> Data:
    """What the templates are given of one sheet."""
    return {
        "kind": kind,
        "paper": {"width": paper.width_mm, "height": paper.height_mm},
        "title": f"{sheet['title']}: {sheet['variant']}",
        "publisher": sheet["publisher"],
        "lang": sheet["lang"],
        "sheet": sheet,
    }
