"""The order in which steps are offered (rules 13 and 21): each rule on the smallest problem that shows it."""

from typing import Any

import pytest
from faultleaf.diagnosis import believe, parse_problem, rank_steps

from tests.diagnosis.all_rules import with_all_rules
from tests.diagnosis.problems import exact


def offered(data: dict[str, Any], **findings: str) -> list[str]:
    problem = parse_problem(data)
    return [step.id for step in rank_steps(problem, believe(problem, findings))]


def twins(**ways: str) -> dict[str, Any]:
    """Two causes with dear repairs, and sure tests of 2 min that all part them; `ways` of the tests by name."""
    data = exact((1, 1), (90, 90), hand_on=400)
    given = {"f0": [1.0, 0.0], "f1": [0.0, 1.0]}
    data["tests"] = [
        {"id": name, "minutes": 2, "outcomes": ["yes", "no"], "given": given, "way": way} for name, way in ways.items()
    ]
    return data


def test_of_tests_as_good_as_equal_the_gentler_one_comes_first() -> None:
    data = twins(a="run", b="open", c="measure", d="feel", e="listen", f="look", g="ask")
    assert offered(data)[:7] == ["g", "f", "e", "d", "c", "b", "a"]
    # A dearer one is as good as equal while it earns nine tenths of its own minutes.
    data["tests"][6]["minutes"] = 2.2
    assert offered(data)[0] == "g"
    data["tests"][6]["minutes"] = 2.3
    assert offered(data)[0] == "f"


def test_of_tests_of_one_way_the_quicker_comes_first_then_by_id() -> None:
    data = twins(a="look", b="look", c="look")
    data["tests"][0]["minutes"] = 2.5
    assert offered(data)[:3] == ["b", "c", "a"]


def test_a_test_that_does_not_earn_its_minutes_is_not_put_first() -> None:
    data = exact((1, 1), (90, 90), [({0}, 2)], hand_on=400)
    data["tests"][0]["way"] = "run"
    idle = {"id": "idle", "minutes": 2, "outcomes": ["yes", "no"], "given": {"f0": [0.5, 0.5]}, "way": "ask"}
    data["tests"].append(idle)
    assert offered(data)[0] == "t0"
    # Asked in vain it costs 2 min more than the best step: not under a tenth of its own minutes.
    problem = parse_problem(data)
    steps = {step.id: step.expected_minutes for step in rank_steps(problem, believe(problem, {}))}
    assert steps["idle"] == pytest.approx(steps["t0"] + 2)


def test_what_forbids_nothing_costs_at_most_its_own_minutes_beside_the_best() -> None:
    for seed in range(60):
        _, problem = with_all_rules(seed, 5, 5, others=True)
        steps = rank_steps(problem, believe(problem, {}))
        best = min(step.expected_minutes for step in steps)
        for step in steps:
            if step.kind == "test" and step.id not in problem.ending_things:
                assert step.expected_minutes <= best + step.cost_minutes + 1e-9


def hunch(likely: float, minutes: float = 20.0) -> dict[str, Any]:
    """Two causes, the repair of the first cheap: it is the cheapest step, and a dear test can prove it."""
    data = exact((likely, 1 - likely), (30, 60), [({0}, minutes)], hand_on=400, noise=0.05)
    data["tests"][0]["way"] = "measure"
    return data


def test_nothing_is_replaced_on_a_hunch_while_a_test_can_prove_it() -> None:
    problem = parse_problem(hunch(0.7))
    steps = rank_steps(problem, believe(problem, {}))
    assert [step.id for step in steps][:2] == ["t0", "r0"]
    assert steps[0].expected_minutes > steps[1].expected_minutes
    # Three in four are sure enough; a test dearer than the repair in vain is no help; nor one that proves nothing.
    assert offered(hunch(0.76))[0] == "r0"
    assert offered(hunch(0.7, minutes=30))[0] == "r0"
    vague = hunch(0.7)
    vague["tests"][0]["given"] = {"f0": [0.6, 0.4], "f1": [0.2, 0.8]}
    assert offered(vague)[0] == "r0"


def test_after_a_failed_repair_a_test_that_parts_the_causes_left_comes_first() -> None:
    data = exact((5, 2, 2), (10, 12, 12), hand_on=400)
    given = {"f0": [0.5, 0.5], "f1": [0.7, 0.3], "f2": [0.3, 0.7]}
    data["tests"] = [{"id": "t", "minutes": 11, "outcomes": ["yes", "no"], "given": given, "way": "measure"}]
    assert offered(data)[0] == "r0"
    assert offered(data, r0="still-there")[0] == "t"
    assert offered(data, r0="still-there", t="yes")[0] == "r1"
    # One that parts nothing is left where its minutes put it.
    data["tests"][0]["given"] = {"f1": [0.6, 0.4], "f2": [0.4, 0.6]}
    assert offered(data, r0="still-there")[0] in ("r1", "r2")


def test_mending_an_instrument_waits_for_no_proof() -> None:
    data = hunch(0.7)
    data["repairs"].append(
        {"id": "mender", "minutes": 3, "fixes": {}, "needs": {"glass": "bad"}, "restore": {"glass": "good"}}
    )
    data["tests"].append({"id": "glass", "minutes": 1, "outcomes": ["good", "bad"], "given": {}})
    data |= {"first": ["glass"], "stops": [{"test": "glass", "outcome": "bad", "allows": ["mender", "t0"]}]}
    assert offered(data) == ["glass"]
    assert offered(data, glass="bad")[0] == "mender"
    assert offered(data, glass="good", mender="still-there")[0] == "t0"
