"""Problem files: what is read, and every wrong entry named in one go."""

from typing import Any

import pytest
from faultleaf.diagnosis import ProblemError, parse_problem

from tests.diagnosis.problems import exact


def mistakes(data: object) -> tuple[str, ...]:
    with pytest.raises(ProblemError) as refused:
        parse_problem(data)
    return refused.value.mistakes


def good(**change: Any) -> dict[str, Any]:
    return {**exact((1, 2), (9, 9), [({0}, 1), ({1}, 2)], hand_on=60), **change}


def test_what_is_left_out_takes_otherwise_or_flat() -> None:
    data = good()
    data["tests"][0].update(given={"f0": [0.9, 0.1]}, otherwise=[0.3, 0.7])
    data["tests"][1].update(given={})
    problem = parse_problem(data)
    assert problem.tests[0].table.tolist() == [[0.9, 0.1], [0.3, 0.7]]
    assert problem.tests[1].table.tolist() == [[0.5, 0.5], [0.5, 0.5]]
    assert problem.hand_on == 60
    assert not problem.tests[0].table.flags.writeable


def test_needs_may_name_several_outcomes() -> None:
    data = good()
    data["tests"][1]["needs"] = {"t0": ["yes", "no"]}
    assert parse_problem(data).tests[1].needs == {"t0": frozenset({"yes", "no"})}


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        (
            {"faults": [{"id": "f0", "weight": 0}, {"id": "f1", "weight": 0}]},
            "faults: the weights are all zero",
        ),
        (
            {"faults": [{"id": "f0", "weight": -1}, {"id": "f1", "weight": 1}]},
            "fault f0: weight: expected a number of at least 0, found -1",
        ),
        (
            {"faults": [{"id": "unlisted", "weight": 1}, {"id": "f0", "weight": 1}, {"id": "f1", "weight": 1}]},
            "fault unlisted: must be the last of the faults",
        ),
        (
            {"faults": [{"id": "f0", "weight": 1}, {"id": "f0", "weight": 1}, {"id": "f1", "weight": 1}]},
            "fault f0: this id is used twice",
        ),
        ({"first": ["t7"]}, "first: there is no test 't7'"),
        ({"extra": 1}, "problem: unknown entry 'extra'"),
        (
            {"hand_on": {"minutes": "soon"}},
            "hand_on: minutes: expected a number of at least 1e-06, found 'soon'",
        ),
        (
            {"hand_on": None, "repairs": [{"id": "r0", "minutes": 9, "fixes": {"f0": 1}}]},
            "fault f1: no repair fixes it for certain, and there is no hand_on",
        ),
        (
            {"repairs": [{"id": "r0", "minutes": 0, "fixes": {"f0": 1}}]},
            "repair r0: minutes: expected a number of at least 1e-06, found 0",
        ),
        (
            {"repairs": [{"id": "r0", "minutes": 9, "fixes": {"f0": 1.5}}]},
            "repair r0: fixes f0: a probability lies between 0 and 1, this is 1.5",
        ),
        (
            {"repairs": [{"id": "r0", "minutes": 9, "fixes": {"f9": 1}}]},
            "repair r0: fixes: there is no fault 'f9'",
        ),
        (
            {"repairs": [{"id": "r0", "minutes": 9, "fixes": {"f0": 1}, "restore": {"t0": "odd"}}]},
            "repair r0: restore: test 't0' has no outcome 'odd'",
        ),
        ({"tests": {}}, "tests: expected a list"),
    ],
)  # fmt: skip
def test_a_wrong_entry_is_named(change: dict[str, Any], expected: str) -> None:
    assert expected in mistakes(good(**change))


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        ({"given": {"f0": [0.9, 0.2]}}, "test t1: given f0: the probabilities add up to 1.1, not 1"),
        ({"given": {"f0": [0.9]}}, "test t1: given f0: expected 2 probabilities, found 1"),
        ({"given": {"f9": [0.9, 0.1]}}, "test t1: given: there is no fault 'f9'"),
        ({"otherwise": [0.2, 0.2]}, "test t1: otherwise: the probabilities add up to 0.4, not 1"),
        (
            {"outcomes": ["yes", "yes"]},
            "test t1: outcomes: expected outcomes with different names, at least one",
        ),
        ({"minutes": float("nan")}, "test t1: minutes: expected a number of at least 0, found nan"),
        ({"needs": {"t9": "yes"}}, "test t1: needs: there is no test 't9'"),
        ({"needs": {"t0": "odd"}}, "test t1: needs: test 't0' has no outcome 'odd'"),
        ({"needs": {"t1": "yes"}}, "test t1: needs: goes round in a circle: t1 → t1"),
        (
            {"needs": {"t0": "yes"}, "never_when": {"t0": "yes"}},
            "test t1: needs: never_when forbids what it needs of t0",
        ),
        ({"takes": 5}, "test t1: unknown entry 'takes'"),
    ],
)  # fmt: skip
def test_a_wrong_test_is_named(change: dict[str, Any], expected: str) -> None:
    data = good()
    data["tests"][1].update(change)
    assert expected in mistakes(data)


def test_a_need_that_nobody_can_meet() -> None:
    data = good()
    data["tests"][0].update(given={"f0": [1, 0], "f1": [1, 0]})
    data["tests"][1]["needs"] = {"t0": "no"}
    assert mistakes(data) == ("test t1: needs: nobody can meet t0 = no",)
    data["repairs"][0]["restore"] = {"t0": "no"}
    assert parse_problem(data).tests[1].needs == {"t0": frozenset({"no"})}


def test_a_longer_circle_is_named_once() -> None:
    circle = {"t0": {"t1": "yes"}, "t1": {"t2": "yes"}, "t2": {"t0": "yes"}}
    data = exact((1, 1), (9, 9), [({0}, 1)] * 3, needs=circle)
    assert mistakes(data) == ("test t0: needs: goes round in a circle: t0 → t1 → t2 → t0",)


def test_all_mistakes_in_one_go() -> None:
    data = good(first=["t8"], extra=1)
    data["tests"][0]["minutes"] = -5
    assert len(mistakes(data)) == 3


@pytest.mark.parametrize("data", [None, [], "text", {"faults": "no"}, {"faults": [1], "tests": [2], "repairs": [None]}])
def test_nonsense_is_a_list_of_mistakes_and_no_traceback(data: object) -> None:
    assert mistakes(data)
