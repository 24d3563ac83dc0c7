"""pipeline/build.py and check.py: folders → a whole site in memory, or every mistake at once."""

import json
from pathlib import Path

import pytest
from faultleaf.cards import CARD_TYPES
from faultleaf.intake import Layer
from faultleaf.pipeline.build import Built, ContentError, build
from faultleaf.pipeline.check import check_content

from tests.library import Entries, write_library

SMALL: Entries = {
    "symptoms/overfills": {"also_said": ["the glass is full"]},
    "faults/valve": {"symptoms": {"overfills": "often"}, "shows": {"hold": "seen"}},
    "tests/hold": {},
}
BROKEN: Entries = {
    "symptoms/overfills": {"unlisted": "2"},
    "faults/valve": {"symptoms": {"overfils": "often"}, "repair": {"title": "Mend", "takes": "30", "proof": "log"}},
    "tests/one": {"needs": {"other": "seen"}},
    "tests/other": {"needs": {"one": "seen"}},
}


def layers_of(root: Path, entries: Entries) -> list[Layer]:
    return [Layer(write_library(root, entries), "content")]


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Built:
    return build(layers_of(tmp_path_factory.mktemp("small"), SMALL))


def test_pages_are_sorted_and_each_stands_once(built: Built) -> None:
    paths = [page.path for page in built.pages]
    assert paths == sorted(set(paths))
    assert {"index.html", "symptoms/overfills.html", "faults/valve.html", "tests/hold.html"} <= set(paths)


def test_data_files_are_words_engine_search_graph_and_schemas(built: Built) -> None:
    schemas = sorted(f"schema/{card_type.kind}.schema.json" for card_type in CARD_TYPES)
    folders = (f"assets/faultleaf/{folder}" for folder in ("call-words", "engine-data"))
    engine = [f"{folder}/{name}.js" for folder in folders for name in ("shared", "symptoms/overfills")]
    schemas = sorted([*schemas, "schema/job.schema.json"])
    assert list(built.data_files) == [
        *engine,
        "assets/faultleaf/search-data.js",
        "assets/faultleaf/worksheet-data.js",
        "graph.json",
        *schemas,
    ]
    assert "the glass is full" in built.data_files["assets/faultleaf/search-data.js"]


def test_data_is_sound_json_and_ends_with_a_line(built: Built) -> None:
    for path, text in built.data_files.items():
        assert text.endswith("\n")
        if path.endswith(".json"):
            assert json.loads(text)
    graph = json.loads(built.data_files["graph.json"])
    nodes = {node["id"] for node in graph["nodes"]}
    assert {"fault:valve", "symptom:overfills", "test:hold", "component:part"} <= nodes


def test_weak_spots_come_along(built: Built) -> None:
    assert {warning.code for warning in built.warnings} >= {"few-candidates", "no-steps"}
    assert all(warning.severity == "warning" for warning in built.warnings)


def test_same_folder_gives_the_same_site(tmp_path: Path, built: Built) -> None:
    again = build(layers_of(tmp_path, dict(reversed(list(SMALL.items())))))
    assert again.pages == built.pages
    assert again.data_files == built.data_files


def test_all_mistakes_are_raised_at_once(tmp_path: Path) -> None:
    layers = layers_of(tmp_path, BROKEN)
    with pytest.raises(ContentError) as caught:
        build(layers)
    mistakes = caught.value.mistakes
    assert mistakes == check_content(layers).mistakes
    assert [(mistake.path, mistake.code) for mistake in mistakes] == [
        ("content/faults/valve.md", "unknown-symptom"),
        ("content/faults/valve.md", "unit-missing"),
        ("content/faults/valve.md", "unknown-proof"),
        ("content/symptoms/overfills.md", "out-of-range"),
        ("content/tests/one.md", "cycle"),
    ]
    assert str(caught.value).splitlines() == [str(mistake) for mistake in mistakes]


def test_nothing_may_be_used_while_there_is_a_mistake(tmp_path: Path) -> None:
    checked = check_content(layers_of(tmp_path, BROKEN))
    assert checked.library is None
    assert checked.warnings == ()
    assert list(checked.mistakes) == sorted(checked.mistakes)
    assert len(set(checked.mistakes)) == len(checked.mistakes)


def test_later_layers_add_to_the_base(tmp_path: Path) -> None:
    base = Layer(write_library(tmp_path / "base", SMALL), "base")
    own = Layer(write_library(tmp_path / "own", {"tests/look": {}, "site": {"title": "Ours"}}), "own")
    paths = {page.path for page in build([base, own]).pages}
    assert {"tests/look.html", "tests/hold.html"} <= paths
    assert build([base, own]).library.site.title == "Ours"
