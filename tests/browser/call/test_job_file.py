"""assets/js/call/job-file.js: a record as a file, from this machine or from anywhere."""

import copy
import json
import random
from collections.abc import Callable
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from faultleaf.cards import Library
from faultleaf.export import job_schema
from faultleaf.export.job_schema import JOB_VERSION
from selenium.webdriver import Chrome

from tests.browser.call.asking import asked, read
from tests.browser.call.records import Entry, Job, entry, new_job, random_logs

HOSTILE = (
    "<script>alert(1)</script>", "<img src=x onerror=alert(1)>", "javascript:alert(1)", "\u202etxt.exe", "${1+1}{{2}}",
    '"]}; alert(1); //', "\u200b\u0000\u001b[31m", "é ñ Ж 漢 😀",
)  # fmt: skip
EVERY_KIND = (
    entry("symptom", symptom="boiler-overfills", present=True),
    entry("symptom", symptom="low-water-shutdown", present=False),
    entry("who", rank="technician"),
    entry("equipment", feature="water-feed", value=None),
    entry("equipment", feature="water-feed", value="manual"),
    entry("safe", caution="never-fire-a-flooded-boiler"),
    entry("finding", test="supply-pressure", outcome="high", reading=71.5, unit="psi", noticed=True, note="drag hand"),
    entry(
        "finding",
        test="bypass-hold",
        outcome="rises",
        worked={
            "worksheet": "hold-reading",
            "by": "real",
            "inputs": {"change": "1.25 ± 0.0625 in", "time": "8 h"},
            "results": {"real": "1.25 ± 0.06 in"},
        },
    ),
    entry("cannot", step="cold-hold-all-shut", reason="no-access", note="valve painted over"),
    entry("repair", repair="bypass-left-open", checked=["it rose with the branch open"], note=""),
    entry("proved", repair="bypass-left-open", result="still-there"),
    entry("note", text="the janitor fills it by hand"),
    entry("taken-back", entry=3),
    entry("handed-on", to="a licensed boiler contractor"),
    entry("named", cause="bypass-seat-worn", repair="bypass-seat-worn", to="your technician"),
    entry("closed"),
)


def test_what_is_written_is_read_again(engine: Chrome, library: Library) -> None:
    logs = [list(EVERY_KIND), *random_logs(library, 40, 7)]
    here = asked(engine, "return library.fingerprint;")
    jobs = [new_job(log, here) for log in logs]
    jobs[0]["about"] = dict(zip(jobs[0]["about"], HOSTILE, strict=False))
    script = """
        return arguments[0].map((job) => {
          const text = call.writeJobFile(job);
          return [text, call.readJobFile(text, library)];
        });"""
    for job, (text, again) in zip(jobs, asked(engine, script, jobs), strict=True):
        assert json.loads(text) == job
        assert again == {"job": job, "changes": []}
        jsonschema.validate(json.loads(text), job_schema())


def changed(change: Callable[[Job], Any]) -> Job:
    job = new_job(copy.deepcopy(list(EVERY_KIND)))
    change(job)
    return job


def entry_of(job: Job, kind: str) -> Entry:
    return next(each for each in job["log"] if each["what"] == kind)


def work_of(job: Job) -> dict[str, Any]:
    """A worksheet that was worked, in the record."""
    found: dict[str, Any] = next(each["worked"] for each in job["log"] if "worked" in each)
    return found


REFUSED_THEN = """
try { run(); } catch (error) {
  if (error instanceof call.JobError) return [error.message, JSON.stringify(job) === before];
  throw error;
}"""
NOT_OURS = "This file is not a job record of this kind of site."
REFUSED: tuple[tuple[str, str], ...] = (
    ("", "This file is not a job record: it is not JSON."),
    ("{", "This file is not a job record: it is not JSON."),
    ("\x00\x01\x02", "This file is not a job record: it is not JSON."),
    ("[]", NOT_OURS),
    ("null", NOT_OURS),
    ('"text"', NOT_OURS),
    ('{"format": "other"}', NOT_OURS),
    ('{"__proto__": {"format": "faultleaf-job", "version": 1}}', NOT_OURS),
    ("[" * 100_000, "This file is not a job record: it is not JSON."),
    ("[" * 100_000 + "]" * 100_000, NOT_OURS),
    (" " * 2_000_001, "This file is too large to be a job record: over 2 MB."),
    ("漢" * 700_000, "This file is too large to be a job record: over 2 MB."),
)


