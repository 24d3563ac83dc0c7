"""A problem file (plain JSON, already loaded) → a checked `Problem`; see DEVELOPERS.md for the format."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from faultleaf.diagnosis.problem import (
    UNLISTED,
    Conditions,
    Floats,
    Problem,
    ProblemError,
    Repair,
    Test,
    cycles,
    frozen_array,
    one_of,
)

SUM_TOLERANCE = 1e-9


def parse_problem(data: object) -> Problem:
    """The problem that a loaded problem file describes.

    Keys: `faults` [{id, weight}], `repairs` [{id, minutes, fixes, needs, never_when, restore}],
    `tests` [{id, minutes, outcomes, given, otherwise, needs, never_when}], `first`, `hand_on` {minutes},
    `stop`: "identified" where nothing is to be repaired and finding the fault ends the call.
    Raises ProblemError that lists every wrong entry by its name, all in one go.
    """
    reader = _Reader()
    root = reader.mapping(data, "problem")
    reader.only(root, "problem", ("faults", "repairs", "tests", "first", "hand_on", "stop"))
    faults, weights = _read_faults(reader, root)
    tests = tuple(_read_test(reader, entry, faults) for entry in reader.entries(root, "tests"))
    repairs = tuple(_read_repair(reader, entry, faults) for entry in reader.entries(root, "repairs"))
    first = tuple(str(name) for name in reader.sequence(root.get("first", []), "first"))
    hand_on = _read_hand_on(reader, root)
    identify = _read_stop(reader, root)
    problem = Problem(faults, weights, tests, repairs, first, hand_on, identify=identify)
    _check_names(reader, problem)
    if not reader.mistakes:
        _check_sense(reader, problem)
    if reader.mistakes:
        raise ProblemError(tuple(reader.mistakes))
    return problem


@dataclass
class _Reader:
    """Reads values out of loaded JSON and notes what is wrong instead of stopping."""

    mistakes: list[str] = field(default_factory=list)

    def note(self, where: str, what: str) -> None:
        self.mistakes.append(f"{where}: {what}")

    def mapping(self, value: object, where: str) -> Mapping[str, Any]:
        if isinstance(value, Mapping):
            return value
        self.note(where, "expected an object with named entries")
        return {}

    def sequence(self, value: object, where: str) -> Sequence[Any]:
        if isinstance(value, list | tuple):
            return value
        self.note(where, "expected a list")
        return ()

    def number(self, value: object, where: str, *, least: float = 0.0) -> float:
        ok = isinstance(value, int | float) and not isinstance(value, bool) and np.isfinite(value)
        if ok and float(value) >= least:  # type: ignore[arg-type]
            return float(value)  # type: ignore[arg-type]
        self.note(where, f"expected a number of at least {least:g}, found {value!r}")
        return least

    def only(self, entry: Mapping[str, Any], where: str, known: tuple[str, ...]) -> None:
        for key in entry:
            if key not in known:
                self.note(where, f"unknown entry {key!r}")

    def entries(self, root: Mapping[str, Any], key: str) -> list[Mapping[str, Any]]:
        items = self.sequence(root.get(key, []), key)
        return [self.mapping(item, f"{key}[{index}]") for index, item in enumerate(items)]

    def name(self, entry: Mapping[str, Any], kind: str) -> str:
        name = entry.get("id")
        if isinstance(name, str) and name:
            return name
        self.note(kind, f"an entry has no id: {dict(entry)!r}")
        return "?"

    def conditions(self, entry: Mapping[str, Any], key: str, where: str) -> Conditions:
        raw = self.mapping(entry.get(key, {}), f"{where}: {key}")
        return one_of({test: tuple(seen) if isinstance(seen, list) else str(seen) for test, seen in raw.items()})


def _read_faults(reader: _Reader, root: Mapping[str, Any]) -> tuple[tuple[str, ...], Floats]:
    names: list[str] = []
    weights: list[float] = []
    for entry in reader.entries(root, "faults"):
        name = reader.name(entry, "faults")
        reader.only(entry, f"fault {name}", ("id", "weight"))
        names.append(name)
        weights.append(reader.number(entry.get("weight"), f"fault {name}: weight"))
    if UNLISTED in names[:-1]:
        reader.note("fault unlisted", "must be the last of the faults")
    if sum(weights) <= 0:
        reader.note("faults", "the weights are all zero")
    return tuple(names), frozen_array(weights)


def _read_row(reader: _Reader, raw: object, where: str, size: int) -> Floats:
    """A probability row; the flat row stands in for one that is wrong, so that reading can go on."""
    values = [reader.number(value, where) for value in reader.sequence(raw, where)]
    if len(values) != size:
        reader.note(where, f"expected {size} probabilities, found {len(values)}")
    elif abs(sum(values) - 1) > SUM_TOLERANCE:
        reader.note(where, f"the probabilities add up to {sum(values):g}, not 1")
    else:
        return frozen_array(np.array(values) / sum(values))
    return frozen_array(np.full(size, 1 / max(size, 1)))


def _read_test(reader: _Reader, entry: Mapping[str, Any], faults: tuple[str, ...]) -> Test:
    name = reader.name(entry, "tests")
    where = f"test {name}"
    reader.only(entry, where, ("id", "minutes", "outcomes", "given", "otherwise", "needs", "never_when"))
    outcomes = tuple(str(word) for word in reader.sequence(entry.get("outcomes", []), f"{where}: outcomes"))
    size = len(outcomes)
    if size == 0 or len(set(outcomes)) < size:
        reader.note(f"{where}: outcomes", "expected outcomes with different names, at least one")
    otherwise = frozen_array(np.full(size, 1 / max(size, 1)))
    if "otherwise" in entry:
        otherwise = _read_row(reader, entry["otherwise"], f"{where}: otherwise", size)
    given = reader.mapping(entry.get("given", {}), f"{where}: given")
    for fault in given:
        if fault not in faults:
            reader.note(f"{where}: given", f"there is no fault {fault!r}")
    rows = [
        _read_row(reader, given[fault], f"{where}: given {fault}", size) if fault in given else otherwise
        for fault in faults
    ]
    return Test(
        name,
        reader.number(entry.get("minutes"), f"{where}: minutes"),
        outcomes,
        frozen_array(np.reshape(rows, (len(faults), size))),
        otherwise,
        reader.conditions(entry, "needs", where),
        reader.conditions(entry, "never_when", where),
    )


def _read_repair(reader: _Reader, entry: Mapping[str, Any], faults: tuple[str, ...]) -> Repair:
    name = reader.name(entry, "repairs")
    where = f"repair {name}"
    reader.only(entry, where, ("id", "minutes", "fixes", "needs", "never_when", "restore"))
    fixes = np.zeros(len(faults))
    named = reader.mapping(entry.get("fixes", {}), f"{where}: fixes")
    for fault, value in named.items():
        chance = reader.number(value, f"{where}: fixes {fault}")
        if fault not in faults:
            reader.note(f"{where}: fixes", f"there is no fault {fault!r}")
        elif chance > 1:
            reader.note(f"{where}: fixes {fault}", f"a probability lies between 0 and 1, this is {chance:g}")
        else:
            fixes[faults.index(fault)] = chance
    restore = reader.mapping(entry.get("restore", {}), f"{where}: restore")
    return Repair(
        name,
        next((str(fault) for fault in named), name),
        reader.number(entry.get("minutes"), f"{where}: minutes", least=1e-6),
        frozen_array(fixes),
        reader.conditions(entry, "needs", where),
        reader.conditions(entry, "never_when", where),
        {test: str(outcome) for test, outcome in restore.items()},
    )


def _read_hand_on(reader: _Reader, root: Mapping[str, Any]) -> float | None:
    if root.get("hand_on") is None:
        return None
    entry = reader.mapping(root["hand_on"], "hand_on")
    reader.only(entry, "hand_on", ("minutes",))
    return reader.number(entry.get("minutes"), "hand_on: minutes", least=1e-6)


def _read_stop(reader: _Reader, root: Mapping[str, Any]) -> bool:
    stop = root.get("stop", "repaired")
    if stop not in ("repaired", "identified"):
        reader.note("stop", f"expected 'repaired' or 'identified', found {stop!r}")
    return bool(stop == "identified")


def _check_names(reader: _Reader, problem: Problem) -> None:
    """Ids are unique, and every test and outcome that is named exists."""
    for kind, names in (
        ("fault", problem.faults),
        ("test", tuple(test.id for test in problem.tests)),
        ("repair", tuple(repair.id for repair in problem.repairs)),
    ):
        for name in sorted({name for name in names if names.count(name) > 1}):
            reader.note(f"{kind} {name}", "this id is used twice")
    known = {test.id: test.outcomes for test in problem.tests}
    for name in problem.first:
        if name not in known:
            reader.note("first", f"there is no test {name!r}")
    steps: list[tuple[str, Test | Repair]] = [(f"test {test.id}", test) for test in problem.tests]
    steps += [(f"repair {repair.id}", repair) for repair in problem.repairs]
    for where, step in steps:
        _check_conditions(reader, f"{where}: needs", step.needs, known)
        _check_conditions(reader, f"{where}: never_when", step.never_when, known)
        if isinstance(step, Repair):
            _check_conditions(reader, f"{where}: restore", one_of(step.restore), known)


def _check_conditions(
    reader: _Reader, where: str, conditions: Conditions, known: Mapping[str, tuple[str, ...]]
) -> None:
    for test, outcomes in conditions.items():
        if test not in known:
            reader.note(where, f"there is no test {test!r}")
        for outcome in sorted(outcomes - set(known.get(test, outcomes))):
            reader.note(where, f"test {test!r} has no outcome {outcome!r}")


def _check_sense(reader: _Reader, problem: Problem) -> None:
    """Needs can be met, and every fault ends in a cure or in handing on."""
    for trail in cycles({test.id: test.needs for test in problem.tests}):
        reader.note(f"test {trail[0]}: needs", f"goes round in a circle: {' → '.join(trail)}")
    _check_reachable(reader, problem)
    if problem.hand_on is None and not problem.identify:
        for index, fault in enumerate(problem.faults):
            fixable = any(repair.fixes[index] >= 1 for repair in problem.repairs)
            if problem.weights[index] > 0 and not fixable:
                reader.note(f"fault {fault}", "no repair fixes it for certain, and there is no hand_on")


def _check_reachable(reader: _Reader, problem: Problem) -> None:
    """A need that asks for an outcome which no fault in question ever shows can never be met."""
    alive = problem.weights > 0
    steps: list[tuple[str, Test | Repair]] = [(f"test {test.id}", test) for test in problem.tests]
    steps += [(f"repair {repair.id}", repair) for repair in problem.repairs]
    restored = {(test, seen) for repair in problem.repairs for test, seen in repair.restore.items()}
    for where, step in steps:
        for test_id, wanted in step.needs.items():
            test = problem.tests[problem.test_index[test_id]]
            seen = [
                outcome
                for column, outcome in enumerate(test.outcomes)
                if test.table[alive, column].any() or (test_id, outcome) in restored
            ]
            if not wanted & set(seen):
                reader.note(f"{where}: needs", f"nobody can meet {test_id} = {' or '.join(sorted(wanted))}")
            if wanted & step.never_when.get(test_id, frozenset()) == wanted:
                reader.note(f"{where}: needs", f"never_when forbids what it needs of {test_id}")
