"""cli/rank.py: probabilities as pyAgrum has them, a next step, and a sentence for every slip."""

import json
import math
import subprocess
import sys
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from faultleaf.cards import Library
from faultleaf.cli import main, rank
from faultleaf.diagnosis import UNLISTED, believe, compile_problem

from tests.cli.calls import CONTENT, Call, differences, random_calls, shipped_library
from tests.counts import EVERYTHING
from tests.library import write_library
from tests.stopping import CARDS

SETS = 210 if EVERYTHING else 105
REPAIR = {"title": "Mend it", "takes": "30 min", "proof": "log"}
FEED = {
    "title": "Feed", "asks": "How is water fed?", "basis": "judgement",
    "values": {"automatic": {"title": "By a feeder", "share": 0.6}, "manual": {"title": "By hand", "share": 0.4}},
}  # fmt: skip
SMALL: dict[str, dict[str, Any]] = {
    "equipment": {"feed": FEED},
    "symptoms/overfills": {"unlisted": 0.1},
    "symptoms/bangs": {},
    "symptoms/gas": {"emergency": "yes"},
    "faults/valve": {
        "symptoms": {"overfills": "often", "gas": "often"}, "shows": {"hold": {"rises": "1", "steady": "0"}},
        "repairs": [{**REPAIR, "who": "licensed"}, {**REPAIR, "takes": "90 min", "title": "Replace it"}],
    },
    "faults/bypass": {
        "symptoms": {"overfills": "often", "bangs": "half"}, "shows": {"hold": {"rises": "1", "steady": "0"}},
        "found_on": {"feed": "automatic"}, "repair": REPAIR,
    },
    "proofs/log": {},
    "tests/hold": {"outcomes": {"rises": "It climbs", "steady": "It stays"}, "otherwise": {"rises": 1, "steady": 0}},
    "tests/look": {"outcomes": {"wet": "Wet", "dry": "Dry"}, "otherwise": "dry"},
}  # fmt: skip
Run = Callable[..., tuple[int, str, str]]


@pytest.fixture(scope="module")
def library() -> Library:
    return shipped_library()