@pytest.mark.parametrize(("text", "reason"), REFUSED, ids=range(len(REFUSED)))
def test_foreign_files_are_refused_with_a_reason(engine: Chrome, text: str, reason: str) -> None:
    assert read(engine, text) == {"refused": reason}


KIND = "Entry 17 of this record is of a kind that this page does not know."
FIELD = "Entry 17 of this record has a field that this page does not know."
TIME = "Entry 17 of this record has no time that can be read."
LATER = "Entry 17 of this record takes back what comes after it."
CHECKED = "Entry 10 of this record has no usable 'checked'."
NAMELESS = "Entry 1 of this record has no usable 'symptom'."
BROKEN: tuple[tuple[Callable[[Job], Any], str], ...] = (
    (lambda job: job.update(version=4), "This job record comes from a newer site; open it there."),
    (lambda job: job.update(version="1"), "This job record does not say its version."),
    (lambda job: job.update(id="../x"), "This job record has no usable id."),
    (lambda job: job.update(id="x" * 65), "This job record has no usable id."),
    (lambda job: job.update(opened="yesterday"), "This job record does not say when it was opened."),
    (lambda job: job.pop("library"), "This job record does not say which site it was made with."),
    (lambda job: job["library"].update(title=5), "This job record does not say which site it was made with."),
    (lambda job: job.update(about=[]), "This job record has no usable 'name'."),
    (lambda job: job["about"].update(address=None), "This job record has no usable 'address'."),
    (lambda job: job["about"].update(customer="x" * 4001), "This job record has no usable 'customer'."),
    (lambda job: job.update(log={}), "This job record has no log."),
    (lambda job: job.update(log=[entry("closed")] * 5001), "This job record is too long: over 5,000 entries."),
    (lambda job: job["log"].append(3), "Entry 17 of this record is not an entry."),
    (lambda job: job["log"].append({"at": entry("closed")["at"]}), KIND),
    (lambda job: job["log"].append(entry("constructor")), KIND),
    (lambda job: job["log"].append(entry("note", text="x", script="y")), FIELD),
    (lambda job: job["log"].append({**entry("closed"), "at": "2026-13-99T99:99:99Z"}), TIME),
    (lambda job: job["log"].append({"what": "closed"}), TIME),
    (lambda job: job["log"].append({**entry("closed"), "at": "2026-02-30T10:00:00Z"}), TIME),
    (lambda job: job["log"].append({**entry("closed"), "at": "2026-03-02T24:00:00Z"}), TIME),
    (lambda job: job["log"].append(entry("taken-back", entry=16)), LATER),
    (lambda job: job["log"].append(entry("taken-back", entry=-1)), "Entry 17 of this record has no usable 'entry'."),
    (lambda job: job["log"].append(entry("taken-back", entry=1.5)), "Entry 17 of this record has no usable 'entry'."),
    (lambda job: entry_of(job, "symptom").pop("present"), "Entry 1 of this record has no usable 'present'."),
    (lambda job: entry_of(job, "symptom").update(symptom="__proto__"), NAMELESS),
    (lambda job: entry_of(job, "who").update(rank=["technician"]), "Entry 3 of this record has no usable 'rank'."),
    (lambda job: entry_of(job, "finding").update(reading="71.5"), "Entry 7 of this record has no usable 'reading'."),
    (lambda job: entry_of(job, "finding").update(noticed="yes"), "Entry 7 of this record has no usable 'noticed'."),
    *(
        ((lambda job, change=change: change(work_of(job))), "Entry 8 of this record has no usable 'worked'.")
        for change in (
            lambda work: work.pop("by"), lambda work: work.update(by=3), lambda work: work.update(worksheet="../x"),
            lambda work: work.update(script="x"), lambda work: work.update(inputs=["8 h"]),
            lambda work: work["inputs"].update(time=8), lambda work: work["inputs"].update({"<b>": "8 h"}),
            lambda work: work["results"].update({f"r{place}": "1 in" for place in range(61)}),
            lambda work: work["results"].update(real="x" * 4001), lambda work: work.update(results=None),
        )
    ),
    (lambda job: entry_of(job, "cannot").update(reason="lazy"), "Entry 9 of this record has no usable 'reason'."),
    (lambda job: entry_of(job, "proved").update(result="maybe"), "Entry 11 of this record has no usable 'result'."),
    (lambda job: entry_of(job, "repair").update(checked="x"), CHECKED),
    (lambda job: entry_of(job, "repair").update(checked=["x"] * 21), CHECKED),
    (lambda job: entry_of(job, "repair").update(checked=[1]), CHECKED),
    (lambda job: entry_of(job, "note").update(text="x" * 4001), "Entry 12 of this record has no usable 'text'."),
)  # fmt: skip
BEYOND_A_SCHEMA = ("takes back what comes after it", "no time that can be read")
"""A schema's patterns know neither the place of an entry nor the calendar."""


