"""Random records of jobs, and what Python makes of them: an own fold, written from the model's rules."""

import random
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from faultleaf.cards import Library
from faultleaf.cards.vocabulary import RANKS
from faultleaf.diagnosis import STILL_THERE, Belief, Problem, believe, compile_problem
from faultleaf.export.job_schema import JOB_VERSION

OPENED = "2026-03-02T08:00:00Z"
Entry = dict[str, Any]
Job = dict[str, Any]


def new_job(log: list[Entry], fingerprint: str = "0" * 16) -> Job:
    """A record with this log; nobody is named."""
    about = dict.fromkeys(("name", "address", "customer", "telephone", "technician", "licence"), "")
    return {
        "format": "faultleaf-job", "version": JOB_VERSION, "id": "job-1", "opened": OPENED,
        "library": {"title": "Faultleaf steam library", "fingerprint": fingerprint}, "about": about, "log": log,
    }  # fmt: skip


def entry(what: str, minute: int = 0, **fields: Any) -> Entry:
    """An entry so many minutes after the job was opened."""
    return {"at": f"2026-03-02T{8 + minute // 60 % 16:02}:{minute % 60:02}:00Z", "what": what, **fields}


def random_logs(library: Library, count: int, seed: int) -> Iterator[list[Entry]]:
    """Logs of calls as people work them: symptoms, what is fitted, findings, refusals, repairs that did not cure."""
    for number in range(count):
        yield _log(library, random.Random(seed + number))


def _log(library: Library, draw: random.Random) -> list[Entry]:
    symptoms = draw.sample(sorted(library.symptoms), draw.choice([1, 1, 2]))
    tests = draw.sample(sorted(library.tests), draw.randint(0, 6))
    features = draw.sample(sorted(library.equipment), draw.randint(0, 5))
    faults = [fault for name in symptoms for fault in library.candidates(name)]
    repairs = draw.sample(sorted({name for fault in faults for name, _ in fault.named_repairs}), draw.randint(0, 2))
    later = [entry("finding", test=name, outcome=draw.choice(list(library.tests[name].outcomes))) for name in tests]
    values = {name: draw.choice([None, *library.equipment[name].values]) for name in features}
    later += [entry("equipment", feature=name, value=value) for name, value in values.items()]
    later += [entry("cannot", step=draw.choice(sorted(library.tests)), reason="no-tool")] * draw.choice([0, 1])
    draw.shuffle(later)
    failed = ((entry("repair", repair=name), entry("proved", repair=name, result=STILL_THERE)) for name in repairs)
    done = [each for pair in failed for each in pair]
    place = draw.randint(0, len(later))
    start = [entry("symptom", symptom=name, present=True) for name in symptoms]
    return [*start, entry("who", rank=draw.choice(RANKS)), *later[:place], *done, *later[place:]]


@dataclass
class Folded:
    """Where Python's fold of a log stands; nobody has said who is there before he has."""

    who: str = RANKS[0]
    symptoms: list[str] = field(default_factory=list)
    equipment: dict[str, str] = field(default_factory=dict)
    unknown: set[str] = field(default_factory=set)
    cannot: set[str] = field(default_factory=set)
    findings: dict[str, str] = field(default_factory=dict)
    tried: set[str] = field(default_factory=set)


def folded(library: Library, log: list[Entry]) -> Folded:
    """The log read from its first entry to its last (no entry is taken back here)."""
    state = Folded()
    for each in log:
        match each["what"]:
            case "symptom":
                state.symptoms.append(each["symptom"])
            case "finding":
                state.findings.pop(each["test"], None)
                state.findings[each["test"]] = each["outcome"]
            case "who":
                state.who = each["rank"]
            case "equipment" if each["value"] is None:
                state.unknown.add(each["feature"])
            case "equipment":
                state.equipment[each["feature"]] = each["value"]
            case "cannot":
                state.cannot.add(each["step"])
            case "proved":
                found = library.find_repair(each["repair"])
                assert found is not None
                _, repair = found
                for test, seen in (*repair.restore.items(), (each["repair"], STILL_THERE)):
                    state.findings.pop(test, None)
                    state.findings[test] = seen
                state.tried.add(each["repair"])
    for name in {each["test"] for each in log if each["what"] == "finding"}:
        if ruled_out(library, name, state.equipment):
            state.findings.pop(name, None)
    return state


def ruled_out(library: Library, test: str, equipment: Mapping[str, str]) -> bool:
    """Whether what is fitted rules the test out."""
    places = library.tests[test].found_on.items()
    return any(equipment.get(feature, next(iter(allowed))) not in allowed for feature, allowed in places)


def belief_of(library: Library, log: list[Entry]) -> tuple[Problem, Belief]:
    """What Python's engine believes after this log."""
    state = folded(library, log)
    cannot = (state.cannot | {f"equipment.{name}" for name in state.unknown}) - state.tried
    problem = compile_problem(library, state.symptoms, equipment=state.equipment, cannot=sorted(cannot), who=state.who)
    known = {test.id for test in problem.tests} | {repair.id for repair in problem.repairs}
    return problem, believe(problem, {name: seen for name, seen in state.findings.items() if name in known})
