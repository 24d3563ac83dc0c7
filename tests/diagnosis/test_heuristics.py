"""Rules of thumb: against plain recursion and against the optimum on tiny problems."""

from math import log2
from typing import Any

import pytest
from faultleaf.diagnosis import parse_problem
from faultleaf.diagnosis.worth.heuristics import gain_per_cost, in_card_order, minutes_of, one_step, repairs_alone

from tests.diagnosis.brute import Known, Policy
from tests.diagnosis.problems import answer, exact, messy

EVERY_STATE = 0.0
RULES = {
    "in card order": in_card_order,
    "repairs alone": repairs_alone,
    "gain per cost": gain_per_cost,
    "one step": one_step,
}
SEEDS = [seed for seed in range(60) if "needs" not in str(messy(seed)["repairs"])]
"""Problems in which no repair waits for a test, so that their best run is found by its ratio alone."""


class ByRule(Policy):
    """The same rules once more, in plain Python on the problem file (dicts), without cuts."""

    def __init__(self, data: dict[str, Any], rule: str) -> None:
        super().__init__(data)
        self.rule = rule

    def mean(self) -> float:
        return self.go_on(self.weights, {}) / sum(self.weights)

    def go_on(self, weights: list[float], known: Known) -> float:
        if sum(weights) <= 0:
            return 0.0
        name = self.due(known, frozenset()) or self._chosen(weights, known)
        if name is None:
            return self.run(weights, known)
        ways = [(self._after(name, place, weights), outcome) for place, outcome in enumerate(self._outcomes(name))]
        after = sum(self.go_on(left, {**known, name: outcome}) for left, outcome in ways)
        cost: float = self.tests[name]["minutes"] * sum(weights) + after
        return cost

    def run(self, weights: list[float], known: Known) -> float:
        """Repairs by probability over minutes, brought up to date, cut where handing on is cheapest."""
        best, spent, left, tried = self.price(weights), 0.0, weights, set[str]()
        while True:
            ratios = {
                name: (sum(left) - sum(self._not_cured(repair, left))) / repair["minutes"]
                for name, repair in self.repairs.items()
                if self.may_repair(name, known, frozenset(tried))
            }
            if not ratios or max(ratios.values()) <= 0:
                return best
            name = max(ratios, key=lambda each: ratios[each])
            tried.add(name)
            known = {**known, **self.repairs[name].get("restore", {})}
            spent += self.repairs[name]["minutes"] * sum(left)
            left = self._not_cured(self.repairs[name], left)
            best = min(best, spent + self.price(left))

    def _chosen(self, weights: list[float], known: Known) -> str | None:
        able = [name for name in self.tests if self.may_test(name, known, frozenset())]
        sure = max(weights) >= 0.9 * sum(weights)
        if self.rule == "repairs alone" or not able:
            return None
        if self.rule == "one step":
            costs = {name: self._one_step(name, weights, known) for name in able}
            best = min(able, key=lambda name: costs[name])
            return best if costs[best] < self.run(weights, known) else None
        if sure:
            return None
        if self.rule == "in card order":
            return next((name for name in able if self._tells(name, weights)), None)
        told = {name: self._told(name, weights) for name in able}
        best = max(able, key=lambda name: told[name] / self.tests[name]["minutes"])
        return best if told[best] > 1e-9 * sum(weights) else None

    def _one_step(self, name: str, weights: list[float], known: Known) -> float:
        ways = [(self._after(name, place, weights), outcome) for place, outcome in enumerate(self._outcomes(name))]
        after = sum(self.run(left, {**known, name: outcome}) for left, outcome in ways)
        cost: float = self.tests[name]["minutes"] * sum(weights) + after
        return cost

    def _told(self, name: str, weights: list[float]) -> float:
        after = (bits(self._after(name, place, weights)) for place, _ in enumerate(self._outcomes(name)))
        return bits(weights) - sum(after)

    def _tells(self, name: str, weights: list[float]) -> bool:
        rows = {tuple(self._row(name, fault)) for fault, weight in zip(self.faults, weights, strict=True) if weight > 0}
        return len(rows) > 1

    def _row(self, name: str, fault: str) -> list[float]:
        return [self.chance(self.tests[name], fault, place) for place, _ in enumerate(self._outcomes(name))]

    def _outcomes(self, name: str) -> list[str]:
        outcomes: list[str] = self.tests[name]["outcomes"]
        return outcomes

    def _after(self, name: str, place: int, weights: list[float]) -> list[float]:
        return [w * self.chance(self.tests[name], f, place) for f, w in zip(self.faults, weights, strict=True)]

    def _not_cured(self, repair: dict[str, Any], weights: list[float]) -> list[float]:
        return [w * (1 - repair["fixes"].get(f, 0.0)) for f, w in zip(self.faults, weights, strict=True)]


def bits(weights: list[float]) -> float:
    total = sum(weights)
    return sum(weight * log2(total / weight) for weight in weights if weight > 0)


@pytest.mark.parametrize("rule", RULES)
def test_minutes_are_those_of_plain_recursion(rule: str) -> None:
    # needs, never_when, first, imperfect repairs of several faults, an unlisted cause, hand-on, restore.
    assert len(SEEDS) > 20
    for seed in SEEDS:
        data = messy(seed)
        found = minutes_of(parse_problem(data), RULES[rule], EVERY_STATE)
        assert found == pytest.approx(ByRule(data, rule).mean(), rel=1e-9), seed


def test_no_rule_beats_the_optimum() -> None:
    over: dict[str, list[float]] = {rule: [] for rule in RULES}
    for seed in SEEDS[:16]:
        optimum = Policy(messy(seed)).optimum()
        for name, rule in RULES.items():
            over[name].append(minutes_of(parse_problem(messy(seed)), rule, EVERY_STATE) / optimum - 1)
    for name, shares in over.items():
        assert min(shares) >= -1e-9, name
        assert max(shares) > 0.001, name  # and each of them falls short somewhere


def test_cut_ends_testing_where_hardly_anybody_comes() -> None:
    # Where a share below the limit comes to, the best run of repairs goes on; at 1 nobody is tested.
    for seed in SEEDS:
        data = {**messy(seed), "first": []}
        problem = parse_problem(data)
        assert minutes_of(problem, in_card_order, 1.0) == pytest.approx(minutes_of(problem, repairs_alone), rel=1e-12)


def test_what_comes_first_is_done_however_few_calls_come() -> None:
    data = {**messy(1), "first": ["t0"]}
    plain = ByRule(data, "repairs alone").mean()
    assert minutes_of(parse_problem(data), in_card_order, 1.0) == pytest.approx(plain, rel=1e-9)


def test_one_step_never_tests_where_two_tests_pay_only_together() -> None:
    # MYOPIC-FAIL (tests/cases/diagnosis.json): repairs alone 204/13, the optimum 186/13. (Its one step, 201/13,
    # looks for tests again after every repair; this rule goes on with repairs.)
    data = exact((2, 5, 5, 1), (30, 4, 5, 22), [({3}, 4), ({1}, 4)])
    assert minutes_of(parse_problem(data), one_step) == pytest.approx(204 / 13)
    assert minutes_of(parse_problem(data), repairs_alone) == pytest.approx(204 / 13)


def test_repairs_alone_go_by_probability_over_minutes() -> None:
    # PC3: Heckerman et al. 1995; Kalagnanam and Henrion 1988.
    problem = parse_problem(exact((0.5, 0.3, 0.2), (10, 2, 5), [({0}, 1)]))
    assert minutes_of(problem, repairs_alone) == pytest.approx(answer("PC3")["ecr"])