@pytest.mark.parametrize(("change", "reason"), BROKEN, ids=range(len(BROKEN)))
def test_broken_records_are_refused_by_the_page_and_by_the_schema(
    engine: Chrome, change: Callable[[Job], Any], reason: str
) -> None:
    job = changed(change)
    assert read(engine, json.dumps(job)) == {"refused": reason}
    checker = jsonschema.Draft202012Validator(job_schema())
    assert not checker.is_valid(job) or any(words in reason for words in BEYOND_A_SCHEMA)


STRANGE: tuple[Any, ...] = (
    None, True, False, 0, -1, 2.5, 1e300, "", "x", "a-b.2", "A b", "constructor", "x" * 121, "x" * 4000, "x" * 4001,
    "😀" * 4000, "😀" * 4001, [], {}, ["x"], {"x": 1}, "still-there", "no-tool", entry("closed")["at"],
)  # fmt: skip


def mutated(seed: int) -> Job:
    """A whole record with one value replaced, left out or added, anywhere."""
    draw, job = random.Random(seed), new_job(copy.deepcopy(list(EVERY_KIND)))
    part = draw.choice([job, job["library"], job["about"], *job["log"], *job["log"]])
    name = draw.choice([*part, *part, "added"])
    if name == "added" and part not in job["log"]:
        name = next(iter(part))
    if draw.random() < 0.2:
        part.pop(name, None)
    else:
        part[name] = draw.choice(STRANGE)
    return job


def test_page_and_schema_take_and_refuse_the_same_records(engine: Chrome) -> None:
    """The schema is read by jsonschema, which knows nothing of the page."""
    checker, jobs = jsonschema.Draft202012Validator(job_schema()), [mutated(seed) for seed in range(1500)]
    script = """
        return arguments[0].map((text) => {
          try { call.readJobFile(text, library); return null; } catch (error) {
            if (error instanceof call.JobError) return error.message;
            throw error;
          }
        });"""
    found = asked(engine, script, [json.dumps(job) for job in jobs])
    taken = [reason is None for reason in found]
    assert 150 < sum(taken) < 1350
    for job, reason in zip(jobs, found, strict=True):
        alike = checker.is_valid(job) is (reason is None)
        assert alike or (reason and any(words in reason for words in BEYOND_A_SCHEMA)), (job, reason)


def test_a_file_is_the_same_bytes_in_whatever_order_the_page_filled_it(engine: Chrome) -> None:
    job = new_job(list(EVERY_KIND))
    turned = {name: job[name] for name in reversed(job)}
    turned["about"] = dict(reversed(job["about"].items()))
    turned["log"] = [dict(reversed(each.items())) for each in job["log"]]
    one, other = asked(engine, "return arguments[0].map(call.writeJobFile);", [job, turned])
    assert one == other


def test_what_could_not_be_read_again_does_not_enter_a_record(engine: Chrome) -> None:
    script = (
        """
        const [job, entry, about] = arguments;
        const run = () => (entry ? call.add(job, entry) : call.describe(job, about)), before = JSON.stringify(job);"""
        + REFUSED_THEN
    )
    job = new_job([])
    for wrong, reason in (
        (entry("note", text="x" * 4001), "Entry 1 of this record has no usable 'text'."),
        (
            entry("finding", test="supply-pressure", outcome="high", reading=None),
            "Entry 1 of this record has no usable 'reading'.",
        ),
        (entry("closed", extra=1), "Entry 1 of this record has a field that this page does not know."),
    ):
        assert asked(engine, script, job, wrong, None) == [reason, True]
    assert asked(engine, script, job, None, {"address": "x" * 4001}) == [
        "This job record has no usable 'address'.",
        True,
    ]
    assert asked(engine, script, job, None, {"nickname": "x"}) == ["This job record has no usable 'nickname'.", True]
    left = asked(
        engine,
        "return Object.keys(call.add(arguments[0], { ...arguments[1], note: undefined }).log[0]);",
        job,
        entry("repair", repair="x"),
    )
    assert left == ["at", "what", "repair"]


