"""All 87 published figures, each with its source, in one table; and the traps that a calculator must not fall into."""

import math
from pathlib import Path
from typing import Any

import pytest
import yaml
from faultleaf.cards.text import words_of
from faultleaf.physics import unit_named
from faultleaf.worksheets import NotRead, input_value, work

from tests.cli.calls import shipped_library
from tests.worksheets.trade_checks import CHECKS, Physics, Reason, Reckoned, Stated, Worked

ROOT = Path(__file__).resolve().parents[2]
ROWS: list[dict[str, Any]] = yaml.safe_load((ROOT / "tests/cases/trade_checks.yml").read_text(encoding="utf-8"))
MARKS = ("READ", "FROM MEMORY", "COMPUTED", "COMMON PRACTICE")
LIBRARY = shipped_library()


def worked(worksheet: str, unit: str = "", /, **given: str) -> dict[str, float]:
    """The results of a worksheet with these values and its first ones, each in its own unit (or all in `unit`)."""
    card = LIBRARY.worksheets[worksheet]
    texts = {name: each.usual for name, each in card.inputs.items() if each.usual is not None}
    texts |= {name.replace("_", "-"): text for name, text in given.items()}
    values = {name: input_value(card.sheet.inputs[name], text) for name, text in texts.items()}
    return {
        name: unit_named(unit or card.results[name].unit).from_si(found.value)
        for name, found in work(card.sheet, values).items()
        if found.value is not None
    }


def _answers(answer: Worked) -> list[float]:
    found: list[float] = []
    for worksheet, given, results in answer.asked:
        for name in results:
            unit = answer.units[len(found)] if answer.units else ""
            found.append(worked(worksheet, unit, **given)[name])
    return found


def _expected(row: dict[str, Any]) -> list[float]:
    return row["expected"] if isinstance(row["expected"], list) else [row["expected"]]


def _tolerances(row: dict[str, Any]) -> list[tuple[float, float]]:
    """Relative and absolute tolerance of every figure of the row."""
    said, count = str(row["tolerance"]), len(_expected(row))
    if said.startswith("rel "):
        return [(float(said.removeprefix("rel ")), 0.0)] * count
    parts = [float(part.split()[0]) for part in said.split(",")]
    return [(1e-9, each) for each in (parts if len(parts) == count else parts * count)]


def test_the_table_is_whole_and_every_row_says_where_it_is_from() -> None:
    assert [row["id"] for row in ROWS] == list(CHECKS) == [f"K{number:02}" for number in range(1, 88)]
    for row in ROWS:
        assert row["source"], row["id"]
        assert any(mark in row["mark"] for mark in MARKS), row["id"]
    reasons = [answer for answer in CHECKS.values() if isinstance(answer, Reason)]
    assert all(len(reason.words) > 20 for reason in reasons)
    assert len(reasons) == 8


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["id"])
def test_published_figure(row: dict[str, Any]) -> None:
    answer = CHECKS[row["id"]]
    if isinstance(answer, Reason):
        assert answer.words
        return
    if isinstance(answer, Stated):
        text = " ".join((ROOT / f"content/{answer.card}.md").read_text(encoding="utf-8").split())
        assert answer.words in text
        return
    if isinstance(answer, Worked):
        found = _answers(answer)
    elif isinstance(answer, Reckoned):
        found = list(answer.run(worked))
    else:
        assert isinstance(answer, Physics)
        found = list(answer.run())
    skipped = answer.skipped if isinstance(answer, Worked) else {}
    figures = zip(found, _expected(row), _tolerances(row), strict=True)
    for place, (value, wanted, (relative, absolute)) in enumerate(figures):
        assert place in skipped or math.isclose(value, wanted, rel_tol=relative, abs_tol=absolute), (
            place,
            value,
            wanted,
        )


# --- the traps ---------------------------------------------------------------------------------------


