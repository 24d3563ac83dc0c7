"""How much the first step depends on the numbers of the cards: it is worked out again from shaken numbers.

Every number is multiplied by 2^u, u uniform in [−1, 1], so that it is wrong by a factor of at most two
either way: weights, minutes, the odds p/(1−p) of every probability (rows are brought to a sum of 1 again; 0
and 1 stay what they are). What is seen of a test when the fault lies elsewhere is one number on its card, so
that it is shaken once for all faults that take it.
"""

import random
from dataclasses import dataclass, replace

import numpy as np

from faultleaf.diagnosis.model.problem import Floats, Problem, Repair, Test, frozen_array
from faultleaf.diagnosis.step.belief import believe
from faultleaf.diagnosis.step.rank import next_step, rank_steps

SEED = 20261125
CLOSE = 0.02
"""A step that costs at most so much more of the call's minutes is as good as the best: the numbers are rougher."""
LEAST = 1e-9
"""The least excess of a step that another one is preferred to, so that a tie does not count as the same."""


@dataclass(frozen=True)
class Stability:
    """The first step that nobody asks for beforehand (`kind` and `id`; "" where there is none), in the case
    `findings`: the likeliest outcomes of what comes `first`.

    Out of `tries` shakings of all numbers it stayed the first step `same` times, and cost at most CLOSE
    more than the new first step `close` times; out of as many of the weights alone it stayed `same_weights`
    times.
    """

    kind: str
    id: str
    findings: tuple[tuple[str, str], ...]
    tries: int
    same: int
    close: int
    same_weights: int


def stability(problem: Problem, tries: int) -> Stability:
    """How often the first step stays the same; 2 · `tries` next steps are worked out."""
    findings = _likeliest_firsts(problem)
    first = next_step(problem, believe(problem, findings))
    if first is None:
        return Stability("", "", tuple(findings.items()), 0, 0, 0, 0)
    every = [_excess(shaken(problem, number), findings, first.id) for number in range(tries)]
    alone = [_excess(_with_shaken_weights(problem, number), findings, first.id) for number in range(tries)]
    return Stability(
        first.kind,
        first.id,
        tuple(findings.items()),
        tries,
        same=every.count(0.0),
        close=sum(excess <= CLOSE for excess in every),
        same_weights=alone.count(0.0),
    )


def _likeliest_firsts(problem: Problem) -> dict[str, str]:
    """The tests that come `first`, each with its likeliest outcome after those before."""
    findings: dict[str, str] = {}
    while (step := next_step(problem, believe(problem, findings))) is not None and step.reason == "first":
        findings[step.id] = max(step.outcomes, key=lambda outcome: outcome[1])[0]
    return findings


def _excess(problem: Problem, findings: dict[str, str], step: str) -> float:
    """By what share of the minutes this step costs more than the one that comes first now; 0 where it does,
    at least LEAST where another one does."""
    ranked = rank_steps(problem, believe(problem, findings))
    if ranked[0].id == step:
        return 0.0
    minutes = next(each.expected_minutes for each in ranked if each.id == step)
    return max(minutes / ranked[0].expected_minutes - 1, LEAST)


def _with_shaken_weights(problem: Problem, number: int) -> Problem:
    return replace(problem, weights=_shaken_weights(problem, _draw(number)))


def shaken(problem: Problem, number: int) -> Problem:
    """The problem with all its numbers shaken; equal `number`, equal factors.

    The weights are shaken as they are where they alone are, so that the two can be compared.
    """
    draw = _draw(number)
    weights = _shaken_weights(problem, draw)
    return replace(
        problem,
        weights=weights,
        tests=tuple(_shaken_test(draw, test) if test.offered else test for test in problem.tests),
        repairs=tuple(_shaken_repair(draw, repair) for repair in problem.repairs),
        hand_on=None if problem.hand_on is None else problem.hand_on * _factor(draw),
    )


def _draw(number: int) -> random.Random:
    return random.Random(SEED + number)


def _factor(draw: random.Random) -> float:
    return float(2.0 ** draw.uniform(-1, 1))


def _factors(draw: random.Random, count: int) -> Floats:
    return np.array([_factor(draw) for _ in range(count)])


def _shaken_weights(problem: Problem, draw: random.Random) -> Floats:
    return frozen_array(problem.weights * _factors(draw, len(problem.weights)))


def _shaken_odds(draw: random.Random, probabilities: Floats) -> Floats:
    """Each probability with its odds shaken: p·k / (1 − p + p·k)."""
    raised = probabilities * _factors(draw, len(probabilities))
    return np.asarray(raised / (1 - probabilities + raised))


def _shaken_row(draw: random.Random, row: Floats) -> Floats:
    odd = _shaken_odds(draw, row)
    return np.asarray(odd / odd.sum())


def _shaken_test(draw: random.Random, test: Test) -> Test:
    otherwise = _shaken_row(draw, test.otherwise)
    elsewhere = (test.table == test.otherwise).all(axis=1)
    rows = [
        otherwise if same else _shaken_row(draw, row) for same, row in zip(elsewhere.tolist(), test.table, strict=True)
    ]
    minutes = test.minutes * _factor(draw)
    if test.equipment:  # a noiseless answer, and the share of systems is no judgement of a card
        return replace(test, minutes=minutes, minutes_together=minutes)
    return replace(test, minutes=minutes, table=frozen_array(rows), otherwise=frozen_array(otherwise))


def _shaken_repair(draw: random.Random, repair: Repair) -> Repair:
    factor = _factor(draw)
    return replace(
        repair,
        minutes=repair.minutes * factor,
        failed_minutes=repair.failed_minutes * factor,
        fixes=frozen_array(_shaken_odds(draw, repair.fixes)),
    )
