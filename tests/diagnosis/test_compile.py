"""From cards to a problem: every rule of the model by a tiny library, posteriors against pyAgrum."""

import random
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from faultleaf.cards import Library
from faultleaf.diagnosis import (
    DiagnosisError,
    PlanError,
    ProblemError,
    believe,
    compile_problem,
    next_step,
    not_cured,
    plan,
    rank_steps,
)

from tests.diagnosis.small_boiler import cards, weights
from tests.library import make_library
from tests.oracle import posterior


@pytest.fixture(scope="module")
def library(tmp_path_factory: pytest.TempPathFactory) -> Library:
    return make_library(tmp_path_factory.mktemp("small"), cards())


def test_prior_is_rate_times_symptom_times_equipment_share(library: Library) -> None:
    found = weights(compile_problem(library, ["overfills"]))
    listed = {
        "valve": 4 * 0.7 * 0.6,
        "bypass": 2 * 0.85,
        "probe-dirty": 4 * 0.3 * 0.6 * 0.8,
        "glass-shut": 4 * 0.1,
    }
    assert found == pytest.approx({**listed, "unlisted": sum(listed.values()) * 0.1 / 0.9})
    assert list(found)[-1] == "unlisted"


def test_known_equipment_is_one_or_nothing(library: Library) -> None:
    automatic = weights(compile_problem(library, ["overfills"], equipment={"feed": "automatic", "cutoff": "none"}))
    assert set(automatic) == {"valve", "bypass", "glass-shut", "unlisted"}
    assert automatic["valve"] == pytest.approx(4 * 0.7)
    manual = compile_problem(library, ["overfills"], equipment={"feed": "manual"})
    assert set(manual.faults) == {"bypass", "glass-shut", "unlisted"}


def test_asking_about_equipment_gives_the_same_as_knowing_it(library: Library) -> None:
    asked = believe(compile_problem(library, ["overfills"]), {"equipment.feed": "manual"})
    known = believe(compile_problem(library, ["overfills"], equipment={"feed": "manual"}), {})
    unlisted = asked.probabilities[-1]
    # The unlisted cause takes the shares of all systems, so only the rest keeps its proportions.
    ratio = {fault: share / (1 - unlisted) for fault, share in asked.ranked() if fault != "unlisted" and share}
    rest = {fault: share / (1 - known.probabilities[-1]) for fault, share in known.ranked() if fault != "unlisted"}
    assert ratio == pytest.approx(rest)


def test_rows_by_rule_two(library: Library) -> None:
    problem = compile_problem(library, ["overfills"])
    listen = problem.tests[problem.test_index["listen"]]
    rows = dict(zip(problem.faults, listen.table.tolist(), strict=True))
    assert rows["unlisted"] == pytest.approx([0.05, 0.15, 0.8])
    assert rows["valve"] == pytest.approx([0.6, 0.1, 0.3])
    glass = problem.tests[problem.test_index["glass"]]
    assert glass.table[problem.faults.index("glass-shut")] == pytest.approx([0.1 * 0.9 / 0.95, 0.1 * 0.05 / 0.95, 0.9])
    assert all(np.allclose(test.table.sum(axis=1), 1) for test in problem.tests)


def test_minutes_by_rule_six(library: Library) -> None:
    problem = compile_problem(library, ["overfills"])
    cost = {test.id: test.minutes for test in problem.tests}
    assert cost["hold"] == 5 + 10 + 15 + 60  # hands on, two set-ups, four hours' wait as a return visit
    assert cost["listen"] == 5 + 20
    assert cost["equipment.feed"] == 1
    repairs = {each.id: each.minutes for each in problem.repairs}
    assert repairs["valve"] == 30 + 10 + 10 + 60  # hands on, set-up, proof, return visit for the proof
    assert repairs["bypass.2"] == 90 + 10 + 15
    assert problem.hand_on == 240
    assert compile_problem(library, ["bangs"]).hand_on == 100


def test_repairs_fix_what_they_say_and_alternatives_have_their_own_id(library: Library) -> None:
    problem = compile_problem(library, ["overfills"])
    fixes = {each.id: each.fixes.tolist() for each in problem.repairs}
    assert problem.faults == ("bypass", "glass-shut", "probe-dirty", "valve", "unlisted")
    assert fixes["valve"] == [0, 0, 0.4, 0.95, 0]
    assert fixes["bypass"] == [0.7, 0, 0, 0, 0]
    assert fixes["bypass.2"] == [0.95, 0, 0, 0, 0]


