"""A problem file (plain JSON, already loaded) → a checked `Problem`; `parse_problem` says what stands in it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from faultleaf.cards.vocabulary import WAYS
from faultleaf.diagnosis.model.problem import (
    UNLISTED,
    Conditions,
    Floats,
    Problem,
    ProblemError,
    Repair,
    Stop,
    Test,
    cycles,
    frozen_array,
    one_of,
)

SUM_TOLERANCE = 1e-9
LONGEST_SHOWN = 40
LARGEST = 1e9
"""Two thousand years in minutes; sums of larger numbers lose the minutes that the plan is about."""


def parse_problem(data: object) -> Problem:
    """The problem that a loaded problem file describes.

    Keys (those with a "?" may be left out):

    - `faults` [{id, weight, cause?}]: one entry for each way in which a fault shows; `cause` is the fault that it
      belongs to, itself unless told. "unlisted" may be the last one.
    - `tests` [{id, minutes, outcomes, given?, otherwise?, needs?, never_when?, way?, renews?, perishes_after?,
      together?, minutes_together?}]: `given` maps a fault to its row, `otherwise` is the row of the others (flat
      unless told); `renews` maps an own outcome to {other test: what is then found there}; `perishes_after` are steps
      after which the test is worth nothing; it costs `minutes_together` where one of `together` is known.
    - `repairs` [{id, minutes, fixes?, failed_minutes?, by_other?, needs?, never_when?, restore?}]: `failed_minutes`
      are paid where it did not cure; one that is done `by_other` ends the call with its cause named.
    - `first`? test ids. `hand_on`? {minutes, owed?}: `owed` maps a fault to what it still costs somebody then.
    - `stops`? [{test, outcome, allows?, caution?, call?}]: after it only the steps it `allows` and handing on.
    - `stop`?: "identified" where nothing is to be repaired and finding the fault ends the call.

    Raises ProblemError that lists every wrong entry by its name, all in one go.
    """
    reader = _Reader()
    root = reader.mapping(data, "problem")
    reader.only(root, "problem", ("faults", "repairs", "tests", "first", "hand_on", "stops", "stop"))
    faults, weights, causes = _read_faults(reader, root)
    tests = tuple(_read_test(reader, entry, faults) for entry in reader.entries(root, "tests"))
    repairs = tuple(
        _read_repair(reader, entry, faults, dict(zip(faults, causes, strict=True)))
        for entry in reader.entries(root, "repairs")
    )
    first = tuple(str(name) for name in reader.sequence(root.get("first", []), "first"))
    hand_on, owed = _read_hand_on(reader, root, faults)
    stops = tuple(_read_caution(reader, entry) for entry in reader.entries(root, "stops"))
    identify = _read_stop(reader, root)
    problem = Problem(
        faults, weights, tests, repairs, first, hand_on, identify=identify, causes=causes, owed=owed, stops=stops
    )
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
        # Not a number compares with nothing; the comparison also holds for whole numbers that no float can hold.
        if isinstance(value, int | float) and not isinstance(value, bool) and least <= value <= LARGEST:
            return float(value)
        too_large = isinstance(value, int | float) and value > LARGEST
        limit = f"at most {LARGEST:g}" if too_large else f"at least {least:g}"
        self.note(where, f"expected a number of {limit}, found {repr(value)[:LONGEST_SHOWN]}")
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
        return one_of(
            {test: tuple(map(str, seen)) if isinstance(seen, list) else str(seen) for test, seen in raw.items()}
        )

    def names(self, entry: Mapping[str, Any], key: str, where: str) -> frozenset[str]:
        return frozenset(str(name) for name in self.sequence(entry.get(key, []), f"{where}: {key}"))

    def words(self, raw: object, where: str) -> dict[str, str]:
        return {key: str(value) for key, value in self.mapping(raw, where).items()}

    def truth(self, entry: Mapping[str, Any], key: str, where: str) -> bool:
        if not isinstance(entry.get(key, False), bool):
            self.note(f"{where}: {key}", f"expected true or false, found {entry[key]!r}")
        return entry.get(key) is True


def _read_faults(reader: _Reader, root: Mapping[str, Any]) -> tuple[tuple[str, ...], Floats, tuple[str, ...]]:
    names: list[str] = []
    weights: list[float] = []
    causes: list[str] = []
    for entry in reader.entries(root, "faults"):
        name = reader.name(entry, "faults")
        reader.only(entry, f"fault {name}", ("id", "weight", "cause"))
        names.append(name)
        causes.append(str(entry.get("cause", name)))
        weights.append(reader.number(entry.get("weight"), f"fault {name}: weight"))
    if UNLISTED in names[:-1]:
        reader.note("fault unlisted", "must be the last of the faults")
    if sum(weights) <= 0:
        reader.note("faults", "the weights are all zero")
    return tuple(names), frozen_array(weights), tuple(causes)


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


_TEST_KEYS = (
    "id", "minutes", "outcomes", "given", "otherwise", "needs", "never_when", "way", "renews", "perishes_after",
    "together", "minutes_together",
)  # fmt: skip
_REPAIR_KEYS = ("id", "minutes", "fixes", "failed_minutes", "by_other", "needs", "never_when", "restore")


def _read_test(reader: _Reader, entry: Mapping[str, Any], faults: tuple[str, ...]) -> Test:
    name = reader.name(entry, "tests")
    where = f"test {name}"
    reader.only(entry, where, _TEST_KEYS)
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
    if (way := entry.get("way", "look")) not in WAYS:
        reader.note(f"{where}: way", f"expected one of {', '.join(WAYS)}, found {way!r}")
    renews = reader.mapping(entry.get("renews", {}), f"{where}: renews")
    minutes = reader.number(entry.get("minutes"), f"{where}: minutes")
    return Test(
        name,
        minutes,
        outcomes,
        frozen_array(np.reshape(rows, (len(faults), size))),
        otherwise,
        reader.conditions(entry, "needs", where),
        reader.conditions(entry, "never_when", where),
        way=str(way),
        renews={own: reader.words(new, f"{where}: renews {own}") for own, new in renews.items()},
        perishes_after=reader.names(entry, "perishes_after", where),
        together=reader.names(entry, "together", where),
        minutes_together=reader.number(entry.get("minutes_together", minutes), f"{where}: minutes_together"),
    )


def _read_repair(
    reader: _Reader, entry: Mapping[str, Any], faults: tuple[str, ...], cause_of: Mapping[str, str]
) -> Repair:
    name = reader.name(entry, "repairs")
    where = f"repair {name}"
    reader.only(entry, where, _REPAIR_KEYS)
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
    minutes = reader.number(entry.get("minutes"), f"{where}: minutes", least=1e-6)
    return Repair(
        name,
        next((cause_of.get(str(fault), name) for fault in named), name),
        minutes,
        frozen_array(fixes),
        reader.conditions(entry, "needs", where),
        reader.conditions(entry, "never_when", where),
        reader.words(entry.get("restore", {}), f"{where}: restore"),
        failed_minutes=reader.number(entry.get("failed_minutes", minutes), f"{where}: failed_minutes", least=1e-6),
        by_other=reader.truth(entry, "by_other", where),
    )


def _read_hand_on(reader: _Reader, root: Mapping[str, Any], faults: tuple[str, ...]) -> tuple[float | None, Floats]:
    owed = np.zeros(len(faults))
    if root.get("hand_on") is None:
        return None, frozen_array(owed)
    entry = reader.mapping(root["hand_on"], "hand_on")
    reader.only(entry, "hand_on", ("minutes", "owed"))
    for fault, minutes in reader.mapping(entry.get("owed", {}), "hand_on: owed").items():
        if fault in faults:
            owed[faults.index(fault)] = reader.number(minutes, f"hand_on: owed {fault}")
        else:
            reader.note("hand_on: owed", f"there is no fault {fault!r}")
    return reader.number(entry.get("minutes"), "hand_on: minutes", least=1e-6), frozen_array(owed)


def _read_caution(reader: _Reader, entry: Mapping[str, Any]) -> Stop:
    test, outcome = str(entry.get("test")), str(entry.get("outcome"))
    where = f"stop {test} = {outcome}"
    reader.only(entry, where, ("test", "outcome", "allows", "caution", "call"))
    allows = reader.names(entry, "allows", where)
    return Stop(test, outcome, allows, str(entry.get("caution", "")), str(entry.get("call", "")))


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
        else:
            _check_renewing(reader, where, step, known)
    named = {step.id for _, step in steps}
    for stop in problem.stops:
        where = f"stop {stop.test} = {stop.outcome}"
        _check_conditions(reader, where, one_of({stop.test: stop.outcome}), known)
        _check_steps(reader, f"{where}: allows", stop.allows, named)
    for test in problem.tests:
        _check_steps(reader, f"test {test.id}: perishes_after", test.perishes_after, named)
        _check_steps(reader, f"test {test.id}: together", test.together, set(known))


def _check_renewing(reader: _Reader, where: str, test: Test, known: Mapping[str, tuple[str, ...]]) -> None:
    _check_conditions(reader, f"{where}: renews", one_of({test.id: tuple(test.renews)}), known)
    for own, new in test.renews.items():
        _check_conditions(reader, f"{where}: renews {own}", one_of(new), known)


def _check_steps(reader: _Reader, where: str, wanted: frozenset[str], steps: set[str]) -> None:
    for name in sorted(wanted - steps):
        reader.note(where, f"there is no step {name!r}")


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
    if problem.hand_on is None and problem.stops:
        reader.note("stops", "there is no hand_on, so that a call which is stopped could not end")
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
    restored |= {found for test in problem.tests for new in test.renews.values() for found in new.items()}
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
