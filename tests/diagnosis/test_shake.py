"""diagnosis/worth/shake.py: every number wrong by at most a factor of two, the same every time."""

from dataclasses import replace

import numpy as np
import pytest
from faultleaf.diagnosis import believe, next_step, parse_problem
from faultleaf.diagnosis.worth.shake import shaken, stability

from tests.diagnosis.problems import exact, messy, messy_problem

WORLDS = [messy_problem(seed, faults=5, tests=4) for seed in (1, 2, 5, 7)]


def odds(values: np.ndarray) -> np.ndarray:
    inner = values[(values > 0) & (values < 1)]
    return np.asarray(inner / (1 - inner))


@pytest.mark.parametrize("number", range(8))
def test_every_number_moves_by_at_most_a_factor_of_two(number: int) -> None:
    for before in WORLDS:
        after = shaken(before, number)
        assert before.hand_on is not None
        assert after.hand_on is not None
        ratios = [after.weights / before.weights, np.array([after.hand_on / before.hand_on])]
        ratios += [after.test_minutes / before.test_minutes, after.repair_minutes / before.repair_minutes]
        ratios.append(odds(after.fixes) / odds(before.fixes))
        every = np.concatenate([ratio.ravel() for ratio in ratios])
        assert every.min() >= 0.5
        assert every.max() <= 2
        assert (np.abs(every - 1) > 1e-6).all()


def test_rows_stay_distributions_and_their_odds_move_little() -> None:
    for before in WORLDS:
        for old, new in zip(before.tests, shaken(before, 3).tests, strict=True):
            assert new.table.sum(axis=1) == pytest.approx(1)
            assert new.otherwise.sum() == pytest.approx(1)
            ratio = odds(new.table) / odds(old.table)
            assert ratio.min() > 0.2  # a row brought to a sum of 1 again moves each entry once more
            assert ratio.max() < 5


def test_what_is_certain_stays_certain() -> None:
    before = parse_problem(exact((1, 2, 3), (10, 20, 30), [({0, 1}, 5)]))
    after = shaken(before, 0)
    assert (after.tables == before.tables).all()
    assert (after.fixes == before.fixes).all()


def test_faults_that_do_not_name_a_test_keep_one_row() -> None:
    data = messy(3, faults=5, tests=3)
    for test in data["tests"]:
        test["given"] = {"f0": test["given"].get("f0", [1.0] + [0.0] * (len(test["outcomes"]) - 1))}
    for test in shaken(parse_problem(data), 1).tests:
        assert (test.table[1:] == test.otherwise).all()


def test_tells_how_often_the_first_step_stays() -> None:
    for problem in WORLDS:
        found = stability(problem, 6)
        findings = dict(found.findings)
        first = next_step(problem, believe(problem, findings))
        assert first is not None
        assert (found.kind, found.id) == (first.kind, first.id)
        assert first.reason != "first"
        steps = [next_step(shaken(problem, number), believe(shaken(problem, number), findings)) for number in range(6)]
        assert found.same == sum(step is not None and step.id == found.id for step in steps)
        assert found.same <= found.close <= found.tries == 6
        assert stability(problem, 6) == found


def test_one_thing_to_do_always_stays_first() -> None:
    found = stability(parse_problem(exact((1,), (10,))), 5)
    assert (found.id, found.same, found.close, found.same_weights) == ("r0", 5, 5, 5)


def test_two_equal_causes_take_turns() -> None:
    # Either repair may come first; each is the likelier one in half of the shakings, and by much now and then.
    found = stability(parse_problem(exact((1, 1), (10, 10))), 20)
    assert found.same_weights == pytest.approx(10, abs=6)
    assert 0 < found.same < 20
    assert found.same <= found.close < 20


def test_weights_alone_are_shaken_as_with_everything_else() -> None:
    problem = WORLDS[0]
    other = replace(problem, hand_on=9.0, repairs=problem.repairs[:1])
    assert (shaken(problem, 4).weights == shaken(other, 4).weights).all()
