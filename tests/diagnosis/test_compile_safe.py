"""From cards to a problem: ways of showing, stops, renewing, what is owed, what perishes (rules 2, 6, 16 to 19)."""

import random

import pytest
from faultleaf.cards import Library
from faultleaf.diagnosis import believe, compile_problem, not_cured, rank_steps
from faultleaf.diagnosis.model.state import minutes_of_test

from tests.diagnosis.small_boiler import cards, rich_cards, weights
from tests.library import make_library
from tests.oracle import posterior


@pytest.fixture(scope="module")
def library(tmp_path_factory: pytest.TempPathFactory) -> Library:
    return make_library(tmp_path_factory.mktemp("small"), cards())


@pytest.fixture(scope="module")
def rich(tmp_path_factory: pytest.TempPathFactory) -> Library:
    return make_library(tmp_path_factory.mktemp("rich"), rich_cards())


def test_a_fault_with_ways_of_showing_has_a_row_for_each(rich: Library, library: Library) -> None:
    problem, plain = compile_problem(rich, ["overfills"]), weights(compile_problem(library, ["overfills"]))
    assert problem.faults[:2] == ("bypass", "bypass/runs")
    assert problem.causes[:2] == ("bypass", "bypass")
    assert problem.weights[:2] == pytest.approx([plain["bypass"] * 0.7, plain["bypass"] * 0.3])
    listen, hold = (problem.tests[problem.test_index[name]] for name in ("listen", "hold"))
    assert listen.table[0] == pytest.approx([0.15 * 0.05 / 0.2, 0.15 * 0.15 / 0.2, 0.85])
    assert listen.table[1] == pytest.approx([0.95, 0.05 * 0.15 / 0.95, 0.05 * 0.8 / 0.95])
    assert hold.table[0] == pytest.approx(hold.table[1])
    fixes = {each.id: each.fixes[:2].tolist() for each in problem.repairs}
    assert fixes["bypass"] == [0.7, 0.7]
    belief = believe(problem, {"listen": "hiss"})
    assert belief.by_cause["bypass"] == pytest.approx(float(belief.probabilities[:2].sum()), rel=1e-12)
    assert dict(belief.ranked()) == pytest.approx(belief.by_cause)
    assert set(belief.by_cause) == {"bypass", "glass-shut", "probe-dirty", "valve", "unlisted"}


def test_what_is_seen_otherwise_goes_by_equipment_and_by_symptom(rich: Library) -> None:
    def otherwise(test: str, symptom: str = "overfills", **equipment: str) -> list[float]:
        problem = compile_problem(rich, [symptom], equipment=equipment)
        return [float(chance) for chance in problem.tests[problem.test_index[test]].table[-1]]

    assert otherwise("hold", feed="manual") == pytest.approx([0.9, 0.1])
    assert otherwise("hold", feed="automatic") == pytest.approx([0.1, 0.9])
    assert otherwise("hold") == pytest.approx([0.4 * 0.9 + 0.6 * 0.1, 0.4 * 0.1 + 0.6 * 0.9])
    assert otherwise("second-hold") == pytest.approx([0.25, 0.75])
    assert otherwise("second-hold", "bangs") == pytest.approx([0.1, 0.9])
    # A cause that can be on one kind of system alone takes what is seen there.
    problem = compile_problem(rich, ["overfills"])
    place = problem.faults.index("probe-dirty")
    assert problem.tests[problem.test_index["hold"]].table[place] == pytest.approx([0.1, 0.9])


def test_a_stop_leaves_what_it_allows_and_handing_on_on_every_symptom(rich: Library) -> None:
    for symptom in ("overfills", "bangs"):
        problem = compile_problem(rich, [symptom])
        belief = believe(problem, {"level": "empty"})
        (stop,) = belief.stops
        assert (stop.caution, stop.call, stop.allows) == (
            "dry",
            "a licensed contractor",
            frozenset({"cold-look", "valve"}),
        )
        steps = rank_steps(problem, belief)
        assert {step.id for step in steps} <= {"cold-look", "valve", "hand-on"}
        assert {"cold-look", "hand-on"} <= {step.id for step in steps}
        assert {step.reason for step in steps} == {"stop"}
        assert [step.cautions for step in steps if step.kind == "hand-on"] == [("dry",)]
        lifted = believe(problem, {"level": "empty", "cold-look": "sound"})
        assert lifted.stops == ()
        assert lifted.state.known["level"] == {"seen"}
        kept = believe(problem, {"level": "empty", "cold-look": "dry"})
        assert [stop.caution for stop in kept.stops] == ["dry"]
    alone = compile_problem(rich, ["overfills"], who="technician")
    assert {step.id for step in rank_steps(alone, believe(alone, {"level": "empty"}))} == {"hand-on"}


