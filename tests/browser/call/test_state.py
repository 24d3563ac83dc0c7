"""assets/js/call/state.js and view.js: where a call stands is read off its record."""

import random
from typing import Any

import pytest
from faultleaf.cards import Library
from faultleaf.diagnosis import UNLISTED, next_step
from selenium.webdriver import Chrome

from tests.browser.call.asking import asked
from tests.browser.call.records import Entry, belief_of, entry, folded, new_job, random_logs, ruled_out

FLOODS = "boiler-overfills"
COUNT, SEED = 25, 20261125
VIEWS = """
return arguments[0].map((job) => {
  const view = call.viewOf(job, library);
  return {
    phase: view.phase, step: view.step && [view.step.kind, view.step.id], stops: view.stops, mending: view.mending,
    shares: view.problem ? engine.rankedCauses(view.problem, view.belief) : [],
    causes: view.causes, cleared: view.cleared, questions: view.questions, cautions: view.cautions, fits: view.fits,
    refused: view.refused, others: view.others.map(({ id }) => id),
  };
});
"""


def views(driver: Chrome, *logs: list[Entry]) -> list[Any]:
    found = asked(driver, VIEWS, [new_job(log) for log in logs])
    assert isinstance(found, list)
    return found


def view(driver: Chrome, *log: Entry) -> Any:
    return views(driver, list(log))[0]


def safe(library: Library, symptom: str = FLOODS) -> list[Entry]:
    """A licensed person, who has read the cautions."""
    read = library.symptoms[symptom].make_safe
    return [entry("who", rank="licensed"), *(entry("safe", caution=name) for name in read)]


def begin(library: Library, symptom: str = FLOODS) -> list[Entry]:
    """A call of this symptom up to its first step."""
    return [entry("symptom", symptom=symptom, present=True), *safe(library, symptom)]


def test_python_comes_to_the_same_belief_and_step(engine: Chrome, library: Library) -> None:
    logs = list(random_logs(library, COUNT, SEED))
    for log, shown in zip(logs, views(engine, *logs), strict=True):
        problem, belief = belief_of(library, log)
        assert dict(shown["shares"]) == pytest.approx(dict(belief.ranked()), abs=1e-9)
        step = next_step(problem, belief)
        assert (shown["step"] and tuple(shown["step"])) == (step and (step.kind, step.id))
        assert shown["fits"] == belief.fits
        in_play = {cause["id"] for cause in shown["causes"]}
        candidates = {fault.id for name in problem_symptoms(log) for fault in library.candidates(name)}
        assert set(shown["cleared"]) == candidates - in_play
        assert in_play <= candidates | {UNLISTED}


def problem_symptoms(log: list[Entry]) -> list[str]:
    return [each["symptom"] for each in log if each["what"] == "symptom"]


def test_what_is_taken_back_counts_no_more(engine: Chrome, library: Library) -> None:
    """The view after an entry was taken back is the view without it, whatever came after."""
    draw, pairs = random.Random(SEED), []
    for log in random_logs(library, COUNT, SEED + 1000):
        whole = [*log, *safe(library)]
        place = draw.randrange(1, len(whole))
        pairs.append([*whole, entry("taken-back", entry=place)])
        pairs.append(whole[:place] + whole[place + 1 :])
    shown = views(engine, *pairs)
    for back, without in zip(shown[::2], shown[1::2], strict=True):
        assert {**back, "causes": None} == {**without, "causes": None}
        assert shares(back) == pytest.approx(shares(without))


def shares(shown: Any) -> dict[str, float]:
    return {cause["id"]: cause["share"] for cause in shown["causes"]}


def test_order_of_findings_that_set_no_other_does_not_matter(engine: Chrome, library: Library) -> None:
    draw, pairs = random.Random(SEED), []
    renewing = {name for name, test in library.tests.items() if test.renews}
    for log in random_logs(library, COUNT, SEED + 2000):
        kept = [each for each in log if each["what"] in ("finding", "equipment", "cannot")]
        kept = [each for each in kept if each.get("test") not in renewing]
        first = [each for each in log if each["what"] == "symptom"]
        pairs += [[*first, *kept], [*first, *draw.sample(kept, len(kept))]]
    shown = views(engine, *pairs)
    for one, other in zip(shown[::2], shown[1::2], strict=True):
        assert dict(one["shares"]) == pytest.approx(dict(other["shares"]), abs=1e-12)
        assert one["step"] == other["step"]


