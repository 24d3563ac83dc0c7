"""Problem files: what is read, and every wrong entry named in one go."""

import random
from typing import Any

import pytest
from faultleaf.diagnosis import ProblemError, parse_problem

from tests.diagnosis.problems import exact, messy, rich


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


def full() -> dict[str, Any]:
    """A problem file with one of each that few need."""
    data = good()
    data["faults"].insert(1, {"id": "f0/b", "weight": 1, "cause": "f0"})
    data["hand_on"]["owed"] = {"f0": 30, "f1": 5}
    data["repairs"][0].update(failed_minutes=4, by_other=True)
    renews = {"yes": {"t0": "no"}}
    data["tests"][1].update(way="feel", renews=renews, perishes_after=["r1"], together=["t0"], minutes_together=0.5)
    stop = {"test": "t0", "outcome": "yes", "allows": ["t1", "r0"], "caution": "scald", "call": "the maker"}
    return {**data, "stops": [stop]}


def test_what_few_need_is_read() -> None:
    problem = parse_problem(full())
    assert problem.causes == ("f0", "f0", "f1")
    assert problem.ending.tolist() == [90, 60, 65]
    assert (problem.repairs[0].failed_minutes, problem.repairs[0].by_other) == (4, True)
    assert problem.repairs[1].failed_minutes == problem.repairs[1].minutes
    test = problem.tests[1]
    assert (test.way, test.renews, test.perishes_after) == ("feel", {"yes": {"t0": "no"}}, frozenset({"r1"}))
    assert (test.together, test.minutes_together) == (frozenset({"t0"}), 0.5)
    assert problem.stopping == {"t0": {"yes": {"t1", "r0"}}}
    assert (problem.stops[0].caution, problem.stops[0].call) == ("scald", "the maker")


def test_rows_of_one_fault_are_repaired_as_that_fault() -> None:
    """A repair belongs to the cause of the first row it fixes (rule 7 asks after it)."""
    data = full()
    data["repairs"][0]["fixes"] = {"f0/b": 1.0}
    assert parse_problem(data).repairs[0].fault == "f0"


@pytest.mark.parametrize(
    ("where", "change", "expected"),
    [
        ("tests", {"way": "smell"}, "test t1: way: expected one of ask, look, listen, feel, measure, open, run, found"),
        ("tests", {"renews": {"odd": {"t0": "no"}}}, "test t1: renews: test 't1' has no outcome 'odd'"),
        ("tests", {"renews": {"yes": {"t0": "odd"}}}, "test t1: renews yes: test 't0' has no outcome 'odd'"),
        ("tests", {"perishes_after": ["r9"]}, "test t1: perishes_after: there is no step 'r9'"),
        ("tests", {"together": ["r1"]}, "test t1: together: there is no step 'r1'"),
        ("repairs", {"by_other": "yes"}, "repair r1: by_other: expected true or false, found 'yes'"),
        ("repairs", {"failed_minutes": 0}, "repair r1: failed_minutes: expected a number of at least 1e-06, found 0"),
        ("stops", {"allows": ["r9"]}, "stop t0 = yes: allows: there is no step 'r9'"),
        ("stops", {"outcome": "odd"}, "stop t0 = odd: test 't0' has no outcome 'odd'"),
    ],
)
def test_wrong_entry_that_few_need_is_named(where: str, change: dict[str, Any], expected: str) -> None:
    data = full()
    data[where][-1].update(change)
    assert any(mistake.startswith(expected) for mistake in mistakes(data))


def test_stop_needs_somebody_to_hand_on_to_and_what_is_owed_a_fault() -> None:
    data = full()
    data["hand_on"]["owed"] = {"f9": 1}
    assert "hand_on: owed: there is no fault 'f9'" in mistakes(data)
    del data["hand_on"]
    assert "stops: there is no hand_on, so that a call which is stopped could not end" in mistakes(data)


def test_drawn_problems_hold_all_of_it() -> None:
    problems = [parse_problem(rich(seed)) for seed in range(40)]
    tests = [test for problem in problems for test in problem.tests]
    assert any(len(problem.cause_rows) < len(problem.faults) for problem in problems)
    assert all(any(problem.owed) for problem in problems)
    assert any(stop.caution for problem in problems for stop in problem.stops)
    assert any(not stop.caution for problem in problems for stop in problem.stops)
    assert any(problem.mending.any() for problem in problems)
    assert any(repair.by_other for problem in problems for repair in problem.repairs)
    assert all(any(getattr(test, name) for test in tests) for name in ("renews", "perishes_after", "together"))


ODD: tuple[Any, ...] = (
    "x", "", [], {}, ["a", "b"], [["a"]], {"a": {"b": ["c"]}}, [{}], {"x": [{}]}, [None], None, True, 0.5, -1, 0,
    1e308, 10**400, float("inf"), float("nan"), "unlisted", "t0", "r0", "f0",
)  # fmt: skip
ENTRIES = ("cause", "id", "needs", "never_when", "renews", "restore", "stops", "owed", "otherwise", "together", "first")


def bent(data: Any, draw: random.Random) -> Any:
    """The problem with one value somewhere changed for another, one entry lost, or one put in."""
    if not data or not isinstance(data, dict | list) or draw.random() < 0.15:
        return draw.choice(ODD)
    if isinstance(data, list):
        at = draw.randrange(len(data))
        return [bent(each, draw) if place == at else each for place, each in enumerate(data)]
    name = draw.choice(list(data))
    if draw.random() < 0.2:
        rest = {key: value for key, value in data.items() if key != name}
        return {**rest, draw.choice(ENTRIES): draw.choice(ODD)}
    return {**data, name: bent(data[name], draw)}


def test_whatever_a_problem_file_holds_it_is_read_or_refused_in_words() -> None:
    draw = random.Random(11)
    refused = [error for number in range(1500) if (error := refusal(bent(bent(messy(number % 20), draw), draw)))]
    assert 500 < len(refused) < 1500
    assert all(error.mistakes for error in refused)


def refusal(data: object) -> ProblemError | None:
    try:
        parse_problem(data)
    except ProblemError as error:
        return error
    return None
