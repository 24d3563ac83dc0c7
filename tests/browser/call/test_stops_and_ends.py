"""assets/js/call/view.js: what a danger leaves of a call, what is proved before a repair, and how a call ends."""

import pytest
from faultleaf.cards import Library
from selenium.webdriver import Chrome

from tests.browser.call.asking import asked
from tests.browser.call.records import OPENED, Entry, entry, new_job
from tests.browser.call.test_state import begin, view, views

STEPS = """
return arguments[0].map((job) => {
  const view = call.viewOf(job, library);
  return [view.phase, view.steps.map(({ kind, id }) => [kind, id])];
});
"""
STARVES = "low-water-shutdown"
WEEK = 7 * 24 * 60
DUE = "2026-03-09T08:05:00.000Z"
REPAIR = entry("repair", 5, repair="bypass-left-open")
CURED = entry("proved", 9, repair="bypass-left-open", result="cured")
STILL_THERE = entry("proved", 9, repair="bypass-left-open", result="still-there")


def dangers(library: Library) -> list[Entry]:
    """Every finding of the library that means danger."""
    return [
        entry("finding", test=test.id, outcome=outcome, noticed=True)
        for test in library.tests.values()
        for outcome in test.stops
    ]


def test_every_danger_stops_every_call_wherever_it_stands(engine: Chrome, library: Library) -> None:
    found = dangers(library)
    assert len(found) >= 6
    for symptom, card in library.symptoms.items():
        began = begin(library, symptom)
        proved = "emergency" if card.emergency else "proof"
        other = next(fault.id for fault in library.candidates(symptom))
        for before in (began[:1], began[:2], began, [*began, entry("repair", repair=other)]):
            logs = [[*before, danger] for danger in found]
            for log, (phase, steps) in zip(logs, asked(engine, STEPS, [new_job(log) for log in logs]), strict=True):
                stop = library.tests[log[-1]["test"]].stops[log[-1]["outcome"]]
                waits = log[-2].get("repair", "") in stop.allows
                assert phase == (proved if waits else "stop"), log[-1]
                kinds = {kind for kind, step in steps if step.partition(".")[0] not in stop.allows}
                assert kinds <= {"hand-on"}, log[-1]


def test_a_stop_ends_by_what_is_taken_back_or_renewed(engine: Chrome, library: Library) -> None:
    began = begin(library)
    empty = entry("finding", test="low-water-look", outcome="glass-empty")
    assert view(engine, *began, empty)["phase"] == "stop"
    assert view(engine, *began, empty, entry("taken-back", entry=len(began)))["phase"] != "stop"
    cold = entry("finding", test="cool-and-look-cold", outcome="sound-was-dry")
    shown = view(engine, *began, empty, cold)
    assert (shown["stops"], shown["phase"]) == ([], "step")
    damaged = entry("finding", test="cool-and-look-cold", outcome="damaged")
    assert view(engine, *began, empty, damaged)["phase"] == "stop"


def test_what_was_handed_on_under_a_stop_has_ended_and_the_stop_holds(engine: Chrome, library: Library) -> None:
    gas = entry("finding", test="gas-or-alarm", outcome="gas-or-alarm")
    shown = view(engine, *begin(library), gas, entry("handed-on", to="the fire service"))
    assert shown["phase"] == "handed-on"
    assert [stop["caution"] for stop in shown["stops"]] == ["gas-or-carbon-monoxide"]


def test_a_mended_instrument_is_trusted_and_the_call_goes_on(engine: Chrome, library: Library) -> None:
    fault = library.faults["lower-glass-cock-plugged"]
    assert STARVES not in fault.symptoms
    log = [
        *begin(library, STARVES),
        entry("finding", test="low-water-look", outcome="water-in-glass"),
        entry("finding", test="gauge-glass-blowdown", outcome="stuck"),
    ]
    shown = view(engine, *log)
    assert (shown["mending"], shown["stops"], shown["step"]) == (True, [], ["repair", fault.id])
    log += [entry("repair", repair=fault.id), entry("proved", repair=fault.id, result="mended")]
    after = view(engine, *log)
    assert (after["mending"], after["phase"]) == (False, "step")
    script = """
        const view = call.viewOf(arguments[0], library);
        return [call.mendsOnly(view, arguments[1]), call.mendsOnly(view, arguments[2])];"""
    candidate = next(library.candidates(STARVES)).id
    assert asked(engine, script, new_job(log), fault.id, candidate) == [True, False]


