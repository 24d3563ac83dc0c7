"""Slow, obvious references in plain Python: all orders of repairs, and the best policy by recursion."""

from collections.abc import Sequence
from itertools import permutations
from typing import Any

Known = dict[str, str]


def best_order(weights: Sequence[float], minutes: Sequence[float], hand_on: float | None) -> float:
    """Expected minutes of the best order of certain repairs with the best cut, over all of them."""
    total = sum(weights)
    best = float("inf")
    for order in permutations(range(len(weights))):
        left, spent = total, 0.0
        if hand_on is not None:
            best = min(best, hand_on)
        for index in order:
            spent += minutes[index] * left
            left -= weights[index]
            if hand_on is not None:
                best = min(best, (spent + hand_on * left) / total)
        if hand_on is None:
            best = min(best, spent / total)
    return best


class Policy:
    """The optimum of a problem file (plain dicts) by exhaustive recursion; V(b) of the model, rule 11."""

    def __init__(self, data: dict[str, Any]) -> None:
        self.faults = [fault["id"] for fault in data["faults"]]
        self.tests = {test["id"]: test for test in data["tests"]}
        self.repairs = {repair["id"]: repair for repair in data["repairs"]}
        self.first = data.get("first", [])
        self.hand_on: float = data["hand_on"]["minutes"] if "hand_on" in data else float("inf")
        self.weights: list[float] = [fault["weight"] for fault in data["faults"]]

    def optimum(self) -> float:
        """Expected minutes of the best policy."""
        return self.value(self.weights, {}, frozenset()) / sum(self.weights)

    def value(self, weights: list[float], known: Known, tried: frozenset[str]) -> float:
        total = sum(weights)
        if total <= 1e-12:
            return 0.0
        for name in self.first:
            if name not in known and not self._lost(self.tests[name], known):
                return self._test(self._towards(name, known), weights, known, tried)
        best: float = self.hand_on * total
        for name, test in self.tests.items():
            if name not in known and self._allowed(test, known):
                best = min(best, self._test(name, weights, known, tried))
        for name, repair in self.repairs.items():
            if name in tried or not self._allowed(repair, known):
                continue
            after = [w * (1 - repair["fixes"].get(f, 0.0)) for f, w in zip(self.faults, weights, strict=True)]
            if sum(after) >= total:
                continue
            rest = self.value(after, {**known, **repair.get("restore", {})}, tried | {name})
            best = min(best, repair["minutes"] * total + rest)
        return best

    def _test(self, name: str, weights: list[float], known: Known, tried: frozenset[str]) -> float:
        test = self.tests[name]
        cost: float = test["minutes"] * sum(weights)
        for place, outcome in enumerate(test["outcomes"]):
            after = [w * self.chance(test, f, place) for f, w in zip(self.faults, weights, strict=True)]
            cost += self.value(after, {**known, name: outcome}, tried)
        return cost

    def chance(self, test: dict[str, Any], fault: str, place: int) -> float:
        """P(outcome | fault): given, else otherwise, else flat."""
        flat = [1 / len(test["outcomes"])] * len(test["outcomes"])
        return float(test["given"].get(fault, test.get("otherwise", flat))[place])

    def _towards(self, name: str, known: Known) -> str:
        missing = [test for test in self.tests[name].get("needs", {}) if test not in known]
        return self._towards(missing[0], known) if missing else name

    def _allowed(self, step: dict[str, Any], known: Known) -> bool:
        met = all(known.get(test) == seen for test, seen in step.get("needs", {}).items())
        return met and not self._banned(step, known)

    def _banned(self, step: dict[str, Any], known: Known) -> bool:
        return any(known.get(test) == seen for test, seen in step.get("never_when", {}).items())

    def _lost(self, step: dict[str, Any], known: Known) -> bool:
        wrong = any(known.get(test, seen) != seen for test, seen in step.get("needs", {}).items())
        return wrong or self._banned(step, known)
