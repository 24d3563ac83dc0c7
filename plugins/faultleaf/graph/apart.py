"""Which faults a test confirms, and which pairs no test tells apart (model, rule 15).

Both ask about every two faults that may lie behind one call. Sets of faults are whole numbers, bit n for the fault at
place n, so that one step of the machine deals with sixty of them; and at a test that a fault does not name, its row is
the test's `otherwise`, so that only the few faults that do name it have to be looked at one by one.
"""

import itertools
import math
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from functools import cached_property

import numpy as np

from faultleaf.cards import Fault, Library, Test, fault_rates, otherwise_rates

TOLD_APART = 0.3
"""Total variation between two faults' rows at one test from which it tells them apart (model, rule 15)."""
CONFIRMING = 5.0
"""Likelihood ratio of one outcome against the rest from which it confirms a fault (model, rule 15)."""
ROUNDING = 1e-9
"""Share by which a sum may miss for the order in which it was added up."""

Place = Mapping[str, tuple[str, ...]]
"""Equipment on which something can be: values allowed of each feature named."""
PlaceKey = tuple[tuple[str, tuple[str, ...]], ...]


def can_meet(one: Place, other: Place) -> bool:
    """Whether some system has the equipment of both."""
    return all(set(values) & set(other[feature]) for feature, values in one.items() if feature in other)


def usable_tests(library: Library, *faults: Fault) -> list[Test]:
    """The tests that equipment allows wherever all of these faults can exist."""
    return [test for test in library.tests.values() if all(can_meet(test.found_on, f.found_on) for f in faults)]


def total_variation(test: Test, one: Fault, other: Fault) -> float:
    """Half the summed difference of the two faults' rows at the test: 0 alike, 1 always told apart."""
    return _distance(fault_rates(test, one), fault_rates(test, other))


def unconfirmed(library: Library) -> Iterator[Fault]:
    """The faults with a symptom that no outcome of any test makes CONFIRMING times likelier than the rivals do."""
    faults = _Faults(library, tuple(library.faults.values()), library.tests.values())
    return (fault for place, fault in enumerate(faults.all) if fault.symptoms and not faults.is_confirmed(place))


def undistinguished(
    library: Library, faults: Iterable[Fault], tests: Collection[str] | None = None
) -> Iterator[tuple[Fault, Fault]]:
    """Pairs of these faults that may lie behind one call, want different repairs, and that no test tells
    apart (model, rule 15). `tests`: the ids of those that may be done, None for every test."""
    offered = [test for test in library.tests.values() if tests is None or test.id in tests]
    return _Faults(library, tuple(faults), offered).pairs_alike()