def test_the_instrument_is_mended_before_anything_else(rich: Library) -> None:
    """Rule 17: after a bad glass only the repairs that put it right and the tests that tell what is wrong with it."""
    problem = compile_problem(rich, ["overfills"])
    assert problem.repairs[problem.repair_index["leaking-washer"]].fixes.tolist() == [0.0] * len(problem.faults)
    mending = {"leaking-washer", "glass-shut", "bypass.2"}
    for seen, telling in (("stuck", {"glass-taken-out"}), ("slow", {"glass-taken-out"})):
        belief = believe(problem, {"glass": seen})
        assert [(stop.caution, stop.allows) for stop in belief.stops] == [("", frozenset(mending | telling))]
        steps = rank_steps(problem, belief)
        assert {step.id for step in steps} <= mending | telling | {"hand-on"}
        assert "leaking-washer" in {step.id for step in steps}
        mended = not_cured(problem, {"glass": seen}, "leaking-washer")
        assert believe(problem, mended).stops == ()
        assert "hold" in {step.id for step in rank_steps(problem, believe(problem, mended))}
        assert "glass-taken-out" not in {step.id for step in rank_steps(problem, believe(problem, mended))}
    # Where its fault is a candidate, it is a repair like others, and mends nothing besides.
    assert compile_problem(rich, ["bangs", "overfills"]).repairs[0].fixes.any()


def test_minutes_of_what_failed_of_telephone_calls_and_of_one_night(rich: Library) -> None:
    problem = compile_problem(rich, ["bangs"])
    trap = problem.repairs[problem.repair_index["steam-trap"]]
    assert trap.minutes == 30 + 30 + 60  # hands on, all looks, one return visit
    assert trap.failed_minutes == 30 + 30 * 2 / 3 + 15  # the second look of three shows it, a quarter of an hour on
    assert trap.by_other  # a job to quote
    cost = {test.id: test.minutes for test in problem.tests}
    assert cost["hold"] == 5 + 10 + 15 + 10  # the owner reads it and telephones
    assert cost["second-hold"] == 7 + 60
    after = believe(problem, {"glass": "prompt", "hold": "steady"}).state
    assert minutes_of_test(problem, after, problem.test_index["second-hold"]) == 7
    assert minutes_of_test(problem, believe(problem, {}).state, problem.test_index["second-hold"]) == 67


def test_handing_on_owes_the_cheapest_repair(rich: Library) -> None:
    problem = compile_problem(rich, ["bangs"])
    owed = dict(zip(problem.faults, problem.owed.tolist(), strict=True))
    assert owed["steam-trap"] == pytest.approx(120 + 0.2 / 0.8 * 65)
    bypass = min(100 + 0.3 / 0.7 * 40, 115 + 0.05 / 0.95 * (90 + 10))
    again = {each.id: each for each in problem.repairs}
    assert again["bypass.2"].failed_minutes == 100
    assert owed["bypass"] == owed["bypass/runs"] == pytest.approx(bypass)
    cause = weights(problem)
    listed = [name for name in problem.faults if name != "unlisted"]
    mean = sum(cause[name] * owed[name] for name in listed) / sum(cause[name] for name in listed)
    assert owed["unlisted"] == pytest.approx(mean)
    assert problem.ending == pytest.approx(100 + problem.owed)
    step = next(step for step in rank_steps(problem, believe(problem, {})) if step.kind == "hand-on")
    assert step.expected_minutes == pytest.approx(100 + float(believe(problem, {}).probabilities @ problem.owed))


def test_what_perishes_is_looked_at_before_or_not_at_all(rich: Library) -> None:
    problem = compile_problem(rich, ["bangs"])
    assert problem.tests[problem.test_index["dust"]].perishes_after == {"glass"}
    assert "dust" in {step.id for step in rank_steps(problem, believe(problem, {}))}
    assert "dust" not in {step.id for step in rank_steps(problem, believe(problem, {"glass": "prompt"}))}
    # A finding that was made all the same counts.
    found = believe(problem, {"glass": "prompt", "dust": "old"}).by_cause["bypass"]
    assert found > believe(problem, {"glass": "prompt"}).by_cause["bypass"]


def test_posterior_with_ways_equipment_and_renewals_equals_pyagrum(rich: Library) -> None:
    draw = random.Random(21)
    renewed = 0
    for _ in range(240):
        symptom = draw.choice(["overfills", "bangs"])
        equipment = draw.choice([{}, {"feed": "automatic"}, {"feed": "manual"}, {"cutoff": "probe"}])
        problem = compile_problem(rich, [symptom], equipment=equipment)
        chosen = draw.sample(problem.tests, draw.randint(0, len(problem.tests)))
        findings = {test.id: draw.choice(test.outcomes) for test in chosen}
        belief = believe(problem, findings)
        if belief.impossible:
            continue
        renewed += findings.get("cold-look") == "sound" and "level" in findings
        assert dict(belief.ranked()) == pytest.approx(posterior(rich, symptom, equipment, findings), abs=1e-9)
    assert renewed > 20
