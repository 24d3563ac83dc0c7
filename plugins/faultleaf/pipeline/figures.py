"""The costly part of a build: the charts and figures of every problem, over all cores, each worked out once."""

import ast
import hashlib
import json
import logging
import os
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import BrokenExecutor, ProcessPoolExecutor
from contextlib import contextmanager
from dataclasses import asdict, dataclass, replace
from functools import cache, partial
from multiprocessing import get_context
from pathlib import Path
from typing import Any, Final

import numpy as np

from faultleaf import diagnosis
from faultleaf.diagnosis import Plan, Problem, plans
from faultleaf.diagnosis.worth.figured import USUAL, Effort, Figured, figured, without_idle_tests
from faultleaf.pipeline.shelf import NOTHING_KEPT, Kept, Shelf

log = logging.getLogger("mkdocs.plugins.faultleaf")

BUDGETS: Final = tuple(range(5, 21))
"""Boxes of the charts that are worked out. What 40 boxes take (measured: 8 to 19 s for each chart on one core,
20 boxes 2 to 8 s) is too long to wait for, and no printed page can hold them."""
THREADS: Final = ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS")
"""What the libraries under numpy read to know how many threads they may use, when they are loaded."""
WORTH_PROCESSES: Final = 1000
"""Faults × tests over all problems from which other processes are called in: starting them takes a second."""

Make = Callable[[Problem], Figured]


def figure_all(problems: Sequence[Problem], kept: Kept = NOTHING_KEPT, effort: Effort = USUAL) -> tuple[Figured, ...]:
    """The charts and figures of these problems, in their order.

    What is kept from before is taken from there, the rest is worked out and kept. The results are the same
    either way, and whatever the number of cores. Raises PlanError where a problem has no plan.
    """
    return _kept_or_made(problems, kept, effort)


def plan_all(problems: Sequence[Problem], kept: Kept = NOTHING_KEPT) -> tuple[Mapping[int, Plan], ...]:
    """The charts alone of these problems, in their order; kept as `figure_all` does. Raises PlanError as that does."""
    return tuple(one.plans for one in _kept_or_made(problems, kept, None))


def charts_alone(problem: Problem) -> Figured:
    """The charts of a problem without figures, but for the largest: a page with its keys holds no more."""
    return Figured(dict(plans(without_idle_tests(problem), BUDGETS[:-2])), None)


def _kept_or_made(problems: Sequence[Problem], kept: Kept, effort: Effort | None) -> tuple[Figured, ...]:
    keys = [key_of(problem, effort) for problem in problems]
    wanted = dict(zip(keys, problems, strict=True))
    found = {key: known for key in wanted if (known := kept.take(key)) is not None}
    missing = {key: problem for key, problem in wanted.items() if key not in found}
    shelf = Shelf(kept.own) if kept.own is not None else None
    make: Make = partial(figured, budgets=BUDGETS, effort=effort) if effort else charts_alone
    for number, (key, made) in enumerate(zip(missing, _worked_out(tuple(missing.values()), make), strict=True), 1):
        found[key] = made
        if shelf:
            shelf.put(key, made)
        log.info("planned chart %d of %d", number, len(missing))
    if shelf and missing:
        shelf.tidy(wanted)
    return tuple(found[key] for key in keys)


@dataclass(frozen=True)
class Written:
    """How many charts a folder of plans holds now, and how many of them had to be planned."""

    own: int
    new: int


def write_planned(
    problems: Sequence[Problem], folder: Path, kept: Kept, bases: Kept, effort: Effort | None = USUAL
) -> Written:
    """Make `folder` hold the results of these problems and no others; what `bases` keep is not kept twice.

    Without `effort` the charts alone are worked out, for the other sides of sheets (`plan_all`).
    Raises PlanError where a problem has no plan, OSError where the folder cannot be written.
    """
    wanted = {key_of(problem, effort): problem for problem in problems}
    own = {key: problem for key, problem in wanted.items() if bases.take(key) is None}
    new = sum(kept.take(key) is None for key in own)
    folder.mkdir(parents=True, exist_ok=True)
    shelf = Shelf(folder)
    for key, made in zip(own, _kept_or_made(tuple(own.values()), replace(kept, own=folder), effort), strict=True):
        shelf.put(key, made)
    shelf.tidy(own, most=0)
    return Written(len(own), new)