def test_steps_wait_for_equipment_that_is_not_known(library: Library) -> None:
    problem = compile_problem(library, ["overfills"])
    look = problem.tests[problem.test_index["probe-look"]]
    assert look.needs == {"equipment.cutoff": frozenset({"probe"})}
    dirty = problem.repairs[problem.repair_index["probe-dirty"]]
    assert dirty.needs == {
        "equipment.feed": frozenset({"automatic"}),
        "equipment.cutoff": frozenset({"probe", "float"}),
    }
    known = compile_problem(library, ["overfills"], equipment={"feed": "automatic", "cutoff": "float"})
    assert not known.tests[known.test_index["probe-look"]].offered
    assert known.repairs[known.repair_index["probe-dirty"]].needs == {}
    proposed = {step.id for step in rank_steps(problem, believe(problem, {"glass": "prompt"}))}
    assert "equipment.feed" in proposed
    assert not proposed & {"probe-look", "probe-dirty", "valve"}
    after = believe(problem, {"glass": "prompt", "equipment.feed": "automatic"})
    assert "valve" in {step.id for step in rank_steps(problem, after)}


def test_first_then_needs_and_never_when(library: Library) -> None:
    problem = compile_problem(library, ["overfills"])
    step = next_step(problem, believe(problem, {}))
    assert step is not None
    assert (step.id, step.reason) == ("glass", "first")
    stuck = {step.id for step in rank_steps(problem, believe(problem, {"glass": "stuck"}))}
    assert not stuck & {"hold", "listen"}
    slow = {step.id for step in rank_steps(problem, believe(problem, {"glass": "slow"}))}
    assert slow >= {"hold", "listen"}


def test_a_mended_glass_blocks_nothing_and_all_other_findings_stay(library: Library) -> None:
    problem = compile_problem(library, ["overfills"])
    before = {"listen": "hiss", "glass": "stuck"}
    assert "hold" not in {step.id for step in rank_steps(problem, believe(problem, before))}
    after = not_cured(problem, before, "glass-shut")
    assert after == {"listen": "hiss", "glass": "prompt", "glass-shut": "still-there"}
    assert "hold" in {step.id for step in rank_steps(problem, believe(problem, after))}


def test_tests_that_tell_nothing_apart_are_not_offered_but_their_findings_count_for_nothing(
    library: Library,
) -> None:
    problem = compile_problem(library, ["overfills"])
    assert not problem.tests[problem.test_index["idle"]].offered
    assert believe(problem, {"idle": "seen"}).probabilities == pytest.approx(believe(problem, {}).probabilities)


def test_refused_steps(library: Library) -> None:
    problem = compile_problem(library, ["overfills"], cannot=["glass", "bypass"])
    assert problem.first == ()
    assert problem.refused == ("glass",)
    assert "bypass" not in problem.repair_index
    proposed = {step.id for step in rank_steps(problem, believe(problem, {}))}
    assert "hold" not in proposed  # it needs the glass
    assert "listen" in proposed


def test_who_is_a_filter_of_tests_and_a_repair_above_the_rank_names_the_cause(library: Library) -> None:
    problem = compile_problem(library, ["overfills"], who="apprentice")
    assert {test.id for test in problem.tests if test.offered} == {
        "equipment.cutoff", "equipment.feed", "glass", "listen",
    }  # fmt: skip
    assert [each.id for each in problem.repairs] == ["bypass", "bypass.2", "glass-shut", "probe-dirty", "valve"]
    assert all(each.by_other for each in problem.repairs)
    # The bypass is likely by .44 at most here: nothing is named below an even chance (rule 8).
    steps = rank_steps(problem, believe(problem, {"glass": "prompt"}))
    assert {step.kind for step in steps} <= {"test", "hand-on"}
    assert steps[-1].splits in ((), (("bypass", "hand-on"),))
    steps = rank_steps(problem, believe(problem, {"glass": "prompt", "hold": "rises", "equipment.feed": "manual"}))
    assert (steps[0].kind, problem.repairs[problem.repair_index[steps[0].id]].fault) == ("named", "bypass")
    technician = compile_problem(library, ["overfills"], who="technician")
    assert [each.id for each in technician.repairs if each.by_other] == ["valve"]
    assert not any(each.by_other for each in compile_problem(library, ["overfills"]).repairs)


