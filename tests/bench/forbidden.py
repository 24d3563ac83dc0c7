"""No step is offered that a stop or a caution's condition forbids: `python -m tests.bench.forbidden [WALKS] [EDGE]`.

WALKS calls worked in any order that is open, over every printed kind of system, unknown equipment, every rank and
pairs of symptoms; then the policy's own plan on every printed kind of system, down to what one call in 1 / EDGE comes
to, with all states one step beside it; and the boxes of every printed chart on all their paths. Each state is held
beside a plain second reading of the cards (`tests/calls/forbidden.py`).
"""

import random
import sys
from collections.abc import Iterator, Mapping
from itertools import combinations

from faultleaf.cards import Library
from faultleaf.cards.vocabulary import RANKS
from faultleaf.diagnosis import Plan, Problem, compile_problem, plan

from tests.calls.forbidden import Forbidden
from tests.calls.played import draw_call
from tests.calls.settings import shipped_settings
from tests.calls.straying import policy_states, seen, strays, wrongly_offered
from tests.cli.calls import shipped_library

WALKS, EDGE, SEED, BOXES = 100_000, 1e-4, 20261126, 15


def calls(library: Library) -> Iterator[tuple[str, Problem, Forbidden]]:
    """Every setting for every rank, and every pair of symptoms on each kind of system of the first."""
    for setting in shipped_settings(library):
        for who in RANKS:
            equipment = setting.given["equipment"]
            problem = compile_problem(library, [setting.symptom], equipment=equipment, who=who)
            yield f"{setting.name}, {who}", problem, Forbidden(library, [setting.symptom], equipment)
    for pair in combinations(library.symptoms, 2):
        for variant, equipment in library.symptoms[pair[0]].variants.items():
            problem = compile_problem(library, pair, equipment=equipment)
            yield f"{' and '.join(pair)}, {variant}", problem, Forbidden(library, pair, equipment)


def walk_anyhow(library: Library, walks: int) -> int:
    """How many states were wrong; a line for the first of each call."""
    wrong = states = 0
    every = list(calls(library))
    for name, problem, rules in every:
        draw, first = random.Random(f"{SEED}/{name}"), True
        for _ in range(-(-walks // len(every))):
            for state in strays(problem, draw_call(problem, draw), draw):
                states += 1
                found = wrongly_offered(problem, rules, state)
                wrong += bool(found)
                if found and first:
                    print(f"  {name}: {sorted(found)} after {seen(state)}, {sorted(state.tried)}")
                    first = False
    print(f"{walks} calls in any order, {states} states: {wrong} with a step too many or too few", flush=True)
    return wrong


def walk_policy(library: Library, edge: float) -> int:
    """How many states of the policy's own plans, or beside them, offer a forbidden step."""
    wrong = 0
    for setting in (each for each in shipped_settings(library) if each.given["equipment"]):
        rules = Forbidden(library, [setting.symptom], setting.given["equipment"])
        here = chosen = bad = 0
        for state, steps in policy_states(setting.problem, edge):
            here, chosen = here + 1, chosen + bool(steps)
            banned = rules.after(seen(state), state.tried)
            found = wrongly_offered(setting.problem, rules, state) | ({step.id for step in steps} & banned)
            bad += bool(found)
            if found and bad == 1:
                print(f"  {setting.name}: {sorted(found)} after {seen(state)}, {sorted(state.tried)}")
        print(f"{setting.name}: {chosen} states of the plan, {here - chosen} beside it: {bad} wrong", flush=True)
        wrong += bad
    return wrong


def walk_charts(library: Library) -> int:
    """How many paths of printed charts come to a forbidden step."""
    wrong = 0
    for setting in (each for each in shipped_settings(library) if each.given["equipment"]):
        found = list(
            _astray(setting.problem, plan(setting.problem, BOXES), _rules(library, setting.symptom, setting.given))
        )
        print(f"{setting.name}: chart of {BOXES} boxes, {len(found)} paths to a forbidden step", flush=True)
        for line in found[:3]:
            print(f"  {line}")
        wrong += len(found)
    return wrong


def _rules(library: Library, symptom: str, given: Mapping[str, Mapping[str, str]]) -> Forbidden:
    return Forbidden(library, [symptom], given["equipment"])


def _astray(problem: Problem, chart: Plan, rules: Forbidden) -> Iterator[str]:
    boxes = {box.id: box for box in chart.boxes}
    waiting: list[tuple[str, dict[str, str], frozenset[str]]] = [(chart.root, {}, frozenset())]
    while waiting:
        name, known, tried = waiting.pop()
        box = boxes[name]
        for step in box.steps:
            if step in rules.after(known, tried):
                yield f"{step} after {known}, {sorted(tried)}"
            if step in problem.repair_index:
                known, tried = {**known, **problem.repairs[problem.repair_index[step]].restore}, tried | {step}
        for way in box.exits:
            if way.target is None:
                continue
            found = known
            if box.kind == "test":
                test = problem.tests[problem.test_index[box.steps[0]]]
                found = {**known, test.id: way.outcome, **test.renews.get(way.outcome, {})}
            waiting.append((way.target, found, tried))


def main(walks: int = WALKS, edge: float = EDGE) -> int:
    """1 where anything is offered that the cards forbid."""
    library = shipped_library()
    return 1 if walk_anyhow(library, walks) + walk_charts(library) + walk_policy(library, edge) else 0


if __name__ == "__main__":
    given = sys.argv[1:]
    sys.exit(main(*map(int, given[:1]), *map(float, given[1:])))