class _Faults:
    """Some faults, the tests that may be done, and what both questions need of them, each worked out once."""

    def __init__(self, library: Library, faults: tuple[Fault, ...], tests: Iterable[Test]) -> None:
        self.all = faults
        self.tests = {test.id: test for test in tests}
        self._library = library
        self._weights = np.array([fault.how_common for fault in faults])
        self._otherwise = {name: otherwise_rates(test) for name, test in self.tests.items()}
        self._rows: dict[tuple[str, int], dict[str, float]] = {}
        self._elsewhere: dict[str, int] = {}

    @cached_property
    def rivals(self) -> Sequence[int]:
        """For each fault the others that may lie behind the same call: a symptom in common, on a system for both."""
        there: dict[tuple[str, PlaceKey], int] = {}
        for place, fault in enumerate(self.all):
            for symptom in fault.symptoms:
                key = symptom, _key(fault.place(symptom))
                there[key] = there.get(key, 0) | 1 << place
        near: dict[tuple[str, PlaceKey], int] = dict.fromkeys(there, 0)
        for symptom, group in itertools.groupby(sorted(there), key=lambda key: key[0]):
            keys = [key for _, key in group]
            for one, other in itertools.product(keys, keys):
                if can_meet(dict(one), dict(other)):
                    near[symptom, one] |= there[symptom, other]
        masks = []
        for place, fault in enumerate(self.all):
            mask = 0
            for symptom in fault.symptoms:
                mask |= near[symptom, _key(fault.place(symptom))]
            masks.append(mask & ~(1 << place))
        return masks

    @cached_property
    def naming(self) -> Mapping[str, int]:
        """For each test the faults that name it."""
        masks = dict.fromkeys(self.tests, 0)
        for place, fault in enumerate(self.all):
            for name in fault.named_tests:
                if name in masks:
                    masks[name] |= 1 << place
        return masks

    def is_confirmed(self, place: int) -> bool:
        """Whether some outcome is CONFIRMING times likelier with this fault than on average over its rivals.

        Alone, its rival is the unlisted cause, which takes `otherwise`. Tests that it does not name come last: they
        confirm it only where its rivals are known for showing something else.
        """
        rivals = self.rivals[place]
        weight = self._weight(rivals)
        named = [name for name in self.all[place].named_tests if name in self.tests]
        others = (name for name, mask in self.naming.items() if mask & rivals and not mask >> place & 1)
        return any(
            self._confirms(name, place, rivals, weight)
            for name in itertools.chain(named, others)
            if can_meet(self.tests[name].found_on, self.all[place].found_on)
        )

    def pairs_alike(self) -> Iterator[tuple[Fault, Fault]]:
        """The pairs that `undistinguished` gives, in order.

        A test at which a fault stands far from `otherwise` tells it from every fault that does not name the test and
        on whose systems it can be done. What is left is looked at pair by pair.
        """
        for place, fault in enumerate(self.all):
            left = self.rivals[place] >> (place + 1) << (place + 1)
            for name in fault.named_tests:
                if left and name in self.tests and self._stands_out(name, place):
                    left &= self.naming[name] | self._out_of_reach(self.tests[name])
            for other in _places(left):
                if not (_same_repair(fault, self.all[other]) or self._are_apart(place, other)):
                    yield fault, self.all[other]

    def _confirms(self, name: str, place: int, rivals: int, weight: float) -> bool:
        own, plain = self._row(name, place), self._otherwise[name]
        if not rivals:
            return any(rate > 0 and rate >= CONFIRMING * plain[outcome] for outcome, rate in own.items())
        rest = {outcome: weight * rate for outcome, rate in plain.items()}
        for other in _places(self.naming[name] & rivals):
            row, common = self._row(name, other), self.all[other].how_common
            for outcome, rate in row.items():
                rest[outcome] += common * (rate - plain[outcome])
        enough = CONFIRMING * (1 - ROUNDING) / weight
        return any(rate > 0 and rate >= enough * (rest[outcome] - ROUNDING * weight) for outcome, rate in own.items())

    def _stands_out(self, name: str, place: int) -> bool:
        """Whether the test can be done on the fault's systems and shows it far from what is seen otherwise."""
        if not can_meet(self.tests[name].found_on, self.all[place].found_on):
            return False
        return _distance(self._row(name, place), self._otherwise[name]) > TOLD_APART

    def _are_apart(self, one: int, other: int) -> bool:
        both = self.all[one], self.all[other]
        named = dict.fromkeys([*both[0].named_tests, *both[1].named_tests])
        tests = [self.tests[name] for name in named if name in self.tests]
        usable = (test for test in tests if all(can_meet(test.found_on, fault.found_on) for fault in both))
        return any(_distance(self._row(test.id, one), self._row(test.id, other)) > TOLD_APART for test in usable)

    def _row(self, name: str, place: int) -> dict[str, float]:
        if (name, place) not in self._rows:
            self._rows[name, place] = fault_rates(self.tests[name], self.all[place])
        return self._rows[name, place]

    def _out_of_reach(self, test: Test) -> int:
        """The faults on whose systems the test cannot be done."""
        if test.id not in self._elsewhere:
            groups = self._by_equipment.items()
            apart = (mask for key, mask in groups if not can_meet(test.found_on, dict(key)))
            self._elsewhere[test.id] = sum(apart)
        return self._elsewhere[test.id]

    @cached_property
    def _by_equipment(self) -> Mapping[PlaceKey, int]:
        groups: dict[PlaceKey, int] = {}
        for place, fault in enumerate(self.all):
            key = _key(fault.found_on)
            groups[key] = groups.get(key, 0) | 1 << place
        return groups

    def _weight(self, mask: int) -> float:
        """The sum of `how_common` over these faults."""
        size = len(self.all)
        bits = np.unpackbits(np.frombuffer(mask.to_bytes(size // 8 + 1, "little"), np.uint8), bitorder="little")
        return float(self._weights @ bits[:size])


def _key(place: Place) -> PlaceKey:
    return tuple(sorted(place.items()))


def _places(mask: int) -> Iterator[int]:
    """The places of the bits of a set, rising."""
    while mask:
        lowest = mask & -mask
        yield lowest.bit_length() - 1
        mask ^= lowest


def _distance(one: Mapping[str, float], other: Mapping[str, float]) -> float:
    return math.fsum(abs(rate - other[outcome]) for outcome, rate in one.items()) / 2


def _same_repair(one: Fault, other: Fault) -> bool:
    """Whether telling them apart would change nothing: one repair mends both, or both are handed on."""
    if not one.all_repairs and not other.all_repairs:
        return True
    return any(other.id in r.also_fixes for r in one.all_repairs) or any(
        one.id in r.also_fixes for r in other.all_repairs
    )
