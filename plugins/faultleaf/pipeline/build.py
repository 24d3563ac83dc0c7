"""Content folders → everything a site is made of, as values. Writes nothing but results to be kept."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import networkx as nx

from faultleaf.cards import Library, Mistake
from faultleaf.cards.urls import picture_url, sheet_url
from faultleaf.diagnosis.worth.figured import USUAL, Effort
from faultleaf.export import (
    WORKSHEET_DATA,
    PrintedChart,
    call_word_scripts,
    card_schemas,
    chart_scripts,
    engine_scripts,
    job_schema,
    search_script,
    worksheet_script,
)
from faultleaf.graph import build_graph, graph_data
from faultleaf.intake import Layer, read_picture
from faultleaf.pages import SitePage, WorkedSymptom, make_pages
from faultleaf.pipeline.asked import ask_all
from faultleaf.pipeline.check import check_content
from faultleaf.pipeline.drawn import DrawnBefore
from faultleaf.pipeline.sheets import books, safe_cards, sheet_maker
from faultleaf.pipeline.shelf import kept_of
from faultleaf.pipeline.work import work_everything

ENGINE_DATA: Final = "assets/faultleaf/engine-data"
CALL_WORDS: Final = "assets/faultleaf/call-words"


class ContentError(Exception):
    """The cards have mistakes; nothing may be built from them."""

    def __init__(self, mistakes: tuple[Mistake, ...]) -> None:
        super().__init__("\n".join(str(mistake) for mistake in mistakes))
        self.mistakes = mistakes


@dataclass(frozen=True)
class Built:
    """A site in memory: pages, data files, sheets (PDF) and pictures by their path, and the knowledge's weak spots."""

    library: Library
    pages: tuple[SitePage, ...]
    data_files: Mapping[str, str]
    sheets: Mapping[str, bytes]
    pictures: Mapping[str, bytes]
    warnings: tuple[Mistake, ...]


def build(layers: Sequence[Layer], kept: Path | None = None, effort: Effort = USUAL, name: str = "") -> Built:
    """The whole site of these content folders; raises ContentError with every mistake.

    `kept`: a folder of results from builds before, of which those that still hold are taken, and into
    which new ones are put; results that lie beside the cards are taken too. The site is the same either way.
    `effort`: how much work the figures of the page about the numbers may take. `name`: the site's name.
    """
    checked = check_content(layers, name=name)
    if checked.library is None:
        raise ContentError(checked.mistakes)
    library = checked.library
    drawn = DrawnBefore(kept) if kept else None
    maker = sheet_maker(library, layers, drawn)
    where = kept_of(layers, kept)
    worked = work_everything(library, maker, where, effort)
    graph = build_graph(library)
    problems = {(name, one.name): one.problem for name, each in worked.symptoms.items() for one in each.variants}
    pages = make_pages(library, worked.symptoms, maker.metrics, ask_all(problems, where))
    sheets = {**_sheets(worked.symptoms), **books(library, worked.fronts, maker), **safe_cards(library, maker)}
    if drawn:
        drawn.tidy()
    files, pictures = _data_files(library, graph, worked.symptoms), _pictures(library, layers)
    return Built(library, pages, files, sheets, pictures, checked.warnings)


def _data_files(library: Library, graph: "nx.DiGraph[str]", worked: Mapping[str, WorkedSymptom]) -> dict[str, str]:
    files = {
        "assets/faultleaf/search-data.js": search_script(library),
        f"assets/faultleaf/{WORKSHEET_DATA}": worksheet_script(library),
        "graph.json": _json(graph_data(graph)),
    }
    charts = [
        PrintedChart(name, variant.name, variant.equipment, variant.problem, variant.plan)
        for name, each in worked.items()
        for variant in each.variants
    ]
    scripts = {**engine_scripts(library), **chart_scripts(library, charts)}
    files |= {f"{ENGINE_DATA}/{name}": text for name, text in scripts.items()}
    files |= {f"{CALL_WORDS}/{name}": text for name, text in call_word_scripts(library).items()}
    files["schema/job.schema.json"] = _json(job_schema())
    files |= {f"schema/{name}": _json(schema) for name, schema in card_schemas(library).items()}
    return dict(sorted(files.items()))


def _pictures(library: Library, layers: Sequence[Layer]) -> dict[str, bytes]:
    read = {picture_url(each): read_picture(layers, library, each.id) for each in library.pictures.values()}
    return {path: content for path, content in read.items() if content is not None}


def _sheets(worked: Mapping[str, WorkedSymptom]) -> dict[str, bytes]:
    return {
        sheet_url(each.symptom, variant.name, paper): pdf
        for each in worked.values()
        for variant in each.variants
        for paper, pdf in variant.sheets.items()
    }


def _json(value: object) -> str:
    return json.dumps(value, indent=1, ensure_ascii=False) + "\n"
