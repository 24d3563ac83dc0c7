"""assets/js/engine in Chromium: the same answers as Python's engine, which is the reference.

`make bench` asks a thousand calls and as many problems; the suite a part of them.
"""

import random

import pytest
from faultleaf.cards import Library
from faultleaf.diagnosis import not_cured
from faultleaf.diagnosis.step.leaf import round9
from faultleaf.export import ENGINE_FILES
from faultleaf.export.engine import ENGINE_VERSION
from selenium.webdriver import Chrome

from tests.browser.engine.cases import Case, described, random_calls, random_problems
from tests.browser.engine.engine_page import ENGINE, answers, differences

FLOODS = "boiler-overfills"
CALLS, PROBLEMS, SEED = 100, 700, 20261125


def differing(driver: Chrome, cases: list[Case]) -> dict[str, list[str]]:
    found = ((case.name, differences(case, answer)) for case, answer in zip(cases, answers(driver, cases), strict=True))
    return {name: wrong for name, wrong in found if wrong}


def test_random_calls_are_answered_as_in_python(engine: Chrome, library: Library) -> None:
    cases = list(random_calls(library, CALLS, SEED))
    assert any(case.problem.refused for case in cases)
    assert len({len(case.given["call"]["symptoms"]) for case in cases}) == 2
    assert differing(engine, cases) == {}


def test_random_problem_files_are_answered_as_in_python(engine: Chrome) -> None:
    cases = list(random_problems(PROBLEMS, SEED))
    assert any(case.problem.restoring for case in cases)
    assert any(case.problem.disjoint for case in cases)
    assert any(not case.problem.disjoint for case in cases)
    assert any(case.problem.hand_on is None for case in cases)
    assert any(case.problem.mending.any() for case in cases)
    assert differing(engine, cases) == {}


def test_random_findings_stop_calls_are_impossible_or_fit_no_card(engine: Chrome, library: Library) -> None:
    """So that the two tests above do compare such cases."""
    given = answers(engine, [*random_problems(60, SEED), *random_calls(library, 40, SEED)])
    assert {step["kind"] for answer in given for step in answer["steps"]} == {"test", "repair", "named", "hand-on"}
    assert {"stop", "first", "cheapest", "allowed"} <= {step["reason"] for answer in given for step in answer["steps"]}
    assert any(step["cautions"] for answer in given for step in answer["steps"])
    assert any(answer["impossible"] for answer in given)
    assert any(not answer["fits"] and not answer["impossible"] for answer in given)
    assert any(answer["fits"] for answer in given)


def test_rounding_to_nine_digits_is_that_of_python(engine: Chrome) -> None:
    """Halves away from zero in the exact binary value, and a little below a half too; .5 is exact in binary."""
    draw = random.Random(SEED)
    values = [1234567895.0, 123456789.5, 1258.645725, 1258.6457249999999, 999999999.5, 0.0, 0.1, 2.675, 1e-300]
    values += [draw.uniform(0, 10) * 10.0 ** draw.randint(-12, 12) for _ in range(2000)]
    values += [round(draw.uniform(1, 9), 9) * 10.0 ** draw.randint(-6, 6) for _ in range(2000)]
    script = "return arguments[0].map((value) => faultleaf.engine.round9(value, faultleafData.shared.constants))"
    rounded = engine.execute_script(script, values)
    assert rounded[:5] == [1234567900, 123456790, 1258.64573, 1258.64573, 1000000000]
    assert rounded == [round9(value) for value in values]


@pytest.mark.parametrize("number", range(5))
def test_after_a_failed_repair_the_same_findings_go_on(engine: Chrome, library: Library, number: int) -> None:
    case = list(random_calls(library, number + 1, SEED + number))[-1]
    script = """
        const engine = faultleaf.engine, problem = engine.makeProblem(arguments[0], faultleafData.shared.constants);
        return engine.notCured(problem, arguments[1], arguments[2]);"""
    for repair in case.problem.repairs[:4]:
        found = dict(case.findings)
        after = engine.execute_script(script, described(case.problem), list(found.items()), repair.id)
        assert [tuple(finding) for finding in after] == list(not_cured(case.problem, found, repair.id).items())


