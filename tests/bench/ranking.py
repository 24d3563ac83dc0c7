"""The ranking query by hand in numpy and with pyAgrum: every step that may be taken, one step ahead.

40 faults × 60 tests × 3 outcomes, 5 findings. All three give the same scores; they differ in who does the
arithmetic. By hand nothing is checked: no conditions, no ties, no names.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from faultleaf.diagnosis import Problem, believe
from faultleaf.diagnosis.model.problem import Floats
from faultleaf.diagnosis.step.look import look

from tests.bench.families import Family, drawn
from tests.oracle import gum

SIZE = Family(40, 60, 3, (1.0, 30.0), (5.0, 200.0), noisy=True)
FINDINGS = 5


@dataclass(frozen=True, eq=False)
class Query:
    """The problem and what was found, by name."""

    problem: Problem
    found: Mapping[str, str]


def drawn_query(seed: int) -> Query:
    """A problem of the size with its first tests found, each as the first fault would most likely show it."""
    problem = drawn(SIZE, seed)
    found = {test.id: test.outcomes[int(test.table[0].argmax())] for test in problem.tests[:FINDINGS]}
    return Query(problem, found)


def ours(query: Query) -> Floats:
    """Minutes × weight of every step, best first."""
    seen = look(query.problem, believe(query.problem, query.found).state)
    scores = seen.scores(1.0)
    return np.asarray(scores[seen.ranked(scores)])


def by_hand(query: Query) -> Callable[[], Floats]:
    """The same straight in numpy, every array laid out beforehand."""
    problem = query.problem
    columns = [problem.tests[place].outcomes.index(query.found[problem.tests[place].id]) for place in range(FINDINGS)]
    rows = problem.tables[np.arange(FINDINGS), columns]
    tables, spent = problem.tables[FINDINGS:], problem.test_minutes[FINDINGS:]

    def work() -> Floats:
        weights = problem.weights * rows.prod(axis=0)
        return _scores(problem, weights, weights * tables, spent)

    return work


def by_inference(query: Query) -> Callable[[], Floats]:
    """The same with pyAgrum for every posterior, numpy for the minutes."""
    problem, whole = query.problem, float(query.problem.weights.sum())
    network = gum.BayesNet("call")
    cause = network.add(gum.LabelizedVariable("cause", "", list(problem.faults)))
    network.cpt(cause).fillWith((problem.weights / whole).tolist())
    for test in problem.tests:
        node = network.add(gum.LabelizedVariable(test.id, "", list(test.outcomes)))
        network.addArc(cause, node)
        for fault, row in zip(problem.faults, test.table, strict=True):
            network.cpt(node)[{"cause": fault}] = row.tolist()
    left = [test.id for test in problem.tests[FINDINGS:]]

    def work() -> Floats:
        inference = gum.LazyPropagation(network)
        inference.setEvidence(dict(query.found))
        for name in left:
            inference.addJointTarget({"cause", name})
        inference.makeInference()
        joint = [_by_outcome(inference.jointPosterior({"cause", name}), name) for name in left]
        after = np.stack(joint) * float(inference.evidenceProbability()) * whole
        return _scores(problem, after[0].sum(axis=0), after, problem.test_minutes[FINDINGS:])

    return work


def _by_outcome(joint: Any, name: str) -> Floats:
    """(O, F) of a joint posterior, whichever way round the library laid it out."""
    table = np.asarray(joint.toarray())
    return table if list(joint.names) == ["cause", name] else table.T


def _scores(problem: Problem, weights: Floats, after: Floats, spent: Floats) -> Floats:
    """Minutes × weight of tests and repairs by the estimate of `look.py`, the least first; every repair cures
    its own fault."""
    minutes, total = problem.repair_minutes, weights.sum()
    left = np.where(np.eye(len(minutes), dtype=np.bool_), 0.0, weights)
    flat = np.concatenate([after.reshape(-1, len(minutes)), left])
    order = np.argsort(-flat / minutes, axis=1)
    mass = np.take_along_axis(flat, order, axis=1)
    still = np.cumsum(mass[:, ::-1], axis=1)[:, ::-1]
    runs = (minutes[order] * still).sum(axis=1)
    doubts = _bits(flat)
    now = _bits(weights[None])[0]
    tested = after.shape[0] * after.shape[1]
    told = now - doubts[:tested].reshape(after.shape[:2]).sum(axis=1)
    price = (spent * total / told).min()
    likely = np.minimum(runs, flat @ minutes + price * doubts)
    tests = spent * total + likely[:tested].reshape(after.shape[:2]).sum(axis=1)
    return np.asarray(np.sort(np.concatenate([tests, minutes * total + likely[tested:]])))


def _bits(weights: Floats) -> Floats:
    """Weight × entropy of every row."""
    whole = weights.sum(axis=1)
    return np.asarray(whole * np.log2(whole) - (weights * np.log2(np.maximum(weights, 1e-300))).sum(axis=1))
