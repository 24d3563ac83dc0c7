"""What the findings count for after a repair that did not cure: `python -m tests.bench.second_cause [VARIANT] [CALLS]`.

Three rules on the same drawn calls, with one cause and with two. *Both*: rule 7, all findings stay and may speak for
another cause or for two. *Dropping*: those are dropped, and may be looked at anew, that the repaired fault shows with
SHOWN or more. *Keeping*: all findings speak for one cause, as the planner goes on.

With two causes each test shows what the one names that names it, a coin decides where both do or none; once one is
repaired the other shows alone. Such a call is over when both are repaired, or handed on.
"""

import random
import sys
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from math import sqrt
from statistics import fmean, stdev

from faultleaf.cards import Library
from faultleaf.diagnosis import STILL_THERE, Problem, believe, next_step, not_cured
from faultleaf.diagnosis.model.state import minutes_of_test
from faultleaf.diagnosis.step.rank import ScoredStep

from tests.bench.endings import variants
from tests.calls.playing import MOST_STEPS
from tests.cli.calls import shipped_library

CALLS, SEED, SHOWN = 300, 20261126, 0.8

Findings = Mapping[str, str]
Rule = Callable[[Problem, Findings, str], dict[str, str]]
"""The findings to go on with when the repair of this id had not cured."""


@dataclass(frozen=True)
class TwoCauses:
    """A call with these rows of the problem to blame: what each test shows by the row that shows it, which row that is
    while both are there, and the repairs that would cure each."""

    rows: tuple[int, ...]
    shows: tuple[Mapping[str, str], ...]
    shown_by: Mapping[str, int]
    cures: tuple[frozenset[str], ...]


def both(problem: Problem, findings: Findings, repair: str) -> dict[str, str]:
    """Rule 7."""
    return not_cured(problem, findings, repair)


def keeping(problem: Problem, findings: Findings, repair: str) -> dict[str, str]:
    """All findings for one cause: as if they had all come after the repair, which then speaks for nothing else."""
    restored = problem.repairs[problem.repair_index[repair]].restore
    return {**restored, repair: STILL_THERE, **{name: seen for name, seen in findings.items() if name not in restored}}


def dropping(problem: Problem, findings: Findings, repair: str) -> dict[str, str]:
    """Those that the repaired fault mostly shows are gone; the others speak for one cause."""
    rows = list(problem.cause_rows.get(problem.repairs[problem.repair_index[repair]].fault, ()))
    weights = problem.weights[rows]

    def explained(name: str, seen: str) -> bool:
        if name not in problem.test_index or not rows or problem.tests[problem.test_index[name]].equipment:
            return False
        test = problem.tests[problem.test_index[name]]
        chance = float(weights @ test.table[rows, test.outcomes.index(seen)] / weights.sum())
        return chance >= SHOWN and name not in problem.first

    kept = {name: seen for name, seen in findings.items() if not explained(name, seen)}
    return keeping(problem, kept, repair)


RULES: Mapping[str, Rule] = {"both": both, "dropping": dropping, "keeping": keeping}


def draw_causes(library: Library, problem: Problem, draw: random.Random, causes: int) -> TwoCauses:
    """A call with so many causes, drawn by weight, of cards that differ."""
    rows: list[int] = []
    while len(rows) < causes:
        (row,) = draw.choices(range(len(problem.faults)), problem.weights.tolist())
        if problem.causes[row] not in [problem.causes[other] for other in rows]:
            rows.append(row)
    shows = tuple(
        {test.id: draw.choices(test.outcomes, test.table[row].tolist())[0] for test in problem.tests} for row in rows
    )
    shown_by = {}
    for test in problem.tests:
        cards = (library.faults.get(problem.causes[row]) for row in rows)
        naming = [place for place, card in enumerate(cards) if card is not None and test.id in card.named_tests]
        shown_by[test.id] = draw.choice(naming or range(causes))
    cures = tuple(frozenset(r.id for r in problem.repairs if draw.random() < r.fixes[row]) for row in rows)
    return TwoCauses(tuple(rows), shows, shown_by, cures)


class Player:
    """Works calls of one problem by one rule; what was decided for equal findings is remembered."""

    def __init__(
        self, problem: Problem, rule: Rule, decided: dict[tuple[tuple[str, str], ...], ScoredStep | None]
    ) -> None:
        self.problem, self.rule, self.decided = problem, rule, decided

    def minutes(self, call: TwoCauses) -> float:
        """What the call takes, with what is owed for each cause left where it is handed on."""
        problem, findings, left, spent = self.problem, dict[str, str](), list(range(len(call.rows))), 0.0
        for _ in range(MOST_STEPS):
            step = self._next(findings)
            if step is None or step.kind in ("hand-on", "named"):
                owed = sum(float(problem.owed[call.rows[place]]) for place in left)
                return spent + owed + (0.0 if step is not None and step.kind == "named" else problem.hand_on or 0.0)
            if step.kind == "test":
                state = believe(problem, findings).state
                spent += minutes_of_test(problem, state, problem.test_index[step.id])
                by = call.shown_by[step.id] if len(left) > 1 else left[0]
                findings[step.id] = call.shows[by][step.id]
                continue
            card = problem.repairs[problem.repair_index[step.id]]
            left = [place for place in left if step.id not in call.cures[place]]
            spent += card.failed_minutes if left else card.minutes
            if not left:
                return spent
            findings = self.rule(problem, findings, step.id)
        raise AssertionError(f"a call goes round in a circle: {list(findings)[-8:]}")

    def _next(self, findings: Findings) -> ScoredStep | None:
        key = tuple(findings.items())
        if key not in self.decided:
            self.decided[key] = next_step(self.problem, believe(self.problem, findings))
        return self.decided[key]


def measure(library: Library, name: str, problem: Problem, count: int) -> None:
    """Print mean minutes by each rule, and by how much the others differ from rule 7 on the same calls."""
    decided: dict[tuple[tuple[str, str], ...], ScoredStep | None] = {}
    for causes in (1, 2):
        draw = random.Random(f"{SEED}/{name}/{causes}")
        calls = [draw_causes(library, problem, draw, causes) for _ in range(count)]
        spent = {
            rule: [Player(problem, go_on, decided).minutes(call) for call in calls] for rule, go_on in RULES.items()
        }
        print(f"{name}, {count} calls with {causes} cause{'s' if causes > 1 else ''}: ", end="")
        parts = [f"both {fmean(spent['both']):.0f} min"]
        for rule in list(RULES)[1:]:
            more = [other - own for other, own in zip(spent[rule], spent["both"], strict=True)]
            parts.append(f"{rule} {fmean(more):+.1f} ± {stdev(more) / sqrt(count):.1f}")
        print("; ".join(parts), flush=True)


def main(part: str = "", count: int = CALLS) -> None:
    """Every printed kind of system whose name holds this part."""
    library = shipped_library()
    for name, problem in variants(library, part, "licensed"):
        measure(library, name, problem, count)


if __name__ == "__main__":
    _, *given = sys.argv
    main(given[0] if given else "", *(int(count) for count in given[1:2]))
