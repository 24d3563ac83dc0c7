"""The costly part of a build: the charts and figures of every problem, over all cores, each worked out once."""

import hashlib
import json
import os
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import BrokenExecutor, ProcessPoolExecutor
from contextlib import contextmanager
from dataclasses import asdict
from functools import partial
from multiprocessing import get_context
from pathlib import Path
from typing import Any, Final

import numpy as np

from faultleaf import diagnosis
from faultleaf.diagnosis import Plan, Problem, plans
from faultleaf.diagnosis.worth import USUAL, Effort, Figured, figured, without_idle_tests
from faultleaf.pipeline.shelf import Shelf

BUDGETS: Final = tuple(range(5, 21))
"""Boxes of the charts that are worked out. What 40 boxes take (measured: 8 to 19 s for each chart on one core,
20 boxes 2 to 8 s) is too long to wait for, and no printed page can hold them."""
THREADS: Final = ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS")
"""What the libraries under numpy read to know how many threads they may use, when they are loaded."""
WORTH_PROCESSES: Final = 1000
"""Faults × tests over all problems from which other processes are called in: starting them takes a second."""

Make = Callable[[Problem], Figured]


def figure_all(problems: Sequence[Problem], folder: Path | None = None, effort: Effort = USUAL) -> tuple[Figured, ...]:
    """The charts and figures of these problems, in their order.

    What `folder` keeps from before is taken from there, the rest is worked out and kept; None keeps
    nothing. The results are the same either way, and whatever the number of cores.
    Raises PlanError where a problem has no plan.
    """
    return _kept_or_made(problems, folder, effort, partial(figured, budgets=BUDGETS, effort=effort))


def plan_all(problems: Sequence[Problem], folder: Path | None = None) -> tuple[Mapping[int, Plan], ...]:
    """The charts alone of these problems, in their order; kept as `figure_all` does. Raises PlanError as that does."""
    return tuple(one.plans for one in _kept_or_made(problems, folder, None, charts_alone))


def charts_alone(problem: Problem) -> Figured:
    """The charts of a problem without figures, but for the largest: a page with its keys holds no more."""
    return Figured(dict(plans(without_idle_tests(problem), BUDGETS[:-2])), None)


def _kept_or_made(
    problems: Sequence[Problem], folder: Path | None, effort: Effort | None, make: Make
) -> tuple[Figured, ...]:
    keys = [_key(problem, effort) for problem in problems]
    wanted = dict(zip(keys, problems, strict=True))
    shelf = Shelf(folder) if folder is not None else None
    found = {key: kept for key in wanted if shelf and (kept := shelf.take(key)) is not None}
    missing = {key: problem for key, problem in wanted.items() if key not in found}
    for key, made in zip(missing, _worked_out(tuple(missing.values()), make), strict=True):
        found[key] = made
        if shelf:
            shelf.put(key, made)
    if shelf and missing:
        shelf.tidy(wanted)
    return tuple(found[key] for key in keys)


def _worked_out(problems: Sequence[Problem], make: Make) -> list[Figured]:
    """One result for each problem; the largest problems are begun first, so that all cores end together."""
    if len(problems) < 2 or sum(map(_size, problems)) < WORTH_PROCESSES:
        return [make(problem) for problem in problems]
    order = sorted(range(len(problems)), key=lambda place: -_size(problems[place]))
    try:
        # Forking is no way out of a process with threads, such as a server that reloads.
        with (
            one_thread_each(),
            ProcessPoolExecutor(min(len(problems), os.cpu_count() or 1), get_context("spawn")) as pool,
        ):
            begun = {place: pool.submit(make, problems[place]) for place in order}
            return [begun[place].result() for place in range(len(problems))]
    except (BrokenExecutor, OSError):  # where no process can be started, the work is done here
        return [make(problem) for problem in problems]


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


def _key(problem: Problem, effort: Effort | None) -> str:
    """A digest of all that the result hangs on: the problem, how much is asked for, and the engine."""
    asked = {
        "problem": asdict(without_idle_tests(problem)),
        "budgets": BUDGETS,
        "effort": asdict(effort) if effort else "charts",
    }
    text = json.dumps(asked, sort_keys=True, default=_plain)
    return hashlib.sha256(f"{_engine()}\n{text}".encode()).hexdigest()


def _plain(value: Any) -> Any:
    """Arrays, conditions and mappings as JSON, in an order that hash seeds do not change."""
    if isinstance(value, frozenset):
        return sorted(value)
    return dict(value) if isinstance(value, Mapping) else value.tolist()


def _engine() -> str:
    """A digest of the engine's own source and of the library that it computes with."""
    digest = hashlib.sha256(np.__version__.encode())
    for path in sorted(Path(diagnosis.__file__).parent.glob("*.py")):
        digest.update(path.read_bytes())
    return digest.hexdigest()
