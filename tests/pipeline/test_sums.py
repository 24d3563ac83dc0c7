"""The built-in `sum` adds floats otherwise since Python 3.12: nothing that is kept or shown may hang on it."""

import builtins
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from faultleaf.diagnosis.worth.figured import USUAL
from faultleaf.intake import Layer
from faultleaf.pipeline.build import build
from faultleaf.pipeline.figures import key_of
from faultleaf.pipeline.sheets import charted

from tests.cli.calls import shipped_library
from tests.library import Entries, write_library

PLAIN = builtins.sum
ODD = [0.1, 0.2, 0.3, 0.7, 1e16, -1e16]


def compensated(items: Iterable[Any], /, start: Any = 0) -> Any:
    """What `sum` does with floats from Python 3.12 on (Neumaier 1974): each step's rounding is added at the end."""
    values = list(items)
    if not values or not all(type(each) in (int, float) for each in values):
        return PLAIN(values, start)
    total, lost = start, 0.0
    for value in values:
        following = total + value
        lost += (total - following) + value if abs(total) >= abs(value) else (value - following) + total
        total = following
    return total + lost if isinstance(total, float) else total


def test_the_stand_in_adds_otherwise() -> None:
    assert compensated(ODD) == pytest.approx(1.3)
    assert compensated([1, 2], 3) == 6
    if PLAIN([0.1] * 10) != 1.0:  # a Python before 3.12
        assert PLAIN(ODD) != compensated(ODD)


def test_plans_kept_beside_the_cards_are_found_by_every_python(monkeypatch: pytest.MonkeyPatch) -> None:
    before = {name: key_of(problem, USUAL) for name, problem in charted(shipped_library()).items()}
    monkeypatch.setattr(builtins, "sum", compensated)
    assert {name: key_of(problem, USUAL) for name, problem in charted(shipped_library()).items()} == before


ROWS = {f"faults/f{number}": {
    "symptoms": {"s": ["often", "0.3", "0.7"][number % 3]}, "how_common": ["0.1", "0.7", "2.3"][number % 3],
    "shows": {f"t{number % 2}": "seen, 0.7"},
    "repair": {"title": "Mend it", "takes": f"{17 + number} min", "proof": "log", "fixes": "0.9"},
} for number in range(3)}  # fmt: skip
SMALL: Entries = {
    "equipment": {"feed": {"title": "Feed", "asks": "How?", "values": {
        "a": {"title": "A", "share": 0.1}, "b": {"title": "B", "share": 0.2}, "c": {"title": "C", "share": 0.7},
    }}},
    "symptoms/s": {"variants": {"with a": {"feed": "a"}}},
    "tests/t0": {"otherwise": {"seen": 0.1, "unseen": 0.9}}, "tests/t1": {"otherwise": "unseen"}, "proofs/log": {},
    **ROWS,
}  # fmt: skip


def test_a_site_is_the_same_under_every_python(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    layers = [Layer(write_library(tmp_path, SMALL), "content")]
    quick = replace(USUAL, shakings=0)
    before = build(layers, effort=quick)
    monkeypatch.setattr(builtins, "sum", compensated)
    after = build(layers, effort=quick)
    assert {page.path: page.html for page in after.pages} == {page.path: page.html for page in before.pages}
    assert after.data_files == before.data_files
    assert after.sheets == before.sheets
