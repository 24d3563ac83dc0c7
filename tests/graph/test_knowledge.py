"""graph/knowledge.py: one weakness at a time in a library that has none, with the exact words."""

import datetime as dt
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest
from faultleaf.cards import Library
from faultleaf.graph import candidates_of, order_mistakes, total_variation, usable_tests, weak_spots
from faultleaf.intake import Layer, read_library

from tests.library import make_library, read, write_library

Entries = Mapping[str, Mapping[str, Any]]
GONE = {"gone": True}
STEPS = "## Steps\n\n1. Mark the level.\n"
REPAIR = "## Repair\n\n1. Shut the valve.\n"
STRONG: Entries = {
    "equipment": {
        "feed": {
            "title": "How water is fed",
            "asks": "What feeds the boiler?",
            "values": {"automatic": {"title": "A feeder", "share": 0.6}, "manual": {"title": "A valve", "share": 0.4}},
            "basis": "judgement",
        }
    },
    "symptoms/overfills": {},
    "proofs/watch": {},
    "cautions/scald": {},
    "tests/hold": {
        "outcomes": {"rises": "It climbs", "steady": "It stays"}, "otherwise": "steady", "body": STEPS,
    },
    "faults/valve": {
        "symptoms": {"overfills": "often"}, "shows": {"hold": "rises, always"}, "body": REPAIR,
        "repair": {"title": "Rebuild the valve", "takes": "50 min", "proof": "watch"},
    },
    "faults/bypass": {
        "symptoms": {"overfills": "often"}, "shows": {"hold": "steady, 1"}, "body": REPAIR,
        "repair": {"title": "Shut the bypass", "takes": "1 min", "proof": "watch"},
    },
    "tests/look": {
        "outcomes": {"open": "It stands open", "shut": "It is shut"}, "otherwise": "shut", "body": STEPS,
    },
}  # fmt: skip
"""Two causes of one symptom, each confirmed, told apart, with steps, provenance and nothing unused."""
LOOK = {"faults/bypass": {"shows": {"hold": "steady, 1", "look": "open, always"}}}


def library_with(root: Path, changes: Entries) -> Library:
    """The strong library with some fields of some cards changed, or a card gone."""
    keys = {**STRONG, **changes}
    merged = {key: {**STRONG.get(key, {}), **LOOK.get(key, {}), **changes.get(key, {})} for key in keys}
    return make_library(root, {key: fields for key, fields in merged.items() if "gone" not in fields})


def warnings(library: Library, as_of: dt.date | None = None) -> list[str]:
    return [str(warning) for warning in weak_spots(library, as_of)]


def test_a_strong_library_has_no_weak_spot(tmp_path: Path) -> None:
    assert warnings(library_with(tmp_path, {}), dt.date(2026, 11, 25)) == []


