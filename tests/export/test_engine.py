"""export/engine.py: what the browser's engine is given, once each, and no card can break the scripts.

That the engine answers as Python does with it is tested in tests/browser/engine.
"""

import json
import random
from pathlib import Path
from typing import Any

import pytest
from faultleaf.cards import Library
from faultleaf.export.engine import ENGINE_VERSION, engine_scripts

from tests.export.sample_cards import FIELDS, library, make
from tests.library import make_library


def read_scripts(cards: Library) -> dict[str, Any]:
    """What a browser would read: every script is one assignment of one JSON value."""
    found = {}
    for file, script in engine_scripts(cards).items():
        head, tail = f'(window.faultleafData = window.faultleafData || {{}})["{file.removesuffix(".js")}"] = ', ";\n"
        assert script.startswith(head)
        assert script.endswith(tail)
        found[file] = json.loads(script.removeprefix(head).removesuffix(tail))
    return found


@pytest.fixture
def two_symptoms(tmp_path: Path) -> Library:
    repair = {"title": "Mend it", "takes": "20 min", "proof": "log", "cautions": ["power", "heat"]}
    return make_library(tmp_path, {
        "symptoms/floods": {"first": [{"test": "hold", "because": "it tells most"}]},
        "symptoms/starves": {"emergency": "yes"},
        "faults/valve": {"symptoms": {"floods": "often"}, "shows": {"hold": "seen"}, "repair": repair,
                         "cautions": ["power"]},
        "faults/wire": {"symptoms": {"floods": "half", "starves": "half"}},
        "faults/float": {"symptoms": {"starves": "0.25"}},
        "tests/hold": {"takes": "5 min", "wait": "4 h", "cautions": ["power"], "otherwise": "unseen"},
        "proofs/log": {"takes": "3 min", "over": "7 days"},
        "cautions/power": {"setup": "4 min"},
        "cautions/heat": {"setup": "10 min"},
        "site": {"return_visit": "50 min", "hand_on": "3 h"},
    })  # fmt: skip


def test_every_fault_stands_in_one_script_and_those_of_several_symptoms_are_shared(two_symptoms: Library) -> None:
    faults = {file: [fault["id"] for fault in data["faults"]] for file, data in read_scripts(two_symptoms).items()}
    assert faults == {"shared.js": ["wire"], "symptoms/floods.js": ["valve"], "symptoms/starves.js": ["float"]}


def test_minutes_are_whole_with_setting_up_waiting_and_proof(two_symptoms: Library) -> None:
    # DESIGN, rule 6, by hand: 5 + 4 to lock out + one return visit of 50 for a wait over half an hour;
    # 20 + 4 + 10 (each caution once) + 3 for the proof's looks + one return visit.
    scripts = read_scripts(two_symptoms)
    assert scripts["shared.js"]["tests"][0]["minutes"] == 59
    assert scripts["symptoms/floods.js"]["faults"][0]["repairs"][0]["minutes"] == 87


def test_rows_and_words_are_numbers_already(two_symptoms: Library) -> None:
    # DESIGN, rules 1 and 2: "often" is .7; a bare outcome is "usually", .85; one word of `otherwise` is .9.
    scripts = read_scripts(two_symptoms)
    valve = scripts["symptoms/floods.js"]["faults"][0]
    assert valve["symptoms"] == {"floods": 0.7}
    assert valve["shows"] == {"hold": pytest.approx([0.85, 0.15])}
    assert scripts["shared.js"]["tests"][0]["otherwise"] == pytest.approx([0.1, 0.9])


def test_symptoms_say_what_comes_first_and_whether_they_are_emergencies(two_symptoms: Library) -> None:
    shared = read_scripts(two_symptoms)["shared.js"]
    assert [symptom["first"] for symptom in shared["symptoms"]] == [["hold"], []]
    assert [symptom["emergency"] for symptom in shared["symptoms"]] == [False, True]
    assert shared["hand_on"] == 180


def test_scripts_of_one_build_carry_one_mark_and_another_library_another(two_symptoms: Library) -> None:
    marks = {(data["version"], data["fingerprint"]) for data in read_scripts(two_symptoms).values()}
    assert len(marks) == 1
    assert next(iter(marks))[0] == ENGINE_VERSION
    others = {data["fingerprint"] for data in read_scripts(library(make("symptom"), make("test"))).values()}
    assert len(others) == 1
    assert others.isdisjoint(mark for _, mark in marks)


def test_same_library_gives_the_same_bytes_whatever_the_order_of_cards() -> None:
    kinds = [kind for kind in FIELDS if kind not in ("fault", "symptom")]
    cards = [make("symptom", name=f"symptom-{i}", variants={}) for i in range(3)]
    cards += [make(kind, name=f"{kind}-{i}") for kind in kinds for i in range(3)]
    shuffled = random.Random(7).sample(cards, len(cards))
    assert engine_scripts(library(*cards)) == engine_scripts(library(*shuffled))


@pytest.mark.parametrize("title", ["</script><script>alert(1)</script>", "<!-- <script>", '"]};alert(1)//', "½ psi"])
def test_no_title_breaks_out_of_a_script(title: str) -> None:
    scripts = engine_scripts(library(make("test", title=title)))
    assert all("<" not in script and script.isascii() and script.count("\n") == 1 for script in scripts.values())
    assert read_scripts(library(make("test", title=title)))["shared.js"]["tests"][0]["title"] == title
