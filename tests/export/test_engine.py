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
    # 20 + 4 + 10 (each caution once) + 3 for the proof's looks + one return visit. Beside another test that waits,
    # and at the boiler: by hand and making safe alone.
    scripts = read_scripts(two_symptoms)
    hold, mend = scripts["shared.js"]["tests"][0], scripts["symptoms/floods.js"]["faults"][0]["repairs"][0]
    assert (hold["minutes"], hold["minutes_together"], hold["hands_on"]) == (59, 9, 9)
    assert (mend["minutes"], mend["hands_on"]) == (87, 37)


def test_repair_that_did_not_cure_is_paid_up_to_the_look_that_shows_it(tmp_path: Path) -> None:
    # DESIGN, rule 6, by hand: 20 for the repair + one of three looks of 3 minutes in all, with no wait before it.
    looks = [{"when": "at once", "see": "dry"}, {"when": "next day", "see": "dry", "after": "24 h"}]
    looks.append({"when": "a week on", "see": "dry", "after": "7 days"})
    repair = {"title": "Mend it", "takes": "20 min", "proof": "log"}
    cards = make_library(tmp_path, {
        "symptoms/floods": {}, "proofs/log": {"takes": "3 min", "over": "7 days", "looks": looks},
        "faults/valve": {"symptoms": {"floods": "often"}, "repair": repair},
        "site": {"return_visit": "50 min"},
    })  # fmt: skip
    mend = read_scripts(cards)["symptoms/floods.js"]["faults"][0]["repairs"][0]
    assert (mend["minutes"], mend["failed_minutes"]) == (20 + 3 + 50, 20 + 1)


def test_words_are_numbers_already(two_symptoms: Library) -> None:
    # DESIGN, rules 1 and 2: "often" is .7; a bare outcome is "usually", .85; one word of `otherwise` is .9. What is not
    # named is filled in by the call, since `otherwise` may depend on it.
    scripts = read_scripts(two_symptoms)
    valve = scripts["symptoms/floods.js"]["faults"][0]
    assert valve["symptoms"] == {"floods": 0.7}
    assert valve["shows"] == {"hold": {"seen": 0.85}}
    assert scripts["shared.js"]["tests"][0]["otherwise"] == pytest.approx([0.1, 0.9])


def test_ways_of_showing_are_rows_with_what_differs_from_the_card(tmp_path: Path) -> None:
    shows, modes = {"hold": "seen"}, {"fast": {"share": "0.3", "title": "Fast", "shows": {"hold": "unseen"}}}
    modes["slow"] = {"share": "0.7", "title": "Slow"}
    fault = {"symptoms": {"floods": "often"}, "shows": shows, "modes": modes}
    cards = make_library(tmp_path, {"symptoms/floods": {}, "tests/hold": {}, "faults/valve": fault})
    valve = read_scripts(cards)["symptoms/floods.js"]["faults"][0]
    assert valve["modes"] == [
        {"id": "valve", "share": 0.3, "shows": {"hold": {"unseen": 0.85}}},
        {"id": "valve/slow", "share": 0.7, "shows": {}},
    ]
    assert valve["shows"] == {"hold": {"seen": 0.85}}


def test_otherwise_of_some_equipment_and_symptoms_stands_beside_the_plain_one(tmp_path: Path) -> None:
    hold = {"otherwise": "unseen", "otherwise_on": {"feed=hand": "seen"}, "otherwise_at": {"floods": {"seen": "0.25"}}}
    feed = {"title": "Feed", "asks": "How?", "values": {
        "hand": {"title": "By hand", "share": "0.25"}, "alone": {"title": "Alone", "share": "0.75"},
    }}  # fmt: skip
    cards = make_library(tmp_path, {"symptoms/floods": {}, "tests/hold": hold, "equipment": {"feed": feed}})
    test = read_scripts(cards)["shared.js"]["tests"][0]
    assert test["otherwise"] == pytest.approx([0.1, 0.9])
    assert test["otherwise_on"] == [["feed", "hand", pytest.approx([0.9, 0.1])]]
    assert test["otherwise_at"] == {"floods": pytest.approx([0.25, 0.75])}


def test_fault_whose_repair_mends_an_instrument_is_shared(tmp_path: Path) -> None:
    """Any call may need it, whichever symptom's data it has loaded (rule 17)."""
    repair = {"title": "Mend it", "takes": "20 min", "proof": "log", "restore": {"hold": "unseen"}}
    shared = []
    for name, mends in (("plain", {}), ("mends", {"mends": {"hold": "seen"}})):
        cards = make_library(tmp_path / name, {
            "symptoms/starves": {}, "tests/hold": {}, "proofs/log": {},
            "faults/float": {"symptoms": {"starves": "often"}, "repair": {**repair, **mends}},
        })  # fmt: skip
        shared.append([fault["id"] for fault in read_scripts(cards)["shared.js"]["faults"]])
    assert shared == [[], ["float"]]


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