def test_the_schema_is_sound_and_takes_every_kind() -> None:
    jsonschema.Draft202012Validator.check_schema(job_schema())
    kinds = {each["properties"]["what"]["const"] for each in job_schema()["properties"]["log"]["items"]["oneOf"]}
    assert kinds == {each["what"] for each in EVERY_KIND}


def test_page_and_schema_know_the_same_kinds_and_fields(engine: Chrome) -> None:
    known = asked(engine, "return Object.entries(call.KINDS).map(([kind, fields]) => [kind, Object.keys(fields)]);")
    entries = job_schema()["properties"]["log"]["items"]["oneOf"]
    in_schema = {each["properties"]["what"]["const"]: set(each["properties"]) - {"at", "what"} for each in entries}
    assert {kind: set(fields) for kind, fields in known} == in_schema
    schema = job_schema()["properties"]
    versions = schema["version"]["enum"]
    assert asked(engine, "return [call.ABOUT, call.FORMAT, [call.OLDEST_VERSION, call.VERSION]];") == [
        schema["about"]["required"], schema["format"]["const"], [versions[0], versions[-1]],
    ]  # fmt: skip


OLD_FILE = Path(__file__).parent / "job-version-1.json"
"""A record as the first version wrote it: nothing proved before its repair, which dropped findings when it failed."""


@pytest.mark.parametrize("version", range(1, JOB_VERSION))
def test_a_file_of_an_older_version_is_read_and_keeps_every_finding(engine: Chrome, version: int) -> None:
    """Version 2 wrote the same entries as version 1, and more."""
    old = {**json.loads(OLD_FILE.read_text(encoding="utf-8")), "version": version}
    jsonschema.validate(old, job_schema())
    found = read(engine, json.dumps(old))
    assert found["job"] == {**old, "version": JOB_VERSION}
    assert found["changes"] == [
        "It was made with another state of the library: numbers may differ from what was shown then."
    ]
    script = """
        const state = call.stateOf(arguments[0], library);
        return [[...state.findings], call.leftOut(state), call.viewOf(arguments[0], library).phase];"""
    findings, left, phase = asked(engine, script, found["job"])
    assert (left, phase) == ([], "handed-on")
    assert [name for name, _ in findings] == [
        "gauge-glass-blowdown", "listen-at-shut-valves", "bypass-left-open", "cold-hold-all-shut",
    ]  # fmt: skip


def test_cards_that_were_renamed_are_followed_and_lost_ones_are_told(engine: Chrome) -> None:
    log = [
        entry("symptom", symptom="old-symptom", present=True),
        entry("finding", test="old-test", outcome="prompt"),
        entry("cannot", step="old-fault.2", reason="other"),
        entry("finding", test="lost-test", outcome="prompt"),
    ]
    script = """
        const formerly = {
          symptoms: { "old-symptom": "boiler-overfills" }, tests: { "old-test": "gauge-glass-blowdown" },
          faults: { "old-fault": "bypass-left-open" }, cautions: {},
        };
        const { job, changes } = call.readJobFile(arguments[0], { ...library, formerly });
        return [job.log, changes, call.leftOut(call.stateOf(job, library))];"""
    found, changes, left = asked(engine, script, json.dumps(new_job(log)))
    assert [found[0]["symptom"], found[1]["test"], found[2]["step"]] == [
        "boiler-overfills", "gauge-glass-blowdown", "bypass-left-open.2",
    ]  # fmt: skip
    assert changes == [
        "old-symptom is called boiler-overfills now.",
        "old-test is called gauge-glass-blowdown now.",
        "old-fault.2 is called bypass-left-open.2 now.",
        "This library has no card lost-test: what was said of it stays in the record and does not count.",
        "It was made with another state of the library: numbers may differ from what was shown then.",
    ]
    gone = "This library has no such card."
    assert left == [f"Entry 3 is left out. {gone}", f"Entry 4 is left out. {gone}"]


def test_the_name_of_a_file_holds_nothing_that_a_path_could_mean(engine: Chrome) -> None:
    job = new_job([])
    assert asked(engine, "return call.fileName(arguments[0]);", job) == "job-2026-03-02-job-1.json"
    job["about"]["customer"] = "../../Müller & Söhne: «cellar» \u202e"
    assert asked(engine, "return call.fileName(arguments[0]);", job) == "job-2026-03-02-Mu-ller-So-hne-cellar.json"
