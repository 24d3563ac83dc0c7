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
    Problem,
    ProblemError,
    believe,
    compile_problem,
    next_step,
    plan,
    rank_steps,
)

from tests.library import make_library
from tests.oracle import posterior

EQUIPMENT = {
    "feed": {
        "title": "Feed",
        "asks": "How is water fed?",
        "values": {
            "automatic": {"title": "By a feeder", "share": 0.6},
            "manual": {"title": "By hand", "share": 0.4},
        },
    },
    "cutoff": {
        "title": "Cutoff",
        "asks": "Which cutoff?",
        "values": {
            "probe": {"title": "Probe", "share": 0.5},
            "float": {"title": "Float", "share": 0.3},
            "none": {"title": "None", "share": 0.2},
        },
    },
}


def repair(**more: Any) -> dict[str, Any]:
    return {"title": "Mend it", "takes": "30 min", "proof": "log", **more}


def cards() -> dict[str, dict[str, Any]]:
    """A small boiler: five faults, two symptoms, four tests."""
    return {
        "equipment": EQUIPMENT,
        "site": {"return_visit": "60 min", "hand_on": "240 min"},
        "symptoms/overfills": {
            "unlisted": 0.1,
            "otherwise": 0.05,
            "first": [{"test": "glass", "because": "all else relies on it"}],
        },
        "symptoms/bangs": {"otherwise": 0.2, "hand_on": "100 min"},
        "faults/valve": {
            "found_on": {"feed": "automatic"},
            "how_common": 4,
            "symptoms": {"overfills": "often"},
            "shows": {"hold": "rises, nearly-always", "listen": {"hiss": 0.6, "quiet": 0.3}},
            "cautions": ["volts"],
            "repair": repair(who="licensed", also_fixes={"probe-dirty": 0.4}),
        },
        "faults/bypass": {
            "how_common": 2,
            "symptoms": {"overfills": "usually", "bangs": "sometimes"},
            "shows": {"hold": "rises"},
            "repairs": [repair(fixes=0.7), repair(takes="90 min", proof="at-once", restore={"glass": "prompt"})],
        },
        "faults/probe-dirty": {
            "found_on": {"feed": "automatic", "cutoff": ["probe", "float"]},
            "symptoms": {"overfills": "sometimes"},
            "shows": {"probe-look": "dirty, nearly-always"},
            "repair": repair(),
        },
        "faults/glass-shut": {
            "symptoms": {"overfills": "seldom"},
            "shows": {"glass": {"stuck": 0.9}},
            "repair": repair(restore={"glass": "prompt"}),
        },
        "faults/steam-trap": {"symptoms": {"bangs": "often"}, "repair": repair()},
        "tests/glass": {
            "outcomes": {"prompt": "Falls and comes back", "slow": "Slowly", "stuck": "Does not move"},
            "otherwise": "prompt",
            "who": "owner",
        },
        "tests/hold": {
            "outcomes": {"rises": "Rises", "steady": "Stays"},
            "otherwise": "steady",
            "wait": "4 h",
            "needs": {"glass": ["prompt", "slow"]},
            "cautions": ["volts", "heat"],
        },
        "tests/listen": {
            "outcomes": {"hiss": "Hisses", "drip": "Drips", "quiet": "Quiet"},
            "otherwise": {"quiet": 0.8, "drip": 0.15},
            "wait": "20 min",
            "never_when": {"glass": "stuck"},
            "who": "apprentice",
        },
        "tests/probe-look": {
            "outcomes": {"dirty": "Dirty", "clean": "Clean"},
            "otherwise": "clean",
            "found_on": {"cutoff": "probe"},
        },
        "tests/idle": {},
        "proofs/log": {"takes": "10 min", "over": "7 days"},
        "proofs/at-once": {"takes": "10 min", "over": "15 min"},
        "cautions/volts": {"setup": "10 min"},
        "cautions/heat": {"setup": "15 min"},
    }  # fmt: skip


@pytest.fixture(scope="module")
def library(tmp_path_factory: pytest.TempPathFactory) -> Library:
    return make_library(tmp_path_factory.mktemp("small"), cards())


def weights(problem: Problem) -> dict[str, float]:
    return dict(zip(problem.faults, problem.weights.tolist(), strict=True))


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


def test_a_mended_glass_blocks_nothing(library: Library) -> None:
    problem = compile_problem(library, ["overfills"])
    belief = believe(problem, {"glass": "prompt", "glass-shut": "still-there"})
    assert "hold" in {step.id for step in rank_steps(problem, belief)}
    assert problem.repairs[problem.repair_index["glass-shut"]].retake == ("glass",)


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


def test_who_is_a_filter(library: Library) -> None:
    problem = compile_problem(library, ["overfills"], who="apprentice")
    assert {test.id for test in problem.tests if test.offered} == {
        "equipment.cutoff", "equipment.feed", "glass", "listen",
    }  # fmt: skip
    assert problem.repairs == ()
    steps = rank_steps(problem, believe(problem, {"glass": "prompt"}))
    assert steps[0].kind == "hand-on"
    assert steps[0].splits == (("bypass", "hand-on"),)  # the fault is named
    assert "valve" not in compile_problem(library, ["overfills"], who="technician").repair_index


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
