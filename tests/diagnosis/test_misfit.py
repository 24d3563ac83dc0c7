"""diagnosis/worth/misfit.py: shares of drawn calls that fit no card, against belief itself and by hand."""

import pytest
from faultleaf.diagnosis import parse_problem
from faultleaf.diagnosis.worth.misfit import misfits

from tests.diagnosis.problems import exact, messy_problem


def contrary(tests: int) -> dict[str, object]:
    """Two faults that show "yes" everywhere, where nothing named would show "no"."""
    names = [f"t{number}" for number in range(tests)]
    return {
        "faults": [{"id": "a", "weight": 1}, {"id": "b", "weight": 1}, {"id": "unlisted", "weight": 0.1}],
        "hand_on": {"minutes": 60},
        "repairs": [],
        "tests": [
            {
                "id": name,
                "minutes": 1,
                "outcomes": ["yes", "no"],
                "given": {"a": [0.99, 0.01], "b": [0.99, 0.01]},
                "otherwise": [0.01, 0.99],
            }
            for name in names
        ],
    }


def test_senseless_calls_against_cards_that_all_say_the_same() -> None:
    # One finding "no" of one test: the cards say .01, nothing named says .99, so 99 times likelier: fits still;
    # the unlisted cause weighs .1·.99 against 2·.01, so it passes one half. Half of the blind outcomes are "no".
    found = misfits(parse_problem(contrary(1)), 1, calls=4000)
    assert found.random == pytest.approx(0.5, abs=0.03)
    assert found.drawn == pytest.approx(0.01, abs=0.006)


def test_more_findings_tell_more() -> None:
    # Nine outcomes: blindly .5^9 = .00195; a card shows two "no" with .99^7 .01^2 = .00009, one with .0092. So two
    # "no" fit no card: all but 10 of 512 blind calls, and .0034 of the calls that a card draws.
    found = misfits(parse_problem(contrary(9)), 9, calls=2000)
    assert found.drawn == pytest.approx(0.0034, abs=0.004)
    assert found.random == pytest.approx(502 / 512, abs=0.012)


def test_the_number_of_findings_is_at_most_that_of_the_tests() -> None:
    problem = messy_problem(2, faults=4, tests=3)
    assert misfits(problem, 99, calls=5).findings == 3
    assert misfits(problem, 2, calls=5).findings == 2
    assert misfits(problem, 99, calls=50) == misfits(problem, 3, calls=50)


def test_without_tests_nothing_can_be_said() -> None:
    found = misfits(parse_problem(exact((1, 1), (9, 9))), 8)
    assert (found.findings, found.calls, found.drawn, found.random) == (0, 0, 0.0, 0.0)
