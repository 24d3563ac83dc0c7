"""What a path has found and done, as marks: whole numbers whose bits say it.

Whether a chart is sound is one question asked of every line of it: is there a path so far that carries
a mark which some step further on does not bear? The bits are

- *unknown test*: the test that some step's conditions look at was not done,
- *known test = outcome*: it was, and showed this,
- *done step*: the step was taken (or set by a repair), so that no path takes it twice,
- *due test*: this `first` test waits, so that nothing else may come before it,
- *never*: on every path; what can be taken after no path at all refuses it.

A box entered by several paths carries the marks of all of them (bitwise or): conditions speak of one
test each, so a step is allowed on every path exactly when no mark of any path is refused. Read
backwards, the marks that a box and all after it refuse say what may lead there, without looking at
the paths. That also keeps the graph free of circles: what comes before has done a step that comes
again.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from faultleaf.diagnosis.model.problem import Floats, Problem, Repair, Test, frozen_array
from faultleaf.diagnosis.model.state import start_state, way_to

Words = NDArray[np.uint64]

NEVER = 1
"""The mark on every path."""
_WORD = 64


@dataclass(frozen=True)
class Effect:
    """What one outcome of a step does to the marks of a path."""

    sets: int
    clears: int

    def after(self, marks: int) -> int:
        """The marks once the step showed this outcome."""
        return marks & ~self.clears | self.sets

    def before(self, refused: int) -> int:
        """The marks refused before the step when `refused` are refused after this outcome of it."""
        return NEVER if refused & self.sets else refused & ~self.clears


@dataclass(frozen=True, eq=False)
class Actions:
    """Every step that may ever be taken, tests before repairs and each by id (rule 13), as arrays.

    `chance[a, o, f]` is P(outcome o | fault f); a repair has the one outcome "still there", what is
    missing from 1 was cured. `spent[a, f]` are the minutes of the step by fault. `widths` are the outcomes
    of each, `refuses` the marks under which a step may not be taken, `effects` what each outcome does to
    them. `start` are the marks of an empty path, `due` those of `first` tests, `doings` all the done marks.
    """

    problem: Problem
    cards: tuple[Test | Repair, ...]
    tests: int
    chance: Floats
    spent: Floats
    widths: tuple[int, ...]
    refuses: tuple[int, ...]
    effects: tuple[tuple[Effect, ...], ...]
    start: int
    due: int
    doings: int
    words: int

    def packed(self, marks: Iterable[int]) -> Words:
        """Marks as rows of 64-bit words, (N, W)."""
        data = b"".join(mark.to_bytes(self.words * 8, "little") for mark in marks)
        return np.frombuffer(data, dtype="<u8").reshape(-1, self.words)

    @cached_property
    def refused_words(self) -> Words:
        """`refuses` as words, (A, W)."""
        return self.packed(self.refuses)

    @cached_property
    def set_words(self) -> Words:
        """What each outcome sets, (A, O, W); nothing where there is no such outcome."""
        return self._effect_words([[effect.sets for effect in row] for row in self.effects])

    @cached_property
    def kept_words(self) -> Words:
        """What each outcome does not clear, (A, O, W)."""
        return ~self._effect_words([[effect.clears for effect in row] for row in self.effects])

    @cached_property
    def doing_words(self) -> Words:
        """`doings` as words, (W,)."""
        words: Words = self.packed([self.doings])[0]
        return words

    @cached_property
    def happens(self) -> NDArray[np.bool_]:
        """(A, O): True where the step has such an outcome."""
        return np.arange(self.chance.shape[1]) < np.array(self.widths, dtype=np.int_).reshape(-1, 1)

    def _effect_words(self, rows: list[list[int]]) -> Words:
        width = self.chance.shape[1]
        flat = (mark for row in rows for mark in (*row, *[0] * (width - len(row))))
        return self.packed(flat).reshape(len(rows), width, self.words)


@dataclass(frozen=True)
class _Bits:
    """The number of every bit; tests that no condition looks at have no unknown and known bits."""

    done: dict[str, int]
    unknown: dict[str, int]
    known: dict[tuple[str, str], int]
    due: dict[str, int]
    count: int

    def refusing(self, problem: Problem, step: Test | Repair) -> int:
        """The marks under which the step may not be taken, `first` aside."""
        refused = 1 << self.done[step.id]
        for name in step.perishes_after if isinstance(step, Test) else ():
            refused |= 1 << self.done[name] if name in self.done else 0
        for test, outcomes in problem.stopping.items():
            stopping = frozenset(seen for seen, allowed in outcomes.items() if step.id not in allowed)
            refused |= self.outcomes(test, only=stopping)
        for test, wanted in step.needs.items():
            if test not in self.unknown:
                return NEVER
            refused |= 1 << self.unknown[test] | self.outcomes(test, without=wanted)
        for test, banned in step.never_when.items():
            refused |= self.outcomes(test, only=banned)
        return refused

    def outcomes(self, test: str, *, only: frozenset[str] | None = None, without: frozenset[str] = frozenset()) -> int:
        return sum(
            1 << bit
            for (name, seen), bit in self.known.items()
            if name == test and (only is None or seen in only) and seen not in without
        )

    def finding(self, test: str, seen: str) -> Effect:
        """Finding the test with this outcome, in whatever way."""
        sets = (1 << self.done[test] if test in self.done else 0) | (
            1 << self.known[test, seen] if test in self.unknown else 0
        )
        clears = (1 << self.unknown[test] | self.outcomes(test)) if test in self.unknown else 0
        return Effect(sets, clears & ~sets)


def actions_of(problem: Problem) -> Actions:
    """The steps of a problem with their marks. O(steps × conditions)."""
    cards = _cards(problem)
    bits = _bits(problem, cards)
    tests = sum(isinstance(card, Test) for card in cards)
    width = max((len(card.outcomes) for card in cards if isinstance(card, Test)), default=1)
    chance = np.zeros((len(cards), width, len(problem.faults)))
    for place, card in enumerate(cards):
        table = card.table.T if isinstance(card, Test) else 1 - card.fixes[None]
        chance[place, : len(table)] = table
    due = sum(1 << bit for bit in bits.due.values())
    start = NEVER | due | sum(1 << bit for bit in bits.unknown.values())
    return Actions(
        problem,
        cards,
        tests,
        frozen_array(chance),
        frozen_array([spent_on(problem, card) for card in cards]).reshape(len(cards), len(problem.faults)),
        tuple(len(card.outcomes) if isinstance(card, Test) else 1 for card in cards),
        tuple(bits.refusing(problem, card) | _not_before(problem, bits, card) for card in cards),
        tuple(tuple(_effects(problem, bits, card)) for card in cards),
        start,
        due,
        sum(1 << bit for bit in bits.done.values()),
        -(-bits.count // _WORD),
    )


def spent_on(problem: Problem, card: Test | Repair) -> Floats:
    """(F,): minutes of the step by fault; a test by itself, without one that waits at the same time."""
    if isinstance(card, Repair):
        spent: Floats = problem.repair_spent[problem.repair_index[card.id]]
        return spent
    return np.full(len(problem.faults), card.minutes)


def _cards(problem: Problem) -> tuple[Test | Repair, ...]:
    tests = sorted((test for test in problem.tests if test.offered), key=lambda test: test.id)
    return (*tests, *sorted(problem.repairs, key=lambda repair: repair.id))


def _bits(problem: Problem, cards: tuple[Test | Repair, ...]) -> _Bits:
    looked_at = {test for card in cards for test in (*card.needs, *card.never_when)} | problem.stopping.keys()
    tests = [test for test in problem.tests if test.id in looked_at]
    state = start_state(problem)
    due = [name for name in problem.first if way_to(problem, state, problem.tests[problem.test_index[name]])]
    numbers = iter(range(1, 1 << 20))
    return _Bits(
        {card.id: next(numbers) for card in cards},
        {test.id: next(numbers) for test in tests},
        {(test.id, outcome): next(numbers) for test in tests for outcome in test.outcomes},
        {name: next(numbers) for name in due},
        next(numbers),
    )


def _not_before(problem: Problem, bits: _Bits, card: Test | Repair) -> int:
    """The due marks that must be gone before the step: those of `first` tests that come before it."""
    refused = 0
    for name in bits.due:
        if isinstance(card, Test) and card.id in _on_the_way(problem, name):
            return refused
        refused |= 1 << bits.due[name]
    return refused


def _on_the_way(problem: Problem, name: str) -> set[str]:
    """The test and all that it waits for."""
    found, waiting = set[str](), [name]
    while waiting:
        test = waiting.pop()
        if test not in found and test in problem.test_index:
            found.add(test)
            waiting.extend(problem.tests[problem.test_index[test]].needs)
    return found


def _effects(problem: Problem, bits: _Bits, card: Test | Repair) -> Iterable[Effect]:
    if isinstance(card, Test):
        for outcome in card.outcomes:
            found = bits.finding(card.id, outcome)
            lost = _no_longer_due(problem, bits, card.id, outcome)
            yield _setting(bits, Effect(found.sets, found.clears | lost), card.renews.get(outcome, {}))
    else:
        yield _setting(bits, Effect(1 << bits.done[card.id], 0), card.restore)


def _setting(bits: _Bits, own: Effect, new: Mapping[str, str]) -> Effect:
    """An effect with these findings set anew as well."""
    sets, clears = own.sets, own.clears
    for test, seen in sorted(new.items()):
        found = bits.finding(test, seen)
        sets, clears = sets & ~found.clears | found.sets, clears & ~found.sets | found.clears
    return Effect(sets, clears)


def _no_longer_due(problem: Problem, bits: _Bits, test: str, outcome: str) -> int:
    """The due marks that a finding ends: of the test itself, and of those that it makes impossible."""
    lost = 0
    for name, bit in bits.due.items():
        way = (problem.tests[problem.test_index[wait]] for wait in _on_the_way(problem, name))
        if name == test or any(_ruled_out(problem, step, test, outcome) for step in way):
            lost |= 1 << bit
    return lost


def _ruled_out(problem: Problem, step: Test, test: str, outcome: str) -> bool:
    wanted = step.needs.get(test)
    if step.id not in problem.stopping.get(test, {}).get(outcome, frozenset([step.id])):
        return True
    return (wanted is not None and outcome not in wanted) or outcome in step.never_when.get(test, frozenset[str]())