@pytest.fixture(scope="module")
def small(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write_library(tmp_path_factory.mktemp("small") / "content", SMALL)


@pytest.fixture
def run(small: Path, capsys: pytest.CaptureFixture[str]) -> Run:
    """`faultleaf rank` over the small library: exit code, what was said, and what was complained about."""

    def call(*arguments: str) -> tuple[int, str, str]:
        code = main(["rank", *arguments, "--content", str(small)])
        said = capsys.readouterr()
        return code, said.out, said.err

    return call


def test_must_show(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(CONTENT.parent)
    assert main(["rank", "boiler-overfills", "--has", "water-feed=automatic", "--json"]) == 0
    answer = json.loads(capsys.readouterr().out)
    shares = [cause["probability"] for cause in answer["causes"]]
    assert math.isclose(math.fsum([*shares, answer["unlisted"]]), 1, abs_tol=1e-12)
    assert [round(share, 9) for share in shares] == sorted((round(share, 9) for share in shares), reverse=True)
    assert answer["next_step"] == answer["steps"][0]
    assert answer["next_step"]["id"] == "low-water-look"
    assert answer["next_step"]["reason"] == "first"
    assert answer["equipment"] == {"water-feed": "automatic"}
    assert answer["unlisted"] > 0


def test_probabilities_are_those_of_another_library_for_inference(
    library: Library, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(rank, "read_library", lambda _: library)  # read once, asked often
    wrong = {}
    for number, call in enumerate(random_calls(library, SETS, seed=2)):
        if number % 10:  # the steps, which take time, are not what is compared
            answer = {**believed(library, call), "findings": call.findings}
        else:
            assert main([*call.arguments(), "--json"]) == 0
            answer = json.loads(capsys.readouterr().out)
            assert answer["steps"], call
        assert answer["findings"] == call.findings
        if found := differences(library, call, answer):
            wrong[str(call)] = found
    assert wrong == {}


def believed(library: Library, call: Call) -> dict[str, object]:
    """The engine's own belief, as the command shows it."""
    problem = compile_problem(library, [call.symptom], equipment=call.equipment)
    belief = believe(problem, call.findings)
    shares = dict(belief.ranked())
    return {
        "causes": [{"id": name, "probability": share} for name, share in shares.items() if name != UNLISTED],
        "unlisted": shares[UNLISTED],
    }


def test_the_comparison_sees_what_is_wrong(library: Library, capsys: pytest.CaptureFixture[str]) -> None:
    call = next(random_calls(library, 1, seed=5))
    main([*call.arguments(), "--json", "--content", str(CONTENT)])
    answer = json.loads(capsys.readouterr().out)
    assert differences(library, call, answer) == []
    answer["causes"][0]["probability"] += 1e-8
    assert len(differences(library, call, answer)) == 2
    other = Call(call.symptom, call.equipment, {**call.findings, "leak-walk": "wet-found"})
    assert differences(library, other, answer) != []


def test_the_whole_command_in_a_process_of_its_own(library: Library) -> None:
    for call in list(random_calls(library, 30, seed=3))[-2:]:
        arguments = [*call.arguments(), "--json", "--content", str(CONTENT)]
        command = [str(Path(sys.executable).with_name("faultleaf")), *arguments]
        done = subprocess.run(command, capture_output=True, text=True, check=False)
        assert (done.returncode, done.stderr) == (0, "")
        assert differences(library, call, json.loads(done.stdout)) == []


def test_a_finding_moves_the_causes(library: Library, capsys: pytest.CaptureFixture[str]) -> None:
    before, after = Call("boiler-overfills", {}, {}), Call("boiler-overfills", {}, {"feeder-live-hold": "rises"})
    shares = []
    for call in (before, after):
        main([*call.arguments(), "--json", "--content", str(CONTENT)])
        answer = json.loads(capsys.readouterr().out)
        assert differences(library, call, answer) == []
        shares.append(next(c["probability"] for c in answer["causes"] if c["id"] == "feeder-valve-passing"))
    assert shares[1] > 2 * shares[0]


def test_steps_are_sorted_by_expected_minutes(run: Run) -> None:
    code, said, _ = run("overfills", "--json")
    answer = json.loads(said)
    minutes = [round(step["expected_minutes"], 6) for step in answer["steps"]]
    assert code == 0
    assert answer["next_step"] == answer["steps"][0]
    assert [step["reason"] for step in answer["steps"]] == ["cheapest"] + ["allowed"] * (len(minutes) - 1)
    assert len(minutes) > 3
    assert all(one <= other for one, other in pairwise(minutes))


def test_answer_in_words(run: Run) -> None:
    code, said, complaint = run("overfills", "--has", "feed=manual")
    assert (code, complaint) == (0, "")
    lines = said.splitlines()
    assert lines[0].strip() == "90 %  valve: The valve"
    assert lines[1].strip() == "10 %  unlisted: something that no card describes"
    assert lines[2] == ""
    assert lines[3].startswith("Next step: repair valve: The valve, ")
    assert lines[-2].startswith("Of 100 such calls about 85 end cured")
    assert lines[-2].endswith(f"of work. ({rank.ONE_STEP})")
    assert lines[-1].startswith("A hint for the next look, never proof that a boiler is safe. Local code, ")
    assert not any("bypass" in line for line in lines)


def test_absent_symptom_lowers_what_would_show_it(run: Run) -> None:
    plain = json.loads(run("overfills", "--json")[1])
    absent = json.loads(run("overfills", "--not", "bangs", "--json")[1])
    present = json.loads(run("overfills", "bangs", "--json")[1])
    share = {
        name: next(c["probability"] for c in answer["causes"] if c["id"] == "bypass")
        for name, answer in (("plain", plain), ("absent", absent), ("present", present))
    }
    # By hand (MODEL.md, rules 3, 4, 9): weights 4×.7 and 4×.7×.6, unlisted 1/9 of both.
    valve, bypass = 2.8, 2.8 * 0.6
    rest = (valve + bypass) / 9
    assert math.isclose(share["plain"], bypass / (valve + bypass + rest))
    assert math.isclose(share["absent"], bypass * 0.5 / (valve * 0.9 + bypass * 0.5 + rest * 0.9))
    assert math.isclose(share["present"], bypass * 0.5 / (valve * 0.1 + bypass * 0.5 + rest * 0.1))
    assert absent["absent"] == ["bangs"]
    assert present["symptoms"] == ["overfills", "bangs"]


def test_a_symptom_named_twice_counts_once(run: Run) -> None:
    assert run("overfills", "bangs", "bangs", "overfills", "--json") == run("overfills", "bangs", "--json")


def test_what_cannot_be_done_is_not_offered(run: Run) -> None:
    steps = {step["id"] for step in json.loads(run("overfills", "--json")[1])["steps"]}
    assert {"look", "valve", "valve.2", "equipment.feed"} - steps == {"look"}  # it tells no causes apart
    for name in ("valve", "valve.2", "equipment.feed"):
        left = {step["id"] for step in json.loads(run("overfills", "--cannot", name, "--json")[1])["steps"]}
        assert left == steps - {name}


def test_who_leaves_out_what_is_above_the_rank(run: Run) -> None:
    steps = {step["id"] for step in json.loads(run("overfills", "--who", "technician", "--json")[1])["steps"]}
    assert {"valve.2", "hand-on"} <= steps
    owner = json.loads(run("overfills", "--who", "owner", "--json")[1])
    kinds = {step["id"]: step["kind"] for step in owner["steps"]}
    assert kinds.keys() & {"equipment.feed", "hand-on"} == {"equipment.feed", "hand-on"}
    assert {kind for name, kind in kinds.items() if name in ("valve", "valve.2", "bypass")} <= {"named"}


def test_repair_that_did_not_cure_is_a_finding(run: Run) -> None:
    answer = json.loads(run("overfills", "--has", "feed=manual", "--found", "valve=still-there", "--json")[1])
    # The repair fixes nearly always (.95), so 5 in 100 of the valve's weight are left; or it was there as well as
    # something else, which rule 7 adds to the unlisted cause: .1 of the weight × (1 + .9).
    assert math.isclose(answer["causes"][0]["probability"], 0.9 * 0.05 / (0.9 * 0.05 + 0.1 * 1.9))
    assert "valve" not in {step["id"] for step in answer["steps"]}


def test_equipment_found_on_the_job_is_the_same_as_known_equipment(run: Run) -> None:
    found = json.loads(run("overfills", "--found", "equipment.feed=manual", "--json")[1])
    shares = {cause["id"]: cause["probability"] for cause in found["causes"]}
    assert shares["bypass"] == 0


def test_impossible_findings_are_said(run: Run) -> None:
    code, said, complaint = run("overfills", "--found", "hold=steady")
    assert (code, complaint) == (0, "")
    lines = said.splitlines()
    assert lines[:2] == ["No cause, not even an unlisted one, can show these findings. Take them again.", ""]
    assert lines[2].startswith("Next step: hand on to a licensed boiler contractor")
    assert lines[3].strip() == "always possible"  # why this step
    assert lines[4].startswith("A hint for the next look, never proof that a boiler is safe.")
    answer = json.loads(run("overfills", "--found", "hold=steady", "--json")[1])
    assert answer["impossible"] is True
    assert answer["fits"] is False
    assert [cause["probability"] for cause in answer["causes"]] == [0, 0]
    assert answer["unlisted"] == 0
    assert [(step["kind"], step["reason"]) for step in answer["steps"]] == [("hand-on", "nothing-else")]


def test_emergency_is_handed_on(run: Run) -> None:
    answer = json.loads(run("gas", "--json")[1])
    assert [(step["kind"], step["reason"]) for step in answer["steps"]] == [("hand-on", "emergency")]
    assert "Next step: hand on to a licensed boiler contractor\n" in run("gas")[1]


@pytest.fixture
def stopping(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Run:
    """`faultleaf rank` over a library with a stop and a job to quote."""
    root = write_library(tmp_path / "content", CARDS)

    def call(*arguments: str) -> tuple[int, str, str]:
        code = main(["rank", "stops", *arguments, "--content", str(root)])
        said = capsys.readouterr()
        return code, said.out, said.err

    return call


def test_a_stop_comes_before_everything_and_no_cause_beside_it(stopping: Run) -> None:
    code, said, complaint = stopping("--found", "look=empty")
    assert (code, complaint) == (0, "")
    lines = said.splitlines()
    assert lines[0] == "STOP. The look: No water"
    assert lines[1].startswith("  DANGER: ")
    assert lines[2] == "  Call: a licensed boiler contractor."
    assert lines[3] == "  After that these alone: cold-look: The cold-look."
    assert not any("%" in line for line in lines)
    steps = [line for line in lines if line.startswith(("Next step:", "       or:"))]
    assert [line.partition(": ")[2].split(":")[0] for line in steps] == [
        "test cold-look", "hand on to a licensed boiler contractor; the STOP stands",
    ]  # fmt: skip
    answer = json.loads(stopping("--found", "look=empty", "--json")[1])
    assert answer["stops"] == [
        {"test": "look", "outcome": "empty", "caution": "dry", "call": "a licensed boiler contractor",
         "allows": ["cold-look"]},
    ]  # fmt: skip
    assert answer["steps"][1]["cautions"] == ["dry"]


def test_what_a_stop_allows_lifts_it(stopping: Run) -> None:
    said = stopping("--found", "look=empty", "--found", "cold-look=sound")[1]
    assert "STOP" not in said
    assert "%" in said.splitlines()[0]


WORN = [f"--found={found}" for found in ("look=empty", "cold-look=sound", "hold=rises", "valve=still-there")]


def test_a_cause_that_others_repair_is_named_and_ends_the_call(stopping: Run) -> None:
    said = stopping(*WORN, "--json")[1]
    named = [step for step in json.loads(said)["steps"] if step["kind"] == "named"]
    assert [step["id"] for step in named] == ["section"]
    told = stopping(*WORN)[1]
    assert "cause named section: The section. Mend it, to quote; the call ends here" in told


def test_how_calls_end_is_told_and_adds_up(stopping: Run) -> None:
    ends = json.loads(stopping("--json")[1])["ends"]
    shares = [ends[name] for name in ("cured", "named", "handed_on", "stopped")]
    assert math.isclose(math.fsum(shares), 1, abs_tol=1e-12)
    assert min(shares) > 0
    assert "Of 100 such calls about" in stopping()[1]


def test_findings_that_fit_no_card_are_said(run: Run) -> None:
    failed = ["--found=valve=still-there", "--found=valve.2=still-there"]
    code, said, _ = run("overfills", "--has=feed=manual", *failed)
    assert code == 0
    assert "These findings fit no card: look wider, and take the doubtful ones again." in said


MISTAKES = {
    "symptom": (["overfill"], "there is no symptom 'overfill'. Did you mean 'overfills'?"),
    "symptom far off": (["zzz"], "there is no symptom 'zzz'. Choose from: bangs, gas, overfills."),
    "second symptom": (["overfills", "bang"], "there is no symptom 'bang'. Did you mean 'bangs'?"),
    "absent": (["overfills", "--not", "bags"], "there is no symptom 'bags'. Did you mean 'bangs'?"),
    "both": (
        ["overfills", "--not", "overfills"], "symptom 'overfills' is said to be there and not to be there",
    ),
    "feature": (["overfills", "--has", "feeds=manual"], "there is no feature 'feeds'. Did you mean 'feed'?"),
    "value": (["overfills", "--has", "feed=manuel"], "there is no value of 'feed' 'manuel'. Did you mean 'manual'?"),
    "test": (["overfills", "--found", "holt=rises"], "there is no test or repair 'holt'. Did you mean 'hold'?"),
    "outcome": (
        ["overfills", "--found", "hold=rise"], "there is no outcome of 'hold' 'rise'. Did you mean 'rises'?",
    ),
    "repair's outcome": (
        ["overfills", "--found", "valve=cured"], "repair valve: expected 'still-there', found 'cured'",
    ),
    "repair not of this call": (
        ["overfills", "--found", "bypass=still-there", "--has", "feed=manual"],
        "there is no test or repair 'bypass' in this problem",
    ),
    "feature's value": (
        ["overfills", "--found", "equipment.feed=x"],
        "test equipment.feed has no outcome 'x'; it has automatic, manual",
    ),
    "cannot": (["overfills", "--cannot", "lock"], "there is no test or repair 'lock'. Did you mean 'look'?"),
    "rank": (
        ["overfills", "--who", "boss"],
        "there is no rank 'boss'. Choose from: apprentice, licensed, owner, technician.",
    ),
    "no value": (["overfills", "--has", "feed"], "--has expects NAME=VALUE, found 'feed'"),
    "empty value": (["overfills", "--found", "hold="], "--found expects NAME=VALUE, found 'hold='"),
    "empty name": (["overfills", "--found", "=rises"], "--found expects NAME=VALUE, found '=rises'"),
    "two values": (
        ["overfills", "--has", "feed=manual", "--has", "feed=automatic"],
        "--has names 'feed' twice, as 'manual' and as 'automatic'",
    ),
}  # fmt: skip


@pytest.mark.parametrize(("arguments", "message"), MISTAKES.values(), ids=MISTAKES)
def test_every_slip_gets_a_sentence(run: Run, arguments: list[str], message: str) -> None:
    for more in ([], ["--json"]):
        assert run(*arguments, *more) == (1, "", f"faultleaf: {message}\n")


@pytest.mark.parametrize("odd", ["ü", "../..", "a b", "'", "\udcff", "%s", "", "-", "\u202e"])
def test_odd_names_get_a_sentence_too(run: Run, odd: str) -> None:
    for arguments in ([odd], ["overfills", f"--found={odd}={odd}"], ["overfills", f"--has=feed={odd}"]):
        code, said, complaint = run(*arguments)
        assert (code, said) == (1, "")
        assert complaint.startswith("faultleaf: ")
        assert complaint.count("\n") == 1


def test_broken_library_is_named_with_its_lines(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    root = write_library(tmp_path / "content", {**SMALL, "faults/valve": {"symptoms": {"overfils": "often"}}})
    assert main(["rank", "overfills", "--content", str(root)]) == 1
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err == (
        f"faultleaf: {root}/faults/valve.md:7: symptoms.overfils: there is no symptom 'overfils'. "
        "Did you mean 'overfills'? [unknown-symptom]\nThe cards have mistakes; mend them first.\n"
    )


def test_missing_folder_is_said(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    assert main(["rank", "overfills", "--content", str(tmp_path / "none")]) == 1
    assert "there is no such folder" in capsys.readouterr().err


@pytest.mark.parametrize("arguments", [[], ["rank"], ["rank", "overfills", "--fond", "x"], ["sing"]])
def test_wrong_usage_is_answered_with_the_usage(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as stop:
        main(arguments)
    assert stop.value.code == 2
    assert capsys.readouterr().err.startswith("usage: faultleaf")
