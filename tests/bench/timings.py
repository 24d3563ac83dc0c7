"""How long the heavy parts take beside a reference on the same machine: a ratio travels, milliseconds do not."""

import time
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import yaml
from faultleaf.diagnosis import Problem, believe, compile_problem, rank_steps
from faultleaf.diagnosis.problem import Floats
from faultleaf.intake import Layer
from faultleaf.pipeline.check import check_content

from tests.cli.calls import CONTENT, shipped_library

ROUNDS = 7


@dataclass(frozen=True)
class Timing:
    """Milliseconds of ours and of the reference, the best of several rounds."""

    what: str
    ours_ms: float
    reference_ms: float

    @property
    def ratio(self) -> float:
        """How many times as long ours takes."""
        return self.ours_ms / self.reference_ms


def best_ms(work: Callable[[], object], repeat: int) -> float:
    """Milliseconds of one `work()`, in the quickest of the rounds: the others waited for the machine."""
    best = float("inf")
    for _ in range(ROUNDS):
        start = time.perf_counter()
        for _ in range(repeat):
            work()
        best = min(best, (time.perf_counter() - start) / repeat)
    return best * 1000


def measure_ranking() -> Timing:
    """Belief and ranking on the shipped problem, beside the bare arithmetic of the same in numpy."""
    problem = compile_problem(shipped_library(), ["boiler-overfills"], equipment={"water-feed": "automatic"})
    found = {name: problem.tests[problem.test_index[name]].outcomes[0] for name in problem.first}
    tables = np.stack([_padded(test.table, _widest(problem)) for test in problem.tests])
    fixes = np.stack([repair.fixes for repair in problem.repairs])
    minutes = np.array([repair.minutes for repair in problem.repairs])

    def bare() -> float:
        """Bayes' rule, then for every test and outcome the likeliest cures and their minutes, in one go."""
        weights = problem.weights
        for name, seen in found.items():
            test = problem.tests[problem.test_index[name]]
            weights = weights * test.table[:, test.outcomes.index(seen)]
        after = np.einsum("f,tfo->tof", weights / weights.sum(), tables)
        cured = after @ fixes.T
        order = np.argsort(-cured / minutes, axis=2)
        left = 1 - np.cumsum(np.take_along_axis(cured, order, axis=2), axis=2)
        return float((np.take(minutes, order) * left).sum())

    def ours() -> object:
        return rank_steps(problem, believe(problem, found))

    size = f"{len(problem.faults)} causes, {len(problem.tests)} tests, {len(problem.repairs)} repairs"
    return Timing(f"belief and ranking ({size})", best_ms(ours, 20), best_ms(bare, 20))


def measure_cards() -> Timing:
    """Reading and checking the shipped cards, beside PyYAML alone over their front matter."""
    paths = [path for path in sorted(CONTENT.rglob("*.*")) if path.suffix in (".md", ".yml")]
    texts = [path.read_text(encoding="utf-8") for path in paths]
    fields = [text.split("---\n")[1] if text.startswith("---\n") else text for text in texts]
    layers = [Layer(CONTENT, "content")]

    def bare() -> object:
        return [yaml.safe_load(each) for each in fields]

    def ours() -> object:
        return check_content(layers)

    return Timing(f"reading and checking {len(texts)} files, beside safe_load", best_ms(ours, 1), best_ms(bare, 1))


def _widest(problem: Problem) -> int:
    return max(len(test.outcomes) for test in problem.tests)


def _padded(table: Floats, width: int) -> Floats:
    return np.pad(table, ((0, 0), (0, width - table.shape[1])))
