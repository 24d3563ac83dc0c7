"""The browser works every worksheet as Python does: values, ±, reasons, what is typed, and how numbers are shown."""

import math
import random
from dataclasses import asdict
from typing import Any

import pytest
from faultleaf.cards import Library, Worksheet
from faultleaf.physics import air_pressure, alternatives, unit_named, water
from faultleaf.worksheets import Measured, NotRead, measured_text, number_text, read_typed, work
from faultleaf.worksheets.ledger import read_ledger
from selenium.webdriver import Chrome

from tests.words.test_numbers import CASES as SHARED
from tests.worksheets.boilers import simulate
from tests.worksheets.typed_cases import CASES

DRAWN = 200
CLOSE = 1e-9
WORK = """
const { worksheets } = faultleaf, { sheets } = faultleafData.worksheets;
return arguments[0].map(([id, given]) => {
  const worked = worksheets.work(sheets[id], new Map(given.map(([name, value, give]) => [name, { value, give }])));
  return [...worked].map(([name, found]) => [name, found.value, found.give, found.reason, found.says, found.also]);
});
"""
TYPED = """
return arguments[0].map(([text, unit, known, least, most]) => {
  try {
    return faultleaf.worksheets.readTyped(text, unit, known, least, most);
  } catch (error) {
    if (!(error instanceof faultleaf.worksheets.NotRead)) throw error;
    return error.message;
  }
});
"""
SHOWN = """
const { numberText, measuredText } = faultleaf.worksheets;
return arguments[0].map(([value, give]) => [numberText(value), measuredText(value, give)]);
"""
LEDGER = """
return arguments[0].map(([boiler, readings]) => faultleaf.worksheets.readLedger(boiler, readings));
"""
PHYSICS = """
const { physics } = faultleaf;
return arguments[0].map(([name, value]) => physics[name](value));
"""


def _drawn(card: Worksheet, draw: random.Random) -> dict[str, Measured]:
    """One set of inputs: anywhere in the sensible range, some rough, some missing, some far outside."""
    given = {}
    for name, each in card.inputs.items():
        unit = unit_named(each.unit)
        if each.choices:
            given[name] = Measured(unit.to_si(draw.choice(list(each.choices.values()))))
            continue
        if draw.random() < 0.02:
            continue
        low, high = each.least or 0.0, each.most if each.most is not None else 100.0
        value = draw.uniform(low, high) if draw.random() < 0.9 else draw.uniform(low - high, 3 * high)
        give = 0.0 if draw.random() < 0.5 else abs(value) * draw.uniform(0.001, 0.3) * unit.factor
        given[name] = Measured(unit.to_si(value), give)
    return given


def test_two_hundred_inputs_of_every_worksheet(library: Library, sums: Chrome) -> None:
    draw = random.Random(14)
    cards = list(library.worksheets.values())
    assert len(cards) >= 30
    compared = 0
    for card in cards:
        sets = [_drawn(card, draw) for _ in range(DRAWN)]
        asked = [[card.id, [[name, each.value, each.give] for name, each in given.items()]] for given in sets]
        answers = sums.execute_script(WORK, asked)
        for given, answer in zip(sets, answers, strict=True):
            worked = work(card.sheet, given)
            assert [row[0] for row in answer] == list(worked)
            for (name, value, give, reason, says, also), found in zip(answer, worked.values(), strict=True):
                where = f"{card.id}.{name} {given}"
                assert reason == found.reason, where
                if found.value is None:
                    assert value is None, where
                    continue
                assert _close(value, found.value), where
                assert (give is None) == (found.give is None), where
                # A ± is the difference of two results: what they lose in common is lost here.
                assert give is None or math.isclose(give, found.give or 0, rel_tol=1e-6, abs_tol=abs(value) * 1e-9), (
                    where
                )
                assert (says, also) == (found.says, found.also), where
                compared += 1
    assert compared > 20_000


def _close(one: float, other: float) -> bool:
    return math.isclose(one, other, rel_tol=CLOSE, abs_tol=1e-15)


def test_what_is_typed(sums: Chrome) -> None:
    asked = [[case.text, case.unit, alternatives(case.unit), case.least, case.most] for case in CASES]
    for case, answer in zip(CASES, sums.execute_script(TYPED, asked), strict=True):
        try:
            wanted: Measured | str = read_typed(case.text, case.unit, case.least, case.most)
        except NotRead as error:
            wanted = str(error)
        if isinstance(wanted, str):
            assert answer == wanted, case.text
        else:
            assert _close(answer["value"], wanted.value), case.text
            assert _close(answer["give"], wanted.give), case.text