def test_phases_of_a_call_in_order(engine: Chrome, library: Library) -> None:
    log: list[Entry] = []
    assert view(engine)["phase"] == "symptoms"
    log += [entry("symptom", symptom=FLOODS, present=True)]
    assert view(engine, *log)["phase"] == "who", "nobody is taken for licensed"
    log += [entry("who", rank="licensed")]
    shown = view(engine, *log)
    assert (shown["phase"], shown["cautions"]) == ("make-safe", list(library.symptoms[FLOODS].make_safe))
    log += safe(library)
    asked_for = []
    while (shown := view(engine, *log))["phase"] == "equipment":
        asked_for.append(shown["questions"][0])
        log += [entry("equipment", feature=asked_for[-1], value=None)]
    assert asked_for[0] == "water-feed"
    assert 1 < len(set(asked_for)) == len(asked_for) <= 6
    assert (shown["phase"], shown["step"]) == ("step", ["test", library.symptoms[FLOODS].first[0].test])
    log += [entry("finding", test="gauge-glass-blowdown", outcome="prompt"), entry("repair", repair="bypass-left-open")]
    assert view(engine, *log)["phase"] == "proof"
    cured = [*log, entry("proved", repair="bypass-left-open", result="cured")]
    assert view(engine, *cured)["phase"] == "cured"
    assert view(engine, *cured, entry("closed"))["phase"] == "closed"
    again = [*cured, entry("closed"), entry("proved", repair="bypass-left-open", result="still-there")]
    assert view(engine, *again)["phase"] in ("step", "hand-on")
    assert view(engine, *log, entry("handed-on", to="a licensed boiler contractor"))["phase"] == "handed-on"
    named = entry("named", cause="bypass-seat-worn", repair="bypass-seat-worn", to="your technician")
    assert view(engine, *log, named)["phase"] == "named"
    assert view(engine, *log, named, entry("repair", repair="bypass-seat-worn"))["phase"] == "proof"


def test_what_the_last_finding_did_to_each_cause(engine: Chrome, library: Library) -> None:
    log = begin(library)
    shown = view(engine, *log)
    assert all(cause["times"] is None for cause in shown["causes"])
    after = view(engine, *log, entry("finding", test="gauge-glass-blowdown", outcome="prompt"), entry("note", text="x"))
    before = shares(shown)
    for cause in after["causes"]:
        assert cause["before"] == pytest.approx(before.get(cause["id"], cause["before"]))
        assert cause["times"] == pytest.approx(cause["share"] / cause["before"])
    assert any(cause["times"] > 1.05 for cause in after["causes"])
    assert any(cause["times"] < 0.95 for cause in after["causes"])


def test_rank_and_refusals_limit_the_steps(engine: Chrome, library: Library) -> None:
    log = begin(library)
    refused = [*log, entry("cannot", step="gauge-glass-blowdown", reason="not-safe", note="cock broken")]
    shown = view(engine, *refused)
    assert shown["refused"] == ["gauge-glass-blowdown"]
    assert "gauge-glass-blowdown" not in [shown["step"][1], *shown["others"]]
    owner = view(engine, *log, entry("who", rank="owner"), entry("cannot", step="gauge-glass-blowdown", reason="other"))
    steps = [step for step in [owner["step"][1], *owner["others"]] if step in library.tests]
    assert steps
    assert all(library.tests[step].who == "owner" for step in steps)


def test_who_is_at_the_call_changes_steps_and_never_the_belief(engine: Chrome, library: Library) -> None:
    """A repair that somebody did and that did not cure counts on when only the owner is left."""
    logs = list(random_logs(library, COUNT, SEED + 3000))
    assert sum(any(each["what"] == "proved" for each in log) for log in logs) > 8
    shown = views(engine, *(each for log in logs for each in (log, [*log, entry("who", rank="owner")])))
    for licensed, owner in zip(shown[::2], shown[1::2], strict=True):
        assert dict(owner["shares"]) == pytest.approx(dict(licensed["shares"]), abs=1e-12)


def test_a_finding_that_what_is_fitted_rules_out_is_kept_and_does_not_count(engine: Chrome, library: Library) -> None:
    test = library.tests["check-valve-hold"]
    (feature, allowed), *_ = test.found_on.items()
    other = next(value for value in library.equipment[feature].values if value not in allowed)
    start = [entry("symptom", symptom=FLOODS, present=True)]
    said = [
        entry("finding", test=test.id, outcome=next(iter(test.outcomes))),
        entry("equipment", feature=feature, value=other),
    ]
    script = """
        const state = call.stateOf(arguments[0], library);
        return [state.trail.map(({ idle }) => idle), [...state.findings]];"""
    reason = "What is fitted here rules this test out."
    for log, place in ([*start, *said], 1), ([*start, *reversed(said)], 2):
        assert ruled_out(library, test.id, folded(library, log).equipment)
        idle, findings = asked(engine, script, new_job(log))
        assert (idle[place], [each for each in idle if each], findings) == (reason, [reason], [])
    logs = [*start, *reversed(said)], [*start, said[1]], [*start, *said], [*start, *said, entry("taken-back", entry=2)]
    after, without, before, again = views(engine, *logs)
    assert after["shares"] == before["shares"] == without["shares"]
    assert after["causes"] == without["causes"], "nor is it the last thing that was found out"
    assert again["shares"] == view(engine, *start, said[0])["shares"]


