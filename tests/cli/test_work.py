"""`faultleaf work`: values as they are typed, results with their ±, and what is refused."""

import json

import pytest
from faultleaf.cli import main

from tests.cli.calls import CONTENT

HERE = ["--content", str(CONTENT)]


def test_a_leak_by_hand(capsys: pytest.CaptureFixture[str]) -> None:
    """1 1/4 in over half an hour at 1.2 gal an inch are 3 gal an hour."""
    values = ["rise=1 1/4 ± 1/16", "time=0,5", "per-inch=1.2"]
    assert main(["work", "leak-rate", *values, *HERE]) == 0
    said = capsys.readouterr().out
    assert "Water let in: 3.00 ± 0.15 gal/h" in said
    assert "room [in] = 6 (first value)" in said
    assert "never proof that a boiler is safe" in said


def test_json_is_in_si(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["work", "steam-properties", "gauge=0", "--json", *HERE]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert answer["results"]["hot"]["value"] == pytest.approx(373.12, abs=0.01)
    assert answer["results"]["hot"]["reason"] == ""


def test_a_value_outside_the_sensible_range_is_warned_of(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["work", "return-head", "boiler-pressure=20", *HERE]) == 0
    assert "above what is sensible, 15 psi" in capsys.readouterr().out


def test_a_result_within_its_error_says_both_meanings(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["work", "return-head", "boiler-pressure=0.8 ± 0.2", *HERE]) == 0
    assert "Within its ± also:" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (["leak-rat"], "Did you mean 'leak-rate'?"), (["leak-rate", "rize=1"], "Did you mean 'rise'?"),
        (["leak-rate", "rise=1 oz"], "'oz' is not a unit for this"), (["leak-rate", "rise"], "expects NAME=VALUE"),
        (["leak-rate", "rise=__import__('os')"], "cannot be read"),
        (["pressure-control", "way=maybe"], "not among the choices"),
    ],
)  # fmt: skip
def test_what_is_refused(arguments: list[str], says: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["work", *arguments, *HERE]) == 1
    assert says in capsys.readouterr().err


def test_without_a_name_all_are_listed(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["work", *HERE]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert len(lines) >= 30
    assert any(line.startswith("leak-rate: ") for line in lines)