def test_trap_head_uses_the_legs_own_density_and_only_the_difference() -> None:
    vented = worked("return-head", boiler_pressure="2", end_pressure="0", leg="180")
    assert vented["height"] == pytest.approx(57.0, abs=0.1)
    assert vented["height"] > 2 * 27.71 + 1, "60 °F water would be wrong by over an inch"
    closed = worked("return-head", boiler_pressure="2", end_pressure="2 psi", leg="180")
    assert closed["height"] == pytest.approx(0.0, abs=1e-9)


def test_trap_the_a_dimension_is_a_note_and_not_the_sum() -> None:
    card = LIBRARY.worksheets["return-head"]
    assert card.replaces is not None
    assert "28 in" in card.replaces.rule
    assert "common practice" in card.replaces.off
    assert worked("return-head")["per-psi"] != pytest.approx(30, abs=1)


def test_trap_pick_up_is_never_taken_twice() -> None:
    assert worked("net-rating", edr="200", plate_net="650")["against-plate"] == pytest.approx(3.25)
    other = worked("net-rating", edr="200", plate_net="650", pick_up="1.5")
    assert other["against-plate"] == pytest.approx(3.25), "the plate is net whatever the pick-up"


def test_trap_a_quarter_pound_is_rounded_up() -> None:
    assert 0.25 / worked("condensate", gauge="1")["each-foot"] == pytest.approx(1.0085, abs=0.001)


def test_trap_the_glass_moves_with_temperature() -> None:
    assert worked("expansion", cold="60", warm="212")["swells"] == pytest.approx(4.24, abs=0.02)
    assert 2 < worked("cooler-glass", boiler_water="215.3", glass="140")["low"] < 3


def test_trap_molal_and_molar_standards_differ() -> None:
    by_label = [worked("probe-cell", standard=each, resistance="500")["cell"] for each in ("1408.23", "1413")]
    assert by_label[1] / by_label[0] == pytest.approx(1.00339, abs=1e-4)


def test_trap_a_flooded_house_may_never_lift_its_valve() -> None:
    found = worked("flood-height", set="15", vent="20", water="60")
    assert found["at-vent"] < 15
    assert found["lifts-at"] == pytest.approx(34.6, abs=0.1)


def test_trap_no_result_says_that_a_device_is_sound() -> None:
    """No sum passes a safety valve, a cutoff or a gauge; the cards say the opposite."""
    for card in LIBRARY.worksheets.values():
        for result in card.results.values():
            for words in (result.title, *result.says):
                lower = words.lower()
                assert not any(claim in lower for claim in ("is sound", "is safe", "in order", "has passed")), (
                    card.id,
                    words,
                )
    flood = " ".join(words_of(part.text) for part in LIBRARY.worksheets["flood-height"].body.sections)
    assert "No result here says that a safety valve is sound" in flood
    probe = " ".join(words_of(part.text) for part in LIBRARY.worksheets["probe-scaled-or-pure"].body.sections)
    assert "A resistance never says that a cutoff is sound" in probe


def test_trap_the_differential_adds_or_subtracts_and_must_be_asked() -> None:
    way = LIBRARY.worksheets["pressure-control"].inputs["way"]
    adds, takes = way.choices
    assert worked("pressure-control", dial="2", differential="1", way=adds, scale="0")["cut-out"] == pytest.approx(3)
    assert worked("pressure-control", dial="2", differential="1", way=takes, scale="0")["cut-out"] == pytest.approx(2)
    with pytest.raises(NotRead, match="not among the choices"):
        worked("pressure-control", way="maybe")


def test_trap_boiling_point_needs_the_air_of_the_place() -> None:
    assert worked("steam-properties", gauge="0", altitude="5000")["hot"] == pytest.approx(202.83, abs=0.05)
    high = worked("steam-properties", gauge="2", altitude="5000")["hot"]
    assert high < worked("steam-properties", gauge="2", altitude="0")["hot"] - 7