def _worked_out(problems: Sequence[Problem], make: Make) -> Iterator[Figured]:
    """One result for each problem; the largest problems are begun first, so that all cores end together."""
    if len(problems) < 2 or sum(map(_size, problems)) < WORTH_PROCESSES:
        yield from (make(problem) for problem in problems)
        return
    done = 0
    order = sorted(range(len(problems)), key=lambda place: -_size(problems[place]))
    try:
        # Forking is no way out of a process with threads, such as a server that reloads.
        with (
            one_thread_each(),
            ProcessPoolExecutor(min(len(problems), os.cpu_count() or 1), get_context("spawn")) as pool,
        ):
            begun = {place: pool.submit(make, problems[place]) for place in order}
            for place in range(len(problems)):
                yield begun[place].result()
                done += 1
    except (BrokenExecutor, OSError):  # where no process can be started, the work is done here
        yield from (make(problem) for problem in problems[done:])


@contextmanager
def one_thread_each() -> Iterator[None]:
    """Processes begun here do their sums in one thread each: the arrays are small, and the threads of several
    processes only wait for each other (measured: a sixth of the processor time on one problem)."""
    before = {name: os.environ.get(name) for name in THREADS}
    os.environ.update(dict.fromkeys(THREADS, "1"))
    try:
        yield
    finally:
        for name, value in before.items():
            if value is None:
                del os.environ[name]
            else:
                os.environ[name] = value


def _size(problem: Problem) -> int:
    return len(problem.faults) * sum(test.offered for test in problem.tests)


def key_of(problem: Problem, effort: Effort | None) -> str:
    """A digest of all that the result hangs on: the problem, how much is asked for, and the engine."""
    asked = {
        "problem": asdict(_of_this_call(without_idle_tests(problem))),
        "budgets": BUDGETS,
        "effort": asdict(effort) if effort else "charts",
    }
    text = json.dumps(asked, sort_keys=True, default=_plain)
    return hashlib.sha256(f"{_engine()}\n{text}".encode()).hexdigest()


def _of_this_call(problem: Problem) -> Problem:
    """The problem without what it says of steps that are not in it: they cannot be taken, so they change no figures.

    Else a card written for one symptom would make the kept plans of all others stale.
    """
    steps = {test.id for test in problem.tests} | {repair.id for repair in problem.repairs}
    tests = tuple(replace(test, perishes_after=test.perishes_after & steps) for test in problem.tests)
    stops = tuple(replace(stop, allows=stop.allows & steps) for stop in problem.stops if stop.test in steps)
    return replace(problem, tests=tests, stops=stops)


def _plain(value: Any) -> Any:
    """Arrays, conditions and mappings as JSON, in an order that hash seeds do not change."""
    if isinstance(value, frozenset):
        return sorted(value)
    return dict(value) if isinstance(value, Mapping) else value.tolist()


@cache
def _engine() -> str:
    """A digest of the engine's own code, its comments and docstrings left out, and of the library beneath it."""
    digest = hashlib.sha256(np.__version__.partition(".")[0].encode())
    for path in sorted(Path(diagnosis.__file__).parent.rglob("*.py")):
        digest.update(statements(path.read_text(encoding="utf-8")).encode())
    return digest.hexdigest()


def statements(source: str) -> str:
    """The statements alone: what only explains them changes no result."""
    tree = ast.parse(source)
    for node in ast.walk(tree):
        body = getattr(node, "body", None)
        if isinstance(body, list):
            node.body = [each for each in body if not _says(each)]  # type: ignore[attr-defined]
    return ast.unparse(tree)


def _says(statement: ast.stmt) -> bool:
    """True for a string that stands alone."""
    return isinstance(statement, ast.Expr) and isinstance(statement.value, ast.Constant)
