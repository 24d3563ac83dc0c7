"""Random calls and problems that Python and the browser must answer alike."""

import random
from collections.abc import Iterator, Mapping
from dataclasses import asdict, dataclass
from typing import Any

from faultleaf.cards import Library
from faultleaf.cards.vocabulary import RANKS
from faultleaf.diagnosis import STILL_THERE, Problem, Repair, Test, compile_problem, not_cured, parse_problem

from tests.diagnosis.problems import exact, messy, rich, unsteady

MOST_FINDINGS = 6


@dataclass(frozen=True, eq=False)
class Case:
    """A problem with findings, and what the browser is given to come to the same: a call or a description."""

    name: str
    problem: Problem
    findings: Mapping[str, str]
    given: Mapping[str, Any]


def random_calls(library: Library, count: int, seed: int) -> Iterator[Case]:
    """Calls over the library: one or two symptoms, absent ones, equipment known or not, refusals, ranks; found
    are what a cause would show or senseless ones, answers about equipment, and failed repairs, in any order."""
    draw = random.Random(seed)
    for number in range(count):
        call = _call(library, draw)
        problem = compile_problem(
            library, call["symptoms"], equipment=call["equipment"], absent=call["absent"], cannot=call["cannot"],
            done=call["done"],
            who=call["who"],
        )  # fmt: skip
        findings = _findings(problem, draw)
        yield Case(f"call {number}", problem, findings, {"call": call, "findings": list(findings.items())})


def _call(library: Library, draw: random.Random) -> dict[str, Any]:
    symptoms = draw.sample(sorted(library.symptoms), draw.choice([1, 1, 2]))
    others = sorted(set(library.symptoms) - set(symptoms))
    known = draw.sample(sorted(library.equipment), draw.randint(0, len(library.equipment)))
    faults = [fault for name in symptoms for fault in library.candidates(name)]
    steps = {f"equipment.{name}" for name in library.equipment} | set(library.tests)
    steps |= {name for fault in faults for name, _ in fault.named_repairs}
    return {
        "symptoms": symptoms,
        "equipment": {name: draw.choice(sorted(library.equipment[name].values)) for name in known},
        "absent": draw.sample(others, draw.choice([0, 0, 1])) if others else [],
        "cannot": draw.sample(sorted(steps), draw.choice([0, 0, 1, 3])),
        "done": draw.sample([name for fault in faults for name, _ in fault.named_repairs], draw.choice([0, 0, 2])),
        "who": draw.choice([*RANKS, "licensed", "licensed", "licensed"]),
    }


def _findings(problem: Problem, draw: random.Random) -> dict[str, str]:
    fault = draw.choices(range(len(problem.faults)), problem.weights.tolist())[0]
    done: list[Test | Repair] = draw.sample(problem.tests, min(len(problem.tests), draw.randint(0, MOST_FINDINGS)))
    done += [problem.tests[problem.test_index[name]] for name in problem.first if draw.random() < 0.8]
    done += draw.sample(problem.repairs, min(len(problem.repairs), draw.choice([0, 0, 1, 2])))
    senseless = draw.random() < 0.3
    found: dict[str, str] = {}
    for step in draw.sample(done, len(done)):
        if isinstance(step, Test):
            found[step.id] = _seen(step, None if senseless else fault, draw)
        else:
            found = not_cured(problem, found, step.id) if draw.random() < 0.7 else {**found, step.id: STILL_THERE}
    return found


def _seen(test: Test, fault: int | None, draw: random.Random) -> str:
    weights = None if fault is None else test.table[fault].tolist()
    return draw.choices(test.outcomes, weights)[0]


def random_problems(count: int, seed: int) -> Iterator[Case]:
    """Problem files: with needs, never_when and repairs of several faults, with and without handing on; those whose
    repairs restore what others wait for or must not be done with; those with all the rest (`rich`); and noiseless
    ones, whose random findings no cause may explain."""
    for number in range(count):
        draw = random.Random(seed + number)
        data = KINDS[number % len(KINDS)](seed + number)
        problem = parse_problem(data)
        findings = _findings(problem, draw)
        given = {"problem": described(problem), "findings": list(findings.items())}
        yield Case(f"problem {number}", problem, findings, given)


def _noiseless(seed: int) -> dict[str, Any]:
    draw = random.Random(seed)
    count = draw.randint(2, 6)
    tests = [(draw.sample(range(count), draw.randint(1, count)), draw.choice([2, 5, 5, 9])) for _ in range(5)]
    weights, minutes = draw.choices([1.0, 2.0, 3.0], k=count), draw.choices([10.0, 20.0, 35.0], k=count)
    return exact(weights, minutes, tests, hand_on=draw.choice([None, 60.0]))


def _restoring(seed: int) -> dict[str, Any]:
    draw = random.Random(seed)
    data = messy(seed, faults=5)
    for repair in data["repairs"]:
        repair["restore"] = {draw.choice(["t0", "t1"]): "o0"}
        asked, seen = draw.choice(["t0", "t1"]), draw.choice(["o0", "o1"])
        repair["needs"] = {"t1": seen} if draw.random() < 0.3 else {}
        repair["never_when"] = {} if repair["needs"] or draw.random() < 0.4 else {asked: seen}
    return data


KINDS = (messy, rich, unsteady, rich, _noiseless, rich, _restoring)


def described(problem: Problem) -> dict[str, Any]:
    """The problem as the browser's `makeProblem` takes it."""
    return {
        "faults": problem.faults,
        "causes": problem.causes,
        "owed": problem.owed.tolist(),
        "stops": [asdict(stop) | {"allows": sorted(stop.allows)} for stop in problem.stops],
        "weights": problem.weights.tolist(),
        "tests": [_described_test(test) for test in problem.tests],
        "repairs": [_described_repair(repair) for repair in problem.repairs],
        "first": problem.first,
        "hand_on": problem.hand_on,
    }


def _described_test(test: Test) -> dict[str, Any]:
    return {
        "id": test.id, "minutes": test.minutes, "outcomes": test.outcomes, "otherwise": test.otherwise.tolist(),
        "rows": list(enumerate(test.table.tolist())), "offered": test.offered, "equipment": test.equipment,
        "way": test.way, "renews": [(own, list(new.items())) for own, new in test.renews.items()],
        "perishes_after": sorted(test.perishes_after), "together": sorted(test.together),
        "minutes_together": test.minutes_together, **_conditions(test),
    }  # fmt: skip


def _described_repair(repair: Repair) -> dict[str, Any]:
    return {
        "id": repair.id, "fault": repair.fault, "minutes": repair.minutes, "restore": list(repair.restore.items()),
        "failed_minutes": repair.failed_minutes, "by_other": repair.by_other,
        "fixes": list(enumerate(repair.fixes.tolist())), **_conditions(repair),
    }  # fmt: skip


def _conditions(step: Test | Repair) -> dict[str, Any]:
    kinds = (("needs", step.needs), ("never_when", step.never_when))
    return {name: [(test, sorted(wanted)) for test, wanted in what.items()] for name, what in kinds}
