"""The water ledger on a thousand simulated boilers, and on a few worked by hand."""

from collections import Counter
from collections.abc import Iterator
from typing import Any

import pytest
from faultleaf.physics import unit_named
from faultleaf.worksheets.ledger import (
    BEFORE,
    CALLED_IN,
    CLAIMS,
    LET_IN,
    NOTHING_IN,
    Boiler,
    Reading,
    Told,
    read_ledger,
)

from tests.worksheets.boilers import GAL, HOUR, INCH, Simulated, simulate

BOILERS = 400
"""The bench plays a thousand."""
LATER = 50
WARM = unit_named("degF").to_si(70)


@pytest.fixture(scope="module")
def played() -> list[tuple[Simulated, Told]]:
    return [(each, read_ledger(each.boiler, each.readings)) for each in map(simulate, range(BOILERS))]


def is_right(said: str, truth: str) -> bool:
    """Whether what was said covers what happened."""
    if said == CALLED_IN:
        return truth == CALLED_IN
    return truth in CLAIMS[said] or (said == NOTHING_IN and truth == CALLED_IN)


def covered(boiler: Simulated, told: Told) -> Iterator[bool]:
    """Of every amount that was told, whether the truth lies between its bounds."""
    for name in ("let_in", "came_home", "lost", "called_in"):
        amount = getattr(told, name)
        if amount is not None:
            assert amount.low <= amount.value <= amount.high
            yield amount.low <= getattr(boiler, name) <= amount.high


def test_the_simulation_loses_no_water(played: list[tuple[Simulated, Told]]) -> None:
    assert max(abs(boiler.gap) for boiler, _ in played) < 1e-12
    assert set(BEFORE) | {CALLED_IN} == {boiler.kind for boiler, _ in played}


def test_what_is_named_is_right_in_nine_of_ten_and_most_is_named(played: list[tuple[Simulated, Told]]) -> None:
    named = [(boiler, told) for boiler, told in played if told.kind]
    right = sum(is_right(told.kind, boiler.kind) for boiler, told in named)
    assert right / len(named) >= 0.9
    assert len(named) / BOILERS > 0.6
    for boiler, told in named:  # a leak is never called quiet, nor a quiet boiler a leak, but for the odd one
        assert told.sure >= 0.9, boiler
    by_truth = Counter(boiler.kind for boiler, told in named if is_right(told.kind, boiler.kind))
    assert min(by_truth[kind] for kind in (*BEFORE, CALLED_IN)) > 8


def test_stated_intervals_cover_nine_of_ten(played: list[tuple[Simulated, Told]]) -> None:
    inside = [each for boiler, told in played for each in covered(boiler, told)]
    assert len(inside) > 200
    assert 0.87 <= sum(inside) / len(inside) <= 0.93


def test_what_cannot_be_told_can_after_the_stated_wait(played: list[tuple[Simulated, Told]]) -> None:
    later: list[bool] = []
    for seed, (boiler, told) in enumerate(played):
        if told.kind:
            continue
        assert told.between is not None
        assert told.until is not None
        assert boiler.readings[-1].time < told.between < told.until
        if len(later) < LATER:
            hours = [*(each.time / HOUR for each in boiler.readings[1:]), told.between / HOUR, told.until / HOUR]
            again = simulate(seed, hours)
            assert again.kind == boiler.kind
            found = read_ledger(again.boiler, again.readings)
            later.append(bool(found.kind) and is_right(found.kind, again.kind))
    assert len(later) == LATER
    assert sum(later) / len(later) >= 0.9


def _boiler(**other: float) -> Boiler:
    usual: dict[str, Any] = {
        "area": 1.2 * GAL / INCH, "area_off": 0.02 * GAL / INCH, "level_off": INCH / 16, "temperature_off": 1.0,
        "content": 10 * GAL, "away": 0.0, "counter_off": 0.03, "matters": 0.04 * GAL / HOUR,
    }  # fmt: skip
    return Boiler(**{**usual, **other})


def test_an_inch_in_eight_hours_by_hand() -> None:
    """1 in x 1.2 gal/in of water at 70 °F is 1.199 gal at 60 °F (densities 998.0 and 999.0 kg/m3)."""
    told = read_ledger(_boiler(), [Reading(0, 0, WARM), Reading(8 * HOUR, INCH, WARM)])
    assert told.kind == LET_IN
    assert told.let_in is not None
    assert told.let_in.value / GAL == pytest.approx(1.199, abs=0.01)
    assert told.over.value / GAL == pytest.approx(1.199, abs=0.001)


def test_a_cooling_boiler_falls_and_has_lost_nothing() -> None:
    """From 180 to 70 °F the water shrinks by 2.8 percent: 10 gal stand 0.23 in lower at 1.2 gal an inch."""
    hot = unit_named("degF").to_si(180)
    told = read_ledger(_boiler(), [Reading(0, 0, hot), Reading(8 * HOUR, -0.233 * INCH, WARM)])
    assert abs(told.over.value) < 0.02 * GAL
    assert told.lost is None


def test_what_the_counter_saw_was_called_in_and_what_was_drained_counts() -> None:
    readings = [Reading(0, 0, WARM), Reading(4 * HOUR, 0.5 * INCH, WARM, counted=0.6 * GAL)]
    assert read_ledger(_boiler(), readings).kind == CALLED_IN
    drained = [Reading(0, 0, WARM), Reading(8 * HOUR, 0, WARM, drained=1.2 * GAL)]
    assert read_ledger(_boiler(), drained).kind == LET_IN


def test_a_live_feeder_that_nobody_counts_is_not_told_from_a_valve() -> None:
    boiler = _boiler()
    live = Boiler(**{**vars(boiler), "uncounted": True})
    readings = [Reading(0, 0, WARM), Reading(8 * HOUR, INCH, WARM)]
    assert read_ledger(live, readings).kind == "let in, or called in and not counted"


def test_a_single_look_tells_nothing() -> None:
    for readings in ([Reading(0, 0, WARM)], [Reading(0, 0, WARM), Reading(0, INCH, WARM)]):
        with pytest.raises(ValueError, match="two readings"):
            read_ledger(_boiler(), readings)
