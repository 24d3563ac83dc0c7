"""How long the heavy parts take beside a reference on the same machine: a ratio travels, milliseconds do not."""

import time
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import yaml
from faultleaf.diagnosis import believe, compile_problem, rank_steps
from faultleaf.diagnosis.step.look import look
from faultleaf.intake import Layer
from faultleaf.pipeline.check import check_content

from tests.bench.ranking import by_hand, by_inference, drawn_query, ours
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


def measure_ranking() -> tuple[Timing, Timing]:
    """Belief and one step ahead for every step, beside the same by hand in numpy and with pyAgrum."""
    query = drawn_query(1)
    hand, inferred = by_hand(query), by_inference(query)
    wanted = ours(query)
    if not (np.allclose(hand(), wanted, rtol=1e-9) and np.allclose(inferred(), wanted, rtol=1e-9)):
        raise AssertionError("the three rankings differ")
    took, what = best_ms(lambda: ours(query), 40), "ranking, 40 faults x 60 tests x 3 outcomes, 5 findings"
    return (
        Timing(f"{what}, beside numpy by hand", took, best_ms(hand, 40)),
        Timing(f"{what}, beside pyAgrum", took, best_ms(inferred, 2)),
    )


def measure_step() -> Timing:
    """The next step on the shipped problem with most causes, beside one look ahead."""
    problem = compile_problem(shipped_library(), ["boiler-overfills"], equipment={"water-feed": "automatic"})
    found = {name: problem.tests[problem.test_index[name]].outcomes[0] for name in problem.first}
    belief = believe(problem, found)
    size = f"{len(problem.faults)} causes, {len(problem.tests)} tests"
    ahead = best_ms(lambda: look(problem, belief.state), 10)
    return Timing(f"next step ({size}), beside one look", best_ms(lambda: rank_steps(problem, belief), 1), ahead)


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