def test_the_proof_of_one_repair_leaves_that_of_the_next_open(engine: Chrome, library: Library) -> None:
    first, second = [fault.named_repairs[0][0] for fault in library.candidates(FLOODS)][:2]
    start = begin(library)
    log = [*start, entry("repair", repair=first), entry("repair", repair=second)]
    script = """
        const { waiting, repairs } = call.stateOf(arguments[0], library);
        return [waiting, repairs.map((each) => each.result)];"""
    early = [*log, entry("proved", repair=first, result="still-there")]
    assert asked(engine, script, new_job(early)) == [second, ["still-there", None]]
    assert view(engine, *early)["phase"] == "proof"
    cured = [*early, entry("proved", repair=second, result="cured")]
    assert asked(engine, script, new_job(cured)) == [None, ["still-there", "cured"]]
    assert view(engine, *cured)["phase"] == "cured"


GONE = "This library has no such card."


@pytest.mark.parametrize(
    ("wrong", "reason"),
    [
        (entry("symptom", symptom="gone", present=True), GONE),
        (entry("finding", test="gone", outcome="x"), GONE),
        (entry("finding", test="cold-hold-all-shut", outcome="gone"), "This test has no such outcome in this library."),
        (entry("equipment", feature="water-feed", value="gone"), "This library does not ask that."),
        (entry("equipment", feature="gone", value=None), "This library does not ask that."),
        (entry("who", rank="boss"), "This library has no such rank."),
        (entry("cannot", step="gone", reason="other"), GONE),
        (entry("repair", repair="gone"), GONE),
        (entry("named", cause="bypass-left-open", repair="gone", to="x"), GONE),
        (entry("named", cause="gone", repair="bypass-left-open", to="x"), GONE),
        (entry("repair", repair="constructor"), GONE),
        (entry("proved", repair="bypass-left-open", result="cured"), "That repair was not done."),
        (entry("taken-back", entry=9), "There is no such entry."),
    ],
)
def test_an_entry_without_meaning_stays_in_the_log_and_says_why(engine: Chrome, wrong: Entry, reason: str) -> None:
    log = [entry("symptom", symptom=FLOODS, present=True)]
    script = """
        const state = call.stateOf(arguments[0], library);
        return [state.trail[1].idle, call.leftOut(state), call.viewOf(arguments[0], library).phase];"""
    assert asked(engine, script, new_job([*log, wrong])) == [reason, [f"Entry 2 is left out. {reason}"], "who"]


def test_a_reading_picks_its_outcome(engine: Chrome, library: Library) -> None:
    """Limits hold their lower end and not their upper one."""
    limits = {"low": [None, 1.5], "good": [1.5, 4], "high": [4, None]}
    readings = [-3, 1.4999, 1.5, 3.9999, 4, 1e9]
    script = "return arguments[1].map((reading) => call.outcomeOf(arguments[0], reading));"
    assert asked(engine, script, limits, readings) == ["low", "low", "good", "good", "high", "high"]
    assert asked(engine, "return call.outcomeOf(arguments[0], NaN);", limits) is None
    measured = {name: test for name, test in library.tests.items() if test.measures}
    assert measured
    for name, test in measured.items():
        limits_there = asked(engine, "return library.testById.get(arguments[0]).limits;", name)
        assert set(limits_there) == set(test.outcomes)


def test_an_emergency_leads_from_make_safe_to_whom_to_call(engine: Chrome) -> None:
    """The shipped library has no emergency yet: one of its symptoms is made one in the data."""
    script = """
        const symptoms = new Map(library.symptoms);
        symptoms.set(arguments[0], { ...symptoms.get(arguments[0]), emergency: true });
        return arguments[1].map((job) => call.viewOf(job, { ...library, symptoms }).phase);"""
    log = [entry("symptom", symptom=FLOODS, present=True), entry("who", rank="licensed")]
    cautions = asked(engine, "return library.symptoms.get(arguments[0]).make_safe;", FLOODS)
    done = [*log, *(entry("safe", caution=name) for name in cautions)]
    assert asked(engine, script, FLOODS, [new_job(log), new_job(done)]) == ["make-safe", "emergency"]


def test_data_that_are_not_loaded_are_asked_for(engine: Chrome) -> None:
    script = """
        const some = engine.joinLibrary(data.shared, [data["symptoms/boiler-overfills"]]);
        try { call.viewOf(arguments[0], some); } catch (error) { return error.message; }"""
    job = new_job([entry("symptom", symptom="low-water-shutdown", present=True)])
    assert asked(engine, script, job) == "the data of symptom 'low-water-shutdown' are not loaded"
