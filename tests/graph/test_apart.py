"""graph/apart.py against the plain reading of both questions: every pair, every test, one by one."""

import itertools
import random
from collections.abc import Iterator
from pathlib import Path

import pytest
from faultleaf.cards import Fault, Library, Test, fault_rates, otherwise_rates
from faultleaf.graph.apart import TOLD_APART, can_meet, total_variation, unconfirmed, undistinguished, usable_tests
from faultleaf.intake import Layer
from faultleaf.pipeline.check import check_content

from tests.bench.scale import synthetic
from tests.library import Entries, make_library, write_library

FEW = ("seen, always", "seen, nearly-always", "seen, half", "unseen, usually", "seen, seldom")


def small(seed: int) -> Entries:
    """A crowded little library: few tests, so that faults are often alike, and equipment that divides it."""
    chance = random.Random(seed)
    values = {name: {"title": name, "share": 0.5} for name in ("with", "without")}
    names = [f"t{number}" for number in range(4)]

    def place() -> dict[str, str]:
        return {name: chance.choice(list(values)) for name in ("f0", "f1") if chance.random() < 0.4}

    cards: dict[str, dict[str, object] | str | bytes] = {
        "equipment": {name: {"title": name, "asks": "?", "values": values} for name in ("f0", "f1")},
        "proofs/log": {},
        **{f"symptoms/s{number}": {} for number in range(2)},
        **{f"tests/{name}": {
            "found_on": place(), "otherwise": chance.choice(["seen", "unseen", {"seen": 0.15, "unseen": 0.85}]),
        } for name in names},
    }  # fmt: skip
    for number in range(9):
        cards[f"faults/c{number}"] = {
            "how_common": chance.choice(["common", "rare", "occasional"]),
            "found_on": place(),
            "symptoms": dict.fromkeys(chance.sample(["s0", "s1"], chance.randint(0, 2)), "often"),
            "shows": {name: chance.choice(FEW) for name in chance.sample(names, chance.randint(0, 2))},
            **({"repair": {"title": "x", "takes": "5 min", "proof": "log"}} if chance.random() < 0.8 else {}),
        }
    return cards


def are_rivals(one: Fault, other: Fault) -> bool:
    shared = set(one.symptoms) & set(other.symptoms)
    return any(can_meet(one.place(symptom), other.place(symptom)) for symptom in shared)


def confirms(library: Library, test: Test, fault: Fault) -> bool:
    others = [other for other in library.faults.values() if other.id != fault.id and are_rivals(other, fault)]
    own = fault_rates(test, fault)
    rows: list[tuple[float, dict[str, float]]]
    rows = [(float(other.how_common), fault_rates(test, other)) for other in others] or [(1.0, otherwise_rates(test))]
    total = sum(weight for weight, _ in rows)
    rest = {outcome: sum(weight * row[outcome] for weight, row in rows) / total for outcome in own}
    return any(rate > 0 and rate >= 5 * rest[outcome] for outcome, rate in own.items())


def alike(library: Library) -> Iterator[tuple[str, str]]:
    for one, other in itertools.combinations(library.faults.values(), 2):
        repairs = [bool(fault.all_repairs) for fault in (one, other)]
        if are_rivals(one, other) and any(repairs):
            tests = usable_tests(library, one, other)
            if not any(total_variation(test, one, other) > TOLD_APART for test in tests):
                yield one.id, other.id


@pytest.mark.parametrize("seed", range(40))
def test_against_the_plain_reading(seed: int, tmp_path: Path) -> None:
    library = make_library(tmp_path, small(seed))
    plain = [
        fault.id
        for fault in library.faults.values()
        if fault.symptoms and not any(confirms(library, test, fault) for test in usable_tests(library, fault))
    ]
    assert [fault.id for fault in unconfirmed(library)] == plain
    assert [(one.id, other.id) for one, other in undistinguished(library, library.faults.values())] == [*alike(library)]


def test_the_small_libraries_ask_both_questions_both_ways(tmp_path: Path) -> None:
    found = []
    for seed in range(12):
        library = make_library(tmp_path / str(seed), small(seed))
        found.append((len([*unconfirmed(library)]), len([*alike(library)])))
    assert 0 < sum(count for count, _ in found) < 12 * 9
    assert 10 < sum(count for _, count in found) < 12 * 36


def test_only_the_tests_at_hand_tell_apart(tmp_path: Path) -> None:
    library = make_library(tmp_path, {
        "symptoms/s": {}, "proofs/log": {}, "tests/a": {"otherwise": "unseen"}, "tests/b": {"otherwise": "unseen"},
        **{f"faults/{name}": {
            "symptoms": {"s": "often"}, "shows": {test: "seen"},
            "repair": {"title": "x", "takes": "5 min", "proof": "log"},
        } for name, test in (("one", "a"), ("two", "b"))},
    })  # fmt: skip
    faults = [*library.faults.values()]
    assert [*undistinguished(library, faults)] == []
    assert [*undistinguished(library, faults, {"a"})] == []
    assert [*undistinguished(library, faults, set())] == [(faults[0], faults[1])]


def test_the_synthetic_library_of_the_bench_is_sound(tmp_path: Path) -> None:
    checked = check_content([Layer(write_library(tmp_path, synthetic(60, 5)), "content")])
    assert checked.mistakes == ()
    assert checked.library is not None
    assert len(checked.library.faults) == 60