def test_repair_that_was_done_tells_of_the_causes_whatever_can_be_done_now(engine: Chrome, library: Library) -> None:
    """The same as where it could be done again; it is not offered again anyway."""
    script = """
        const engine = faultleaf.engine, data = faultleafData, [symptom, repair, refused, done] = arguments;
        const library = engine.joinLibrary(data.shared, [data["symptoms/" + symptom]]);
        const problem = engine.compileProblem(library, {symptoms: [symptom], cannot: refused, done});
        const belief = engine.believe(problem, [[repair, engine.STILL_THERE]]);
        return [[...belief.byCause], engine.nextStep(problem, belief).id];"""
    repair = next(iter(library.candidates(FLOODS))).named_repairs[0][0]
    usual = engine.execute_script(script, FLOODS, repair, [], [])
    assert engine.execute_script(script, FLOODS, repair, [repair], [repair]) == usual
    assert usual[1] != repair


@pytest.mark.parametrize(
    ("call", "message"),
    [
        ({"symptoms": ["nothing"]}, "there is no symptom 'nothing'"),
        ({"symptoms": []}, "a call has at least one symptom"),
        ({"symptoms": [FLOODS], "who": "boss"}, "there is no rank 'boss'"),
        ({"symptoms": [FLOODS], "equipment": {"colour": "red"}}, "there is no equipment feature 'colour'"),
        ({"symptoms": [FLOODS], "equipment": {"water-feed": "x"}}, "equipment 'water-feed' has no value 'x'"),
        ({"symptoms": [FLOODS], "cannot": ["nothing"]}, "there is no test or repair 'nothing'"),
        (
            {"symptoms": [FLOODS], "absent": [FLOODS]},
            "symptom 'boiler-overfills' is said to be there and not to be there",
        ),
    ],
)  # fmt: skip
def test_wrong_calls_are_refused_in_words(engine: Chrome, call: dict[str, object], message: str) -> None:
    assert said(engine, "engine.compileProblem(library, arguments[0])", call) == message


@pytest.mark.parametrize(
    ("finding", "message"),
    [
        (["nothing", "x"], "there is no test or repair 'nothing' in this problem"),
        (["glass-blowdown-not", "x"], "there is no test or repair 'glass-blowdown-not' in this problem"),
        (["bypass-left-open", "cured"], "repair bypass-left-open: expected 'still-there', found 'cured'"),
        (["constructor", "x"], "there is no test or repair 'constructor' in this problem"),
    ],
)
def test_wrong_findings_are_refused_in_words(engine: Chrome, finding: list[str], message: str) -> None:
    run = 'engine.believe(engine.compileProblem(library, {symptoms: ["boiler-overfills"]}), [arguments[0]])'
    assert said(engine, run, finding) == message


def test_data_of_different_builds_are_not_mixed(engine: Chrome) -> None:
    run = 'engine.joinLibrary({...data.shared, fingerprint: "other"}, [data["symptoms/boiler-overfills"]])'
    assert said(engine, run, None) == "the data of this symptom comes from another build of the site"
    assert engine.execute_script("return faultleafData.shared.version") == ENGINE_VERSION


def said(driver: Chrome, run: str, given: object) -> object:
    """The words with which the engine refuses; None where it does not."""
    script = f"""
        const engine = faultleaf.engine, data = faultleafData;
        const parts = Object.keys(data).filter((key) => key !== "shared").map((key) => data[key]);
        const library = engine.joinLibrary(data.shared, parts);
        try {{ {run}; return null; }} catch (error) {{
          if (error instanceof engine.EngineError) return error.message;
          throw error;
        }}"""
    return driver.execute_script(script, given)


def test_every_file_of_the_engine_is_in_the_list() -> None:
    assert sorted(path.stem for path in ENGINE.glob("*.js")) == sorted(ENGINE_FILES)


def test_symptom_needs_its_own_script_and_the_shared_one_alone(engine: Chrome, library: Library) -> None:
    script = """
        const engine = faultleaf.engine, data = faultleafData;
        const library = engine.joinLibrary(data.shared, [data["symptoms/" + arguments[0]]]);
        return engine.compileProblem(library, {symptoms: [arguments[0]]}).causes;"""
    for symptom in library.symptoms:
        faults = engine.execute_script(script, symptom)
        assert list(dict.fromkeys(faults[:-1])) == [fault.id for fault in library.candidates(symptom)]