def test_what_was_found_is_told_for_and_against_a_cause(engine: Chrome, library: Library) -> None:
    """Against a plain reckoning: P(outcome | cause) over the mean of the other rows by weight."""
    script = """
        const state = call.stateOf(arguments[0], library), view = call.viewOf(arguments[0], library, state);
        const { problem } = view, count = problem.causes.length;
        const mean = (test, outcome, own) => {
          const rows = [...problem.causes.keys()].filter((row) => (problem.causes[row] === arguments[1]) === own);
          const at = (test.start + test.outcomes.indexOf(outcome)) * count;
          const weigh = (take) => rows.reduce((sum, row) => sum + problem.weights[row] * take(row), 0);
          return weigh((row) => problem.chances[at + row]) / weigh(() => 1);
        };
        const ratios = [...state.findings].map(([id, seen]) => {
          const test = problem.tests[problem.testIndex.get(id)];
          return [id, mean(test, seen, true) / mean(test, seen, false)];
        });
        return [call.evidenceFor(view, state, arguments[1]), ratios, view.steps.map(({ id }) => id)];"""
    log = [
        *begin(library),
        entry("finding", test="low-water-look", outcome="water-in-glass"),
        entry("finding", test="gauge-glass-blowdown", outcome="prompt"),
        entry("finding", test="feeder-live-hold", outcome="rises"),
        entry("finding", test="bypass-hold", outcome="rises"),
    ]
    found, ratios, open_steps = asked(engine, script, new_job(log), "feeder-valve-passing")
    assert found["speaks"] == sorted(name for name, ratio in ratios if ratio >= 2)
    assert found["against"] == sorted(name for name, ratio in ratios if ratio <= 0.5)
    assert "feeder-live-hold" in found["speaks"]
    assert "bypass-hold" in found["against"]
    assert set(found["missing"]) <= set(open_steps)


@pytest.mark.parametrize(
    ("more", "kind", "due"),
    [
        ([], "open", None),
        ([REPAIR], "proving", DUE),
        ([REPAIR, CURED], "holds-so-far", DUE),
        ([REPAIR, CURED, {**CURED, "at": "2026-03-09T08:05:00Z"}], "cured", DUE),
        ([REPAIR, STILL_THERE], "open", None),
        ([entry("named", cause="bypass-left-open", repair="bypass-left-open", to="x")], "named", None),
        ([entry("handed-on", to="x")], "handed-on", None),
    ],
)
def test_endings_are_told_apart_and_nothing_is_cured_before_its_last_look(
    engine: Chrome, library: Library, more: list[Entry], kind: str, due: str | None
) -> None:
    assert OPENED.startswith("2026-03-02T08:00")
    script = """
        const { kind, due } = call.endingOf(call.stateOf(arguments[0], library), () => arguments[1]);
        return [kind, due && due.toISOString()];"""
    assert asked(engine, script, new_job([*begin(library), *more]), WEEK) == [kind, due]


def test_refused_and_failed_steps_stay_out_of_a_stop(engine: Chrome, library: Library) -> None:
    """What a stop allows is still left out where it cannot be done here."""
    log = [
        *begin(library),
        entry("finding", test="low-water-look", outcome="glass-empty"),
        entry("cannot", step="cool-and-look-cold", reason="no-access"),
    ]
    (shown,) = views(engine, log)
    assert (shown["phase"], shown["step"], shown["others"]) == ("stop", ["hand-on", "hand-on"], [])