def test_numbers_are_shown_alike(sums: Chrome) -> None:
    draw = random.Random(15)
    pairs = [(draw.choice([-1, 1]) * 10 ** draw.uniform(-7, 8), 10 ** draw.uniform(-5, 5)) for _ in range(1000)]
    pairs += [
        (0.0, 0.0),
        (2.5, 1.0),
        (0.5, 0.0),
        (1234.5, 0.0),
        (999.96, 0.0),
        (9.996, 0.1),
        (1e-9, 0.0),
        (-0.0001, 20.0),
    ]
    for (value, give), answer in zip(pairs, sums.execute_script(SHOWN, pairs), strict=True):
        assert answer == [number_text(value), measured_text(value, give)], (value, give)


def test_water_steam_and_air(sums: Chrome) -> None:
    draw = random.Random(16)
    by_temperature = ("saturationPressure", "waterDensity", "waterHeat")
    by_pressure = ("boilingPoint", "latentHeat", "boilingWaterHeat", "steamHeat", "steamVolume")
    asked: list[Any] = [
        (name, draw.uniform(water.COLDEST, water.HOTTEST)) for name in by_temperature for _ in range(100)
    ]
    asked += [(name, draw.uniform(700, 1.5e6)) for name in by_pressure for _ in range(100)]
    asked += [("airPressure", draw.uniform(-500, 5000)) for _ in range(100)]
    answers = sums.execute_script(PHYSICS, asked)
    python = {
        "saturationPressure": water.saturation_pressure, "waterDensity": water.water_density,
        "waterHeat": water.water_heat, "boilingPoint": water.boiling_point, "latentHeat": water.latent_heat,
        "boilingWaterHeat": water.boiling_water_heat, "steamHeat": water.steam_heat,
        "steamVolume": water.steam_volume, "airPressure": air_pressure,
    }  # fmt: skip
    for (name, value), answer in zip(asked, answers, strict=True):
        # The enthalpy of water is 0 near its triple point: 1e-9 of a kJ/kg there.
        assert math.isclose(answer, python[name](value), rel_tol=CLOSE, abs_tol=1e-6), (name, value)


def test_the_verification_tables_of_the_release(sums: Chrome) -> None:
    """IAPWS R7-97(2012), Tables 5, 15, 35 and 36."""
    script = """
    const { physics: p } = faultleaf;
    return [p.region1(300, 3e6), p.region1(300, 80e6), p.region1(500, 3e6),
      p.region2(300, 3500), p.region2(700, 3500), p.region2(700, 30e6)].flatMap(({ v, h }) => [v, h / 1000])
      .concat([p.saturationPressure(300) / 1e6, p.boilingPoint(0.1e6), p.boilingPoint(1e6)]);
    """
    wanted = [
        0.00100215168, 115.331273, 0.000971180894, 184.142828, 0.00120241800, 975.542239,
        39.4913866, 2549.91145, 92.3015898, 3335.68375, 0.00542946619, 2631.49474,
        0.00353658941, 372.755919, 453.035632,
    ]  # fmt: skip
    for found, value in zip(sums.execute_script(script), wanted, strict=True):
        assert math.isclose(found, value, rel_tol=5e-9)


def test_the_water_ledger(sums: Chrome) -> None:
    boilers = [simulate(seed) for seed in range(100)]
    asked = [[_camel(vars(each.boiler)), [vars(reading) for reading in each.readings]] for each in boilers]
    for boiler, answer in zip(boilers, sums.execute_script(LEDGER, asked), strict=True):
        told = _camel(asdict(read_ledger(boiler.boiler, boiler.readings)))
        assert set(answer) == set(told)
        for name, wanted in told.items():
            if isinstance(wanted, dict):
                for end, value in wanted.items():
                    assert math.isclose(answer[name][end], value, rel_tol=1e-6, abs_tol=1e-12), (name, end)
            elif isinstance(wanted, float):
                assert math.isclose(answer[name], wanted, rel_tol=1e-6), name
            else:
                assert answer[name] == wanted, name


def _camel(fields: dict[str, Any]) -> dict[str, Any]:
    """Names as the browser writes them."""
    first, *rest = zip(*(name.split("_", 1) if "_" in name else (name, "") for name in fields), strict=True)
    names = [one + other.capitalize() for one, other in zip(first, rest[0], strict=True)]
    return dict(zip(names, fields.values(), strict=True))


@pytest.mark.parametrize("kind", ["plain", "numbers", "measured"])
def test_numbers_read_as_in_python(kind: str, sums: Chrome) -> None:
    name = {"plain": "plainText", "numbers": "numberText", "measured": "measuredText"}[kind]
    script = f"return arguments[0].map((given) => faultleaf.worksheets.{name}(...given))"
    assert sums.execute_script(script, [case[:-1] for case in SHARED[kind]]) == [case[-1] for case in SHARED[kind]]