WEAK: dict[str, tuple[Entries, list[str]]] = {
    "a fault that no test confirms": (
        {
            "faults/valve": {"shows": {"hold": "rises, 0.95", "look": "open, 0.5"}},
            "faults/bypass": {"shows": {"hold": "rises, 0.85", "look": "open, 0.05"}},
        },
        [
            "content/faults/bypass.md:8: warning: shows: no test confirms this fault. "
            "Name an outcome under 'shows' that is 5 times likelier with it than without. [unconfirmed-fault]",
        ],
    ),
    "two faults that no test tells apart": (
        {
            "faults/valve": {"shows": {"hold": "rises, 0.6", "look": "open, 0.05"}},
            "faults/bypass": {"shows": {"hold": "rises, 0.4", "look": "open, 0.3"}},
        },
        [
            "content/faults/bypass.md:8: warning: shows: no test tells this fault from 'valve', and their repairs "
            "differ. Give them different outcomes at a test, or write a test that does. [not-told-apart]",
            "content/faults/valve.md:8: warning: shows: no test confirms this fault. "
            "Name an outcome under 'shows' that is 5 times likelier with it than without. [unconfirmed-fault]",
        ],
    ),
    "a test nobody uses": (
        {"tests/spare": {"body": STEPS}},
        ["content/tests/spare.md:2: warning: no fault, symptom or test names this test. [unused-test]"],
    ),
    "a symptom with one candidate": (
        {"faults/bypass": GONE, "tests/look": GONE},
        [
            "content/symptoms/overfills.md:2: warning: this symptom has one candidate. "
            "Write the faults that show as it. [few-candidates]",
        ],
    ),
    "a symptom with no candidate": (
        {"symptoms/bangs": {}},
        [
            "content/symptoms/bangs.md:2: warning: this symptom has no candidate. "
            "Write the faults that show as it. [few-candidates]",
        ],
    ),
    "a symptom that no caller tells": (
        {"symptoms/overfills": {"also_said": []}},
        [
            "content/symptoms/overfills.md:2: warning: nothing is said of how callers tell this symptom, so the search "
            "cannot hear it. Write 'also_said', ten sayings or more. [unheard-symptom]",
        ],
    ),
    "a hazardous step without caution": (
        {"tests/look": {"body": "## Steps\n\n1. Stand aside.\n2.\nDrain it.\n"}},
        [
            "content/tests/look.md:2: warning: cautions: a step speaks of 'drain', and the card names no caution. "
            "Name the cautions of this step. [no-caution]",
        ],
    ),
    "a hazardous repair without caution": (
        {"faults/valve": {"body": "## Repair\n\n1. Cut the wires.\n"}},
        [
            "content/faults/valve.md:2: warning: cautions: a step speaks of 'wire', and the card names no caution. "
            "Name the cautions of this step. [no-caution]",
        ],
    ),
    "no numbered steps": (
        {"tests/look": {"body": "## Steps\n\n- Look.\n"}, "faults/valve": {"body": "Text.\n"}},
        [
            "content/faults/valve.md:2: warning: there are no numbered steps under '## Repair'. "
            "Write '1. …' lines, one action each. [no-steps]",
            "content/tests/look.md:2: warning: there are no numbered steps under '## Steps'. "
            "Write '1. …' lines, one action each. [no-steps]",
        ],
    ),
    "elsewhere the same, and elsewhere where the test is not done": (
        {
            "tests/look": {
                "found_on": {"feed": ["manual"]},
                "otherwise_on": {"feed=automatic": "open", "feed=manual": "shut"},
                "otherwise_at": {"overfills": {"open": 0.1}},
            }
        },
        [
            "content/tests/look.md:14: warning: otherwise_on.feed=automatic: the test is not done on systems with "
            "feed=automatic. Take the line out, or widen 'found_on'. [otherwise-not-here]",
            "content/tests/look.md:15: warning: otherwise_on.feed=manual: this says what 'otherwise' says already. "
            "Take the line out, or write what differs. [same-otherwise]",
            "content/tests/look.md:17: warning: otherwise_at.overfills: this says what 'otherwise' says already. "
            "Take the line out, or write what differs. [same-otherwise]",
        ],
    ),
    "two ways of showing that are one": (
        {
            "faults/valve": {
                "modes": {
                    "fast": {"title": "At once", "share": 0.5, "shows": {"look": "open"}},
                    "slow": {"title": "Overnight", "share": 0.3, "shows": {"look": "shut, 0.1"}},
                    "other": {"title": "By day", "share": 0.2, "shows": {"look": {"open": 0.85, "shut": 0.15}}},
                }
            }
        },
        [
            "content/faults/valve.md:25: warning: modes.other: this way of showing shows the same as 'fast' at every "
            "test. Put the two together, or name a test at which they differ. [same-modes]",
        ],
    ),
    "a fault that counts on no system": (
        {"faults/bypass": {"how_common": 0.002, "symptoms": {"overfills": "seldom"}}},
        [
            "content/faults/bypass.md:4: warning: how_common: even on its own equipment this is behind fewer than "
            "1 in 500 calls. Count 'how_common' among owners of the equipment, or take the card out. [never-counts]",
        ],
    ),
    "an outcome that tells no more than another": (
        {
            "tests/look": {
                "outcomes": {"open": "It is open", "shut": "It is shut", "gone": "It is gone", "lost": "It is lost"},
                "otherwise": {"open": 0.1, "shut": 0.7, "gone": 0.1, "lost": 0.1},
            },
        },
        [
            "content/tests/look.md:8: warning: outcomes.lost: 'gone' and 'lost' tell the same: no fault changes "
            "their odds by 3. Name one of the two under 'shows' of a fault, or put them together. [idle-outcome]",
        ],
    ),
    "a stop that allows what its own outcome forbids": (
        {
            "cautions/scald": {},
            "tests/look": {"stops": {"open": {"caution": "scald", "allows": ["hold", "bypass", "valve"]}}},
            "tests/hold": {"needs": {"look": "shut"}},
            "faults/valve": {
                "repair": {"title": "Mend", "takes": "5 min", "proof": "watch", "never_when": {"look": "open"}},
            },
        },
        [
            f"content/tests/look.md:13: warning: stops.open.allows: '{name}' is allowed here and can never be done "
            "after this outcome. Mend its 'needs' and 'never_when', or take it out of 'allows'. [closed-stop]"
            for name in ("hold", "valve")
        ],
    ),
    "a repair that nobody does on a call": (
        {"faults/valve": {"repair": {"title": "Mend", "takes": "4 h", "proof": "watch"}}},
        [
            "content/faults/valve.md:12: warning: repair.takes: this repair takes 4 h, and is not said to be a job to "
            "quote. Is it one? Then write 'quote: yes'; done on the call it needs nothing. [long-repair]",
        ],
    ),
    "a wait that its worksheet says is too short": (
        {
            "worksheets/stand": {"results": {"stand": {"title": "Stands", "unit": "h", "sum": "head / 2 [in/h]"}}},
            "tests/look": {
                "wait": "1 h", "wait_from": {"worksheet": "stand", "result": "stand", "given": {"head": "3"}},
            },
        },
        [
            "content/tests/look.md:10: warning: wait: the test waits 1 h, its worksheet asks for 1 h 30 min. "
            "Wait longer, or look for a larger leak. [short-wait]",
        ],
    ),
    "an order reversed by the symptom": (
        {"faults/valve": {"how_common": "very-common", "symptoms": {"overfills": "seldom"}}},
        [
            "content/faults/valve.md:4: warning: how_common: commoner than 'bypass', yet a lesser share of calls for "
            "'overfills'. Meant so? Then it needs nothing. [reversed-order]",
        ],
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", WEAK)
def test_a_weak_spot_is_named_in_these_words(name: str, tmp_path: Path) -> None:
    changes, expected = WEAK[name]
    assert warnings(library_with(tmp_path, changes)) == expected


def test_many_reversals_of_one_fault_are_one_warning(tmp_path: Path) -> None:
    others: Entries = {f"faults/f{n}": STRONG["faults/valve"] for n in range(5)}
    reversed_one = {**STRONG["faults/bypass"], "how_common": "very-common", "symptoms": {"overfills": "seldom"}}
    found = weak_spots(library_with(tmp_path, {**others, "faults/valve": GONE, "faults/bypass": reversed_one}))
    assert [warning.message for warning in found if warning.code == "reversed-order"] == [
        "commoner than 'f0', 'f1', 'f2' and 2 more, yet a lesser share of calls for 'overfills'"
    ]


def test_numbers_without_provenance_are_named(tmp_path: Path) -> None:
    library = library_with(tmp_path, {})
    named = ("faults/bypass", "faults/valve", "proofs/watch", "symptoms/overfills", "tests/hold", "tests/look")
    for path in sorted(tmp_path.rglob("*.*")):
        path.write_text(path.read_text(encoding="utf-8").replace("basis: judgement", ""), encoding="utf-8")
    bare = read(tmp_path)
    cards, words = "this card's numbers do not say where they come from", "Write 'basis: judgement', or better."
    assert library.cards.keys() == bare.cards.keys()
    assert warnings(bare) == [
        "content/equipment.yml:1: warning: feed: these shares do not say where they come from. "
        f"{words} [no-provenance]",
        *(f"content/{name}.md:2: warning: {cards}. {words} [no-provenance]" for name in named),
    ]


def test_a_review_is_overdue_only_when_a_day_is_given_and_only_after_its_time(tmp_path: Path) -> None:
    library = library_with(tmp_path, {"tests/look": {"reviewed": "2026-11-20"}, "site": {"review_every": "10 days"}})
    assert warnings(library) == []
    assert warnings(library, dt.date(2026, 11, 30)) == []
    (overdue,) = warnings(library, dt.date(2026, 12, 1))
    assert overdue.endswith(
        "warning: reviewed: last reviewed on 2026-11-20, overdue on 2026-12-01. "
        "Read it again and set the date. [review-overdue]"
    )


def test_a_review_at_the_end_of_the_calendar_is_no_trouble(tmp_path: Path) -> None:
    library = library_with(tmp_path, {"tests/look": {"reviewed": "9999-12-31"}})
    assert warnings(library, dt.date(2026, 11, 25)) == []


def test_an_emergency_needs_no_candidates(tmp_path: Path) -> None:
    assert warnings(library_with(tmp_path, {"symptoms/smell-of-gas": {"emergency": "yes"}})) == []


def test_a_test_that_a_repair_sets_or_asks_for_is_used(tmp_path: Path) -> None:
    repair = {"title": "Mend it", "takes": "1 min", "proof": "watch"}
    for field in ({"restore": {"spare": "seen"}}, {"needs": {"spare": "seen"}}, {"never_when": {"spare": "seen"}}):
        root = tmp_path / next(iter(field))
        spare: Entries = {"tests/spare": {"body": STEPS}, "faults/valve": {"repair": {**repair, **field}}}
        assert warnings(library_with(root, spare)) == []


ALIKE: dict[str, Any] = {"shows": {"hold": "rises, always", "look": "open, always"}}


def is_told_apart(library: Library) -> bool:
    return "not-told-apart" not in {warning.code for warning in weak_spots(library)}


def test_faults_of_one_look_must_be_told_apart(tmp_path: Path) -> None:
    assert not is_told_apart(library_with(tmp_path, {"faults/valve": ALIKE, "faults/bypass": ALIKE}))


def test_faults_that_one_repair_mends_need_not_be_told_apart(tmp_path: Path) -> None:
    both: dict[str, Any] = {"title": "Mend both", "takes": "1 min", "proof": "watch", "also_fixes": {"valve": "often"}}
    assert is_told_apart(library_with(tmp_path, {"faults/valve": ALIKE, "faults/bypass": {**ALIKE, "repair": both}}))


def test_what_counts_without_naming_a_fault_is_no_weak_spot(tmp_path: Path) -> None:
    """A look that is there for its stop, and an outcome that calls for a mending."""
    changes: Entries = {
        "tests/gas": {
            "outcomes": {"smell": "It smells", "none": "No smell"}, "otherwise": {"smell": 0.01, "none": 0.99},
            "stops": {"smell": {"caution": "scald", "allows": []}}, "body": STEPS,
        },
        "tests/look": {
            "outcomes": {"open": "It stands open", "shut": "It is shut", "stuck": "It is stuck"},
            "otherwise": {"open": 0.1, "shut": 0.8, "stuck": 0.1},
        },
        "faults/valve": {
            "repair": {
                "title": "Mend it", "takes": "5 min", "proof": "watch", "mends": {"look": "stuck"},
                "restore": {"look": "shut"},
            },
        },
    }  # fmt: skip
    assert warnings(library_with(tmp_path, changes)) == []


def test_faults_that_are_both_handed_on_need_not_be_told_apart(tmp_path: Path) -> None:
    without = {"symptoms": {"overfills": "often"}, **ALIKE}
    entries = {**STRONG, "faults/valve": without, "faults/bypass": without}
    assert is_told_apart(make_library(tmp_path, entries))


def test_faults_that_no_system_can_have_both_of_need_not_be_told_apart(tmp_path: Path) -> None:
    automatic, manual = {"found_on": {"feed": "automatic"}}, {"found_on": {"feed": "manual"}}
    changes = {"faults/valve": {**ALIKE, **automatic}, "faults/bypass": {**ALIKE, **manual}}
    assert is_told_apart(library_with(tmp_path, changes))


def test_faults_that_show_on_other_equipment_need_not_be_told_apart(tmp_path: Path) -> None:
    automatic = {"shows_on": {"overfills": {"feed": "automatic"}}}
    manual = {"shows_on": {"overfills": {"feed": "manual"}}}
    changes = {"faults/valve": {**ALIKE, **automatic}, "faults/bypass": {**ALIKE, **manual}}
    assert is_told_apart(library_with(tmp_path, changes))


def test_a_fault_alone_is_confirmed_against_the_unlisted_cause(tmp_path: Path) -> None:
    quiet: Entries = {"faults/bypass": GONE, "tests/look": GONE, "faults/valve": {"shows": {"hold": "steady"}}}
    codes = [w.code for w in weak_spots(library_with(tmp_path, quiet))]
    assert codes == ["unconfirmed-fault", "few-candidates", "idle-outcome"]


def test_an_outcome_that_never_comes_confirms_nothing(tmp_path: Path) -> None:
    never = {"otherwise": {"rises": "0", "steady": "1"}}
    changes: Entries = {
        "tests/hold": never, "tests/look": GONE,
        "faults/valve": {"shows": {"hold": {"steady": "1"}}}, "faults/bypass": {"shows": {"hold": {"steady": "1"}}},
    }  # fmt: skip
    codes = [w.code for w in weak_spots(library_with(tmp_path, changes))]
    assert codes.count("unconfirmed-fault") == 2


def test_tests_are_usable_where_their_equipment_can_be(tmp_path: Path) -> None:
    library = library_with(
        tmp_path,
        {"tests/look": {"found_on": {"feed": "automatic"}}, "faults/bypass": {"found_on": {"feed": "manual"}}},
    )
    assert [test.id for test in usable_tests(library, library.faults["bypass"])] == ["hold"]
    assert [test.id for test in usable_tests(library, library.faults["valve"])] == ["hold", "look"]


def test_total_variation_is_nought_for_the_same_and_one_for_opposites(tmp_path: Path) -> None:
    library = library_with(tmp_path, {"faults/valve": {"shows": {"hold": "rises, 1"}}})
    valve, bypass, hold = library.faults["valve"], library.faults["bypass"], library.tests["hold"]
    assert total_variation(hold, valve, valve) == 0
    assert total_variation(hold, valve, bypass) == total_variation(hold, bypass, valve) == 1


def test_candidates_stand_in_order_of_their_share(tmp_path: Path) -> None:
    library = library_with(tmp_path, {"faults/valve": {"how_common": "rare"}})
    assert [fault.id for fault in candidates_of(library, library.symptoms["overfills"])] == ["bypass", "valve"]
    even = library_with(tmp_path / "even", {})
    assert [fault.id for fault in candidates_of(even, even.symptoms["overfills"])] == ["bypass", "valve"]


def test_a_strong_library_is_in_order(tmp_path: Path) -> None:
    assert order_mistakes(library_with(tmp_path, {})) == ()


def test_the_way_round_that_is_shown_is_the_shortest_real_one(tmp_path: Path) -> None:
    needs = {"a": ["d", "b"], "b": ["c"], "c": ["a"], "d": ["b"], "e": ["a"]}
    entries = {f"tests/{name}": {"needs": dict.fromkeys(others, "seen")} for name, others in needs.items()}
    readable = read_library([Layer(write_library(tmp_path, entries), "content")]).readable
    assert [mistake.message for mistake in order_mistakes(readable)] == [
        "these tests go round in a circle: a → b → c → a"
    ]