def test_several_symptoms_present_and_absent(library: Library) -> None:
    alone = weights(compile_problem(library, ["overfills"]))
    both = weights(compile_problem(library, ["overfills", "bangs"]))
    assert set(both) == {*alone, "steam-trap"}
    assert both["bypass"] == pytest.approx(alone["bypass"] * 0.3)
    assert both["valve"] == pytest.approx(alone["valve"] * 0.2)
    assert both["steam-trap"] == pytest.approx(4 * 0.05 * 0.7)
    unlisted = (alone["unlisted"] * 0.9 / 0.1 + 4 * 0.05) * 0.1 / 0.9
    assert both["unlisted"] == pytest.approx(unlisted * 0.2)
    without = weights(compile_problem(library, ["overfills"], absent=["bangs"]))
    assert without["bypass"] == pytest.approx(alone["bypass"] * 0.7)
    assert without["unlisted"] == pytest.approx(alone["unlisted"] * 0.8)


def test_posterior_equals_pyagrum_on_random_findings(library: Library) -> None:
    draw = random.Random(20)
    for _ in range(240):
        equipment = {} if draw.random() < 0.5 else {"feed": "automatic"}
        problem = compile_problem(library, ["overfills"], equipment=equipment)
        chosen = draw.sample(problem.tests, draw.randint(0, len(problem.tests)))
        findings = {test.id: draw.choice(test.outcomes) for test in chosen}
        belief = believe(problem, findings)
        assert dict(belief.ranked()) == pytest.approx(posterior(library, "overfills", equipment, findings), abs=1e-9)


def test_a_chart_of_the_small_boiler(library: Library) -> None:
    problem = compile_problem(library, ["overfills"], equipment={"feed": "automatic", "cutoff": "probe"})
    found = plan(problem, 12)
    assert found.boxes[0].steps == ("glass",)
    assert len(found.boxes) <= 12
    assert 0 < found.lower_bound <= found.expected_minutes < 240 + 5
    assert all(len(box.steps) <= 5 for box in found.boxes)


def test_an_emergency_has_beliefs_but_no_plan(tmp_path: Path) -> None:
    entries = cards()
    entries["symptoms/overfills"]["emergency"] = "yes"
    problem = compile_problem(make_library(tmp_path, entries), ["overfills"])
    belief = believe(problem, {})
    assert float(belief.probabilities.sum()) == pytest.approx(1)
    step = next_step(problem, belief)
    assert step is not None
    assert (step.kind, step.reason) == ("hand-on", "emergency")
    with pytest.raises(PlanError, match="emergency: make safe and hand on"):
        plan(problem)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        ({"symptoms": []}, "a call has at least one symptom"),
        ({"symptoms": ["floods"]}, "there is no symptom 'floods'"),
        ({"symptoms": ["bangs"], "absent": ["bangs"]}, "symptom 'bangs' is said to be there and not to be there"),
        ({"symptoms": ["bangs"], "equipment": {"fuel": "oil"}}, "there is no equipment feature 'fuel'"),
        ({"symptoms": ["bangs"], "equipment": {"feed": "odd"}}, "equipment 'feed' has no value 'odd'"),
        ({"symptoms": ["bangs"], "cannot": ["dance"]}, "there is no test or repair 'dance'"),
        ({"symptoms": ["bangs"], "who": "wizard"}, "there is no rank 'wizard'"),
    ],
)
def test_unknown_names_are_refused(library: Library, call: dict[str, Any], message: str) -> None:
    with pytest.raises(DiagnosisError) as refused:
        compile_problem(library, **call)
    assert str(refused.value) == message


def test_needs_in_a_circle_are_refused(library: Library) -> None:
    glass = library.tests["glass"].model_copy(update={"needs": {"hold": ("steady",)}})
    circular = Library({**library.cards, ("test", "glass"): glass}, library.equipment, library.sources, library.site)
    with pytest.raises(ProblemError) as refused:
        compile_problem(circular, ["overfills"])
    assert refused.value.mistakes == ("needs go round in a circle: glass → hold → glass",)
