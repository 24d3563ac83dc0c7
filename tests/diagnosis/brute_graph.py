"""The best plan graph of so many boxes by trying every graph; plain dicts and floats, for tiny problems."""

from collections.abc import Iterator
from itertools import permutations, product

from tests.diagnosis.brute import Known, Policy

Action = tuple[str, tuple[str, ...]]
Box = tuple[Action, tuple[int, ...]]
END = -1


class Graphs(Policy):
    """Every acyclic graph over a problem file: boxes from the last to the first, each leading to later ones."""

    def cheapest(self, boxes: int) -> float:
        """Expected minutes of the best graph with at most so many boxes, handing on counted as one.

        The problem must be one that can be handed on; runs are as long as they like. A test's box costs what the
        test costs by itself.
        """
        total = sum(self.weights)
        best: float = self.price(self.weights) / total if not self.first else float("inf")
        for graph, worth in self._graphs(boxes - 1, (), (self.ending,)):
            minutes = sum(w * v for w, v in zip(self.weights, worth[-1], strict=True)) / total
            if minutes < best - 1e-12 and self._sound(graph):
                best = minutes
        return best

    def _graphs(
        self, more: int, graph: tuple[Box, ...], worth: tuple[list[float], ...]
    ) -> Iterator[tuple[tuple[Box, ...], tuple[list[float], ...]]]:
        """Graphs that have these boxes at their end; `worth[0]` is handing on, `worth[i]` box i of `graph`."""
        if graph:
            yield graph, worth
        if more == 0:
            return
        for action in self._actions():
            exits = len(self.tests[action[1][0]]["outcomes"]) if action[0] == "test" else 1
            for targets in product(range(len(worth)), repeat=exits):
                value = self._worth(action, [worth[target] for target in targets])
                yield from self._graphs(more - 1, (*graph, (action, targets)), (*worth, value))

    def _actions(self) -> Iterator[Action]:
        yield from (("test", (name,)) for name in self.tests)
        for length in range(1, len(self.repairs) + 1):
            yield from (("repair", run) for run in permutations(self.repairs, length))

    def _worth(self, action: Action, ahead: list[list[float]]) -> list[float]:
        if action[0] == "test":
            test = self.tests[action[1][0]]
            return [
                test["minutes"] + sum(self.chance(test, fault, o) * ahead[o][f] for o in range(len(ahead)))
                for f, fault in enumerate(self.faults)
            ]
        value = ahead[0]
        for name in reversed(action[1]):
            repair = self.repairs[name]
            failed = repair.get("failed_minutes", repair["minutes"])
            cures = [repair["fixes"].get(fault, 0.0) for fault in self.faults]
            value = [c * repair["minutes"] + (1 - c) * (failed + value[f]) for f, c in enumerate(cures)]
        return value

    def _sound(self, graph: tuple[Box, ...]) -> bool:
        """True where every path, likely or not, takes only what it may take, and nothing twice."""
        return self._may_follow(graph, len(graph), {}, frozenset())

    def _may_follow(self, graph: tuple[Box, ...], place: int, known: Known, done: frozenset[str]) -> bool:
        due = self.due(known, done)
        if place == 0:
            return due is None
        (kind, steps), targets = graph[place - 1]
        if due is not None and steps[0] != due:
            return False
        if kind == "test":
            name = steps[0]
            if not self.may_test(name, known, done):
                return False
            return all(
                self._may_follow(graph, target, self.found(name, outcome, known), done)
                for outcome, target in zip(self.tests[name]["outcomes"], targets, strict=True)
            )
        for name in steps:
            if not self.may_repair(name, known, done):
                return False
            known, done = {**known, **self.repairs[name].get("restore", {})}, done | {name}
        return self._may_follow(graph, targets[0], known, done)
