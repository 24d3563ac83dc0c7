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
    """The optimum of a problem file (plain dicts) by exhaustive recursion; V(b) of the model, rule 11.

    Straight from the rules: conditions, stops, findings set anew, what perishes, what is owed, tests that wait
    together, repairs that show sooner that they failed, that are others' work, or that mend an instrument alone.
    """

    named_at_least = 0.5
    """A repair by others is done only where it cures with this chance (rule 8)."""

    def __init__(self, data: dict[str, Any]) -> None:
        self.faults = [fault["id"] for fault in data["faults"]]
        self.tests = {test["id"]: test for test in data["tests"]}
        self.repairs = {repair["id"]: repair for repair in data["repairs"]}
        self.first = data.get("first", [])
        self.stops = data.get("stops", [])
        self.weights: list[float] = [fault["weight"] for fault in data["faults"]]
        price = data["hand_on"]["minutes"] if "hand_on" in data else float("inf")
        owed = data.get("hand_on", {}).get("owed", {})
        self.ending: list[float] = [price + owed.get(fault, 0.0) for fault in self.faults]
        self._values: dict[object, float] = {}

    def optimum(self) -> float:
        """Expected minutes of the best policy."""
        return self.value(self.weights, {}, frozenset()) / sum(self.weights)

    def value(self, weights: list[float], known: Known, tried: frozenset[str]) -> float:
        """Minutes × weight of the best policy from here."""
        if sum(weights) <= 1e-12:
            return 0.0
        key = (tuple(round(weight, 13) for weight in weights), frozenset(known.items()), tried)
        if key not in self._values:
            self._values[key] = min(self.steps(weights, known, tried).values(), default=float("inf"))
        return self._values[key]

    def steps(self, weights: list[float], known: Known, tried: frozenset[str]) -> dict[str, float]:
        """Minutes × weight of every step that may be taken here, the best policy after it."""
        due = self.due(known, tried)
        if due is not None:
            return {due: self.test(due, weights, known, tried)}
        found = {"hand-on": self.price(weights)} if self.ending[0] < float("inf") else {}
        for name in self.tests:
            if self.may_test(name, known, tried):
                found[name] = self.test(name, weights, known, tried)
        for name in self.repairs:
            if self.may_repair(name, known, tried) and self.worth_doing(name, weights):
                found[name] = self.repair(name, weights, known, tried)
        return found

    def price(self, weights: list[float]) -> float:
        """Minutes × weight of handing on, with what is owed then."""
        return sum(weight * minutes for weight, minutes in zip(weights, self.ending, strict=True) if weight)

    def test(self, name: str, weights: list[float], known: Known, tried: frozenset[str]) -> float:
        test = self.tests[name]
        cost = self.minutes(name, known) * sum(weights)
        for place, outcome in enumerate(test["outcomes"]):
            after = [w * self.chance(test, f, place) for f, w in zip(self.faults, weights, strict=True)]
            cost += self.value(after, self.found(name, outcome, known), tried)
        return cost

    def repair(self, name: str, weights: list[float], known: Known, tried: frozenset[str]) -> float:
        repair = self.repairs[name]
        cures = [repair["fixes"].get(fault, 0.0) for fault in self.faults]
        failed = repair.get("failed_minutes", repair["minutes"])
        cost: float = sum(w * (c * repair["minutes"] + (1 - c) * failed) for w, c in zip(weights, cures, strict=True))
        after = [w * (1 - c) for w, c in zip(weights, cures, strict=True)]
        return cost + self.value(after, {**known, **repair.get("restore", {})}, tried | {name})

    def minutes(self, name: str, known: Known) -> float:
        """What a test costs: less where one that waits at the same time was done."""
        test = self.tests[name]
        shared = any(other in known for other in test.get("together", ()))
        return float(test["minutes_together"] if shared else test["minutes"])

    def found(self, name: str, outcome: str, known: Known) -> Known:
        """What is known after a test: its own finding, and those of others that it sets anew."""
        return {**known, name: outcome, **self.tests[name].get("renews", {}).get(outcome, {})}

    def chance(self, test: dict[str, Any], fault: str, place: int) -> float:
        """P(outcome | fault): given, else otherwise, else flat."""
        flat = [1 / len(test["outcomes"])] * len(test["outcomes"])
        return float(test["given"].get(fault, test.get("otherwise", flat))[place])

    def worth_doing(self, name: str, weights: list[float]) -> bool:
        """Whether a repair may cure, likely enough where others do it, or mends an instrument and no fault at all."""
        repair = self.repairs[name]
        cured = sum(w * repair["fixes"].get(fault, 0.0) for fault, w in zip(self.faults, weights, strict=True))
        if repair.get("by_other") and cured < self.named_at_least * sum(weights):
            return False
        return cured > 0 or bool(repair.get("restore") and not any(repair["fixes"].values()))

    def may_test(self, name: str, known: Known, tried: frozenset[str]) -> bool:
        return name not in known and not self.lost(name, known, tried) and self._met(self.tests[name], known)

    def may_repair(self, name: str, known: Known, tried: frozenset[str]) -> bool:
        return name not in tried and self._met(self.repairs[name], known) and not self.banned(name, known)

    def due(self, known: Known, tried: frozenset[str]) -> str | None:
        """The test to do now towards the `first` ones that are not done and can be."""
        for name in self.first:
            if name not in known and (way := self._towards(name, known, tried)) is not None:
                return way
        return None

    def _towards(self, name: str, known: Known, tried: frozenset[str]) -> str | None:
        if self.lost(name, known, tried):
            return None
        missing = [test for test in sorted(self.tests[name].get("needs", {})) if test not in known]
        return self._towards(missing[0], known, tried) if missing else name

    def lost(self, name: str, known: Known, tried: frozenset[str]) -> bool:
        """Whether a test can no longer be done, or would be worth nothing."""
        test = self.tests[name]
        wrong = any(test_ in known and known[test_] != seen for test_, seen in test.get("needs", {}).items())
        gone = any(step in known or step in tried for step in test.get("perishes_after", ()))
        return wrong or gone or self.banned(name, known)

    def banned(self, name: str, known: Known) -> bool:
        """Whether a finding forbids the step, or stops everything but others."""
        step = self.tests.get(name) or self.repairs[name]
        if any(known.get(test) == seen for test, seen in step.get("never_when", {}).items()):
            return True
        active = [stop for stop in self.stops if known.get(stop["test"]) == stop["outcome"]]
        return any(name not in stop.get("allows", ()) for stop in active)

    def _met(self, step: dict[str, Any], known: Known) -> bool:
        return all(known.get(test) == seen for test, seen in step.get("needs", {}).items())
