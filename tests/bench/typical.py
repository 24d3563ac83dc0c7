"""The typical call of every cause: `python -m tests.bench.typical [VARIANT] [--who RANK]`.

Everything shows what the cause's card finds likeliest, and the first step offered is taken each time. Printed for
every variant: the share of its calls by how the typical call of their cause ends, and each call that is handed on with
its cause unnamed, names another, or does not end. VARIANT and `--content` are those of `tests/bench/endings.py`.
"""

import argparse
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

from faultleaf.cards.vocabulary import RANKS
from faultleaf.diagnosis import UNLISTED, Problem, ScoredStep, not_cured

from tests.bench.endings import variants
from tests.calls.deciding import Findings, Key, key_of
from tests.calls.endings import as_paged
from tests.cli.calls import CONTENT
from tests.library import read

MOST_STEPS: Final = 40
GOOD: Final = ("first repair", "second repair", "later repair", "named")


@dataclass(frozen=True)
class Call:
    """The typical call of one row: its share of all calls, how it ends, and its steps in words."""

    row: str
    share: float
    end: str
    steps: tuple[str, ...]


@dataclass(frozen=True)
class Advice:
    """The first step offered after findings, each worked out once: typical calls share their beginnings."""

    problem: Problem
    known: dict[Key, ScoredStep | None] = field(default_factory=dict)

    def after(self, findings: Findings) -> ScoredStep | None:
        """The step that is offered first."""
        key = key_of(findings)
        if key not in self.known:
            self.known[key] = as_paged(self.problem, findings)
        return self.known[key]


def typical_calls(problem: Problem) -> Iterator[Call]:
    """One call for every row that has a card, in the problem's order."""
    advice, whole = Advice(problem), float(problem.weights.sum())
    for row, cause in enumerate(problem.causes):
        if cause != UNLISTED and problem.weights[row] > 0:
            end, steps = _worked(advice, row)
            yield Call(problem.faults[row], float(problem.weights[row]) / whole, end, steps)


def _worked(advice: Advice, row: int) -> tuple[str, tuple[str, ...]]:
    problem, findings, steps, repairs = advice.problem, dict[str, str](), list[str](), 0
    while len(steps) < MOST_STEPS:
        step = advice.after(findings)
        if step is None or step.kind == "hand-on":
            return "handed on", (*steps, "hand on")
        if step.kind == "test":
            test = problem.tests[problem.test_index[step.id]]
            findings[step.id] = test.outcomes[int(test.table[row].argmax())]
            steps.append(f"{step.id}={findings[step.id]}")
            continue
        cures = bool(problem.repairs[problem.repair_index[step.id]].fixes[row] >= 0.5)
        steps.append(f"{step.kind} {step.id}")
        if step.kind == "named":
            return "named" if cures else "names another", tuple(steps)
        if cures:
            return GOOD[min(repairs, 2)], tuple(steps)
        repairs += 1
        findings = not_cured(problem, findings, step.id)
    return "does not end", tuple(steps)


def print_typical(name: str, calls: list[Call]) -> None:
    """A line of shares, and one for each call that ends badly."""
    shares = dict[str, float]()
    for call in calls:
        shares[call.end] = shares.get(call.end, 0.0) + call.share
    print(f"{name}: " + ", ".join(f"{end} {100 * share:.0f} %" for end, share in sorted(shares.items())), flush=True)
    for call in calls:
        if call.end not in GOOD:
            print(f"  {call.row} ({100 * call.share:.1f} %) {call.end}: {' > '.join(call.steps)}", flush=True)


def main() -> None:
    """Print every variant as soon as it is worked out."""
    parser = argparse.ArgumentParser(
        prog="python -m tests.bench.typical", description="The typical call of every cause."
    )
    parser.add_argument("variant", nargs="?", default="")
    parser.add_argument("--who", choices=RANKS, default="licensed")
    parser.add_argument("--content", type=Path, default=CONTENT)
    asked = parser.parse_args()
    for name, problem in variants(read(asked.content), asked.variant, asked.who):
        print_typical(f"{name}; {asked.who}", list(typical_calls(problem)))


if __name__ == "__main__":
    main()
