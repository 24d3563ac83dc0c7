"""The words of a sheet's front, as plain data for the template: nothing is worked out there."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Sequence
from dataclasses import asdict
from typing import Any, Final

from faultleaf.cards import Card, Caution, Library, Test
from faultleaf.cards.vocabulary import rank_level
from faultleaf.diagnosis.worth.endings import Endings
from faultleaf.diagnosis.worth.shake import Stability
from faultleaf.layout import clean_text
from faultleaf.sheets.job import Drawn, Mark, Paper
from faultleaf.sheets.qr import address_of, qr_rows
from faultleaf.words import ends_text, graveness, rank_text

READING: Final = (
    "Do the box, answer its question, follow the line with your answer; a numbered circle leads to that box.",
    "Small diamond: cured? Yes: prove it, the call is over. Triangle: the keys above, read before the step.",
    "Minutes are hands-on, waiting after the plus; lowest rank: O owner, A apprentice, T technician, L licensed.",
)
AGAIN: Final = (
    "Read as on the front. What the front has shown or tried already need not be done again: take what it showed."
)
NO_STATE: Final = "burner locked off, boiler as it was found"
Data = dict[str, Any]


def front_words(drawn: Drawn, ends: Endings, back: bool) -> Data:
    """Everything on a side with a chart but the paper and the placed chart; `ends` is how its calls end."""
    job, library = drawn.job, drawn.library
    address = address_of(library, job.symptom, job.variant)
    words: Data = {
        "lang": drawn.chart.lang,
        "title": job.symptom.title,
        "variant": (drawn.chart.subtitle or "Any system") + (", goes on" if job.after else ""),
        "publisher": library.site.title,
        "firm": {"name": library.site.firm or "", "telephone": library.site.telephone or ""},
        "who": who_words(drawn),
        "at_start": job.symptom.at_start or NO_STATE,
        "keys": key_panels(drawn),
        "notices": notices(library),
        "reading": [AGAIN] if job.after else list(READING),
        "page": 2 if job.after else 1,
        "pages": 2 if back else 1,
        "qr": qr_rows(address),
        "mark": _mark(job.mark),
    }
    words["numbers"] = [] if job.after else _numbers(drawn, ends)
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


def key_panels(drawn: Drawn) -> Data:
    """Every key that the chart uses with its order, under its signal word: dangers, what else hurts people, property.

    `always`: what holds at every step, the symptom's own cautions and those that most of its steps share.
    """
    library, chart = drawn.library, drawn.chart
    cautions = sorted((library.cautions[name] for name in drawn.chart_cautions()), key=graveness)
    told = keys_of(cautions)
    common = {library.cautions[name].key for name in drawn.job.symptom.make_safe} | set(chart.common_keys)
    always = [one for one in told["steps"] if one["key"] in common]
    return {**told, "always": always, "steps": [one for one in told["steps"] if one not in always]}


def keys_of(cautions: Sequence[Caution]) -> Data:
    """The same of any cautions, the gravest first."""
    people = [one for one in cautions if one.signal in ("warning", "caution")]
    return {
        "danger": [_key(one) for one in cautions if one.signal == "danger"],
        "word": people[0].signal.upper() if people else "",
        "always": [],
        "steps": [_key(one) for one in people],
        "notice": [_key(one) for one in cautions if one.signal == "notice"],
    }


def _key(caution: Caution) -> Data:
    return {"key": caution.key, "order": caution.order}


def notices(library: Library) -> list[Data]:
    """The general notice and each jurisdiction's own, with date and source."""
    site = library.site
    general = {"place": "", "text": site.notice, "source": "", "date": ""}
    return [general] + [
        {"place": one.place, "text": one.text, "source": one.source, "date": one.date.isoformat()}
        for one in site.notices
    ]


def _numbers(drawn: Drawn, ends: Endings) -> list[str]:
    """How calls end that follow the sheet."""
    site = drawn.library.site
    return [f"{ends_text(**asdict(ends))} Computed: a hint, never proof.", *([site.invented] if site.invented else [])]


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
