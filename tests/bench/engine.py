"""The browser's engine: a thousand calls and problems beside Python's, and the script time of a next step.

The reference of the time is a plain product of matrices of the same size in the same page: what one look ahead
would read if it worked out every repair's chance after every outcome from full tables (outcomes × causes times
causes × repairs), as often as beliefs may be opened for one answer.
"""

import random
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from faultleaf.cards import Library
from faultleaf.diagnosis import Problem, compile_problem, parse_problem
from faultleaf.diagnosis.step.policy import WORK, cells
from selenium.webdriver import Chrome

from tests.bench.families import Family, drawn
from tests.bench.timings import Timing
from tests.browser.chromium import open_chromium
from tests.browser.engine.cases import described, random_calls, random_problems
from tests.browser.engine.engine_page import answers, differences, write_page
from tests.cli.calls import shipped_library
from tests.diagnosis.problems import row

LARGE = Family(500, 500, 2, (1.0, 30.0), (5.0, 200.0), noisy=True)
ROUNDS = 15
AT_ONCE = 100
TIME = """
const engine = faultleaf.engine, [given, findings, looks, rounds] = arguments;
const problem = engine.makeProblem(given, faultleafData.shared.constants);
const { rows, faults, repairs } = problem, count = faults.length, many = repairs.length;
const right = Float64Array.from({ length: count * many }, (_, place) => 1 / (1 + place % 7));
const product = new Float64Array(rows * many);
const multiply = () => {
  for (let look = 0; look < looks; look += 1) {
    for (let row = 0; row < rows; row += 1) {
      for (let repair = 0; repair < many; repair += 1) {
        let sum = 0;
        for (let fault = 0; fault < count; fault += 1) {
          sum += problem.chances[row * count + fault] * right[repair * count + fault];
        }
        product[row * many + repair] = sum;
      }
    }
  }
};
const timed = (work) => Array.from({ length: rounds }, () => {
  const start = performance.now();
  work();
  return performance.now() - start;
});
return [timed(() => engine.nextStep(problem, engine.believe(problem, findings))), timed(multiply)];
"""


@contextmanager
def engine_page(library: Library) -> Iterator[Chrome]:
    """A Chromium with the engine and the library's data loaded."""
    with tempfile.TemporaryDirectory() as folder, open_chromium(800, 600) as driver:
        driver.set_script_timeout(300)
        driver.get(write_page(Path(folder), library).as_uri())
        yield driver


def differing_answers(count: int, seed: int) -> list[tuple[str, list[str]]]:
    """The cases, of `count` calls and as many problem files, that Chromium answers unlike Python."""
    library, wrong = shipped_library(), []
    with engine_page(library) as driver:
        cases = [*random_calls(library, count, seed), *random_problems(count, seed)]
        for start in range(0, len(cases), AT_ONCE):
            some = cases[start : start + AT_ONCE]
            for case, answer in zip(some, answers(driver, some), strict=True):
                if found := differences(case, answer):
                    wrong.append((case.name, found))
    return wrong


def measure_browser() -> list[Timing]:
    """Script time of a next step in Chromium: each shipped symptom with its first tests done, and large problems."""
    library = shipped_library()
    with engine_page(library) as driver:
        return [_timing(driver, what, problem) for what, problem in _problems(library)]


def _problems(library: Library) -> Iterator[tuple[str, Problem]]:
    for name in library.symptoms:
        yield name, compile_problem(library, [name])
    yield "500 causes, 500 tests", drawn(LARGE, 1)
    yield "the same, any chances", _any_chances(500, 500, 1)


def _any_chances(faults: int, tests: int, seed: int) -> Problem:
    """A large problem in which no two chances are alike: nothing of the order of repairs lasts."""
    draw = random.Random(seed)
    names = [f"f{place:03}" for place in range(faults)]
    return parse_problem({
        "faults": [{"id": name, "weight": draw.expovariate(1)} for name in names],
        "repairs": [
            {"id": f"r{place:03}", "minutes": draw.uniform(5, 200), "fixes": {name: 1.0}}
            for place, name in enumerate(names)
        ],
        "tests": [
            {"id": f"t{place:03}", "minutes": draw.uniform(1, 30), "outcomes": ["yes", "no"],
             "given": {name: row(draw, 2) for name in names}}
            for place in range(tests)
        ],
    })  # fmt: skip


def _timing(driver: Chrome, what: str, problem: Problem) -> Timing:
    found = {problem.tests[place].id: problem.tests[place].outcomes[0] for place in _first(problem)}
    looks = max(WORK // cells(problem), 1)
    given: list[Any] = [described(problem), list(found.items()), looks, ROUNDS]
    ours, product = driver.execute_script(TIME, *given)
    middle = sorted(ours)[ROUNDS // 2]
    size = f"{what} (first time {ours[0]:.0f}, middle {middle:.0f} ms)"
    return Timing(f"next step in Chromium, {size}", min(ours), min(product))


def _first(problem: Problem) -> list[int]:
    """The tests that come first; where there are none, one."""
    return [problem.test_index[name] for name in problem.first] or [0]
