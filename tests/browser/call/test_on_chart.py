"""assets/js/call/on-chart.js: the way of a call over the printed chart, beside Python's walk over the plan."""

import random
from collections.abc import Iterator, Mapping

import pytest
from faultleaf.cards import Library
from faultleaf.diagnosis import CURED, STILL_THERE, compile_problem, plan
from faultleaf.export.charts import PrintedChart, chart_scripts
from faultleaf.layout import label_plan
from faultleaf.layout.ways import ways_of
from selenium.webdriver import Chrome

from tests.browser.call.asking import asked
from tests.browser.call.records import Entry, entry, new_job

SYMPTOM, VARIANT = "gauge-glass-misleading", "filled by hand"
PLACE = """
const [job, chart] = arguments;
return call.placeOnChart(chart, call.stateOf(job, library));
"""


@pytest.fixture(scope="module")
def printed(library: Library) -> PrintedChart:
    equipment = library.symptoms[SYMPTOM].variants[VARIANT]
    problem = compile_problem(library, [SYMPTOM], equipment=equipment)
    return PrintedChart(SYMPTOM, VARIANT, equipment, problem, plan(problem, 7))


@pytest.fixture(scope="module")
def chart(engine: Chrome, library: Library, printed: PrintedChart) -> object:
    scripts = chart_scripts(library, [printed])
    assert set(scripts) == {f"charts/{SYMPTOM}.js"}
    engine.execute_script(scripts[f"charts/{SYMPTOM}.js"])
    (found,) = engine.execute_script(f'return faultleafData["charts/{SYMPTOM}"];')
    return found


def random_ways(printed: PrintedChart, count: int) -> Iterator[tuple[list[Entry], list[str], str | None]]:
    """Entries of a call that does what the chart says, the boxes it passes, and the box it stands in."""
    ways = ways_of(printed.plan, printed.problem)
    boxes = {box.id: box for box in ways.boxes}
    for seed in range(count):
        draw, here, log, path = random.Random(seed), printed.plan.root, list[Entry](), list[str]()
        for _ in range(draw.randint(0, 6)):
            box = boxes[here]
            if box.kind == "hand-on":
                break
            way = draw.choice(box.exits)
            log += list(_done(box.kind, box.steps, way.outcome, draw))
            path.append(here)
            goal = ways.goals[here, way.outcome]
            halt = ways.halts.get(goal or "")
            goal = halt.then if halt and halt.then else goal
            if goal not in boxes:  # cured, or handed on at a stop
                yield log, path, goal
                break
            here = goal
        else:
            yield log, path, here


def _done(kind: str, steps: tuple[str, ...], outcome: str, draw: random.Random) -> Iterator[Entry]:
    if kind == "test":
        yield entry("finding", test=steps[0], outcome=outcome)
        return
    tried = steps if outcome == STILL_THERE else steps[: draw.randint(1, len(steps))]
    for step in tried:
        yield entry("repair", repair=step)
        yield entry("proved", repair=step, result=CURED if outcome == CURED and step == tried[-1] else STILL_THERE)


def numbers(library: Library, printed: PrintedChart) -> Mapping[str, int]:
    drawn = label_plan(printed.plan, printed.problem, library, SYMPTOM, printed.equipment)
    return {box.id: box.number for box in drawn.boxes}


def test_a_call_that_follows_the_chart_stands_where_the_plan_says(
    engine: Chrome, library: Library, printed: PrintedChart, chart: object
) -> None:
    number = numbers(library, printed)
    ways = list(random_ways(printed, 60))
    assert len({here for _, _, here in ways}) > 2
    for log, path, here in ways:
        job = new_job([entry("symptom", symptom=SYMPTOM, present=True), *log])
        wanted = {"box": number[here] if here else None, "path": [number[name] for name in path], "left": False}
        assert asked(engine, PLACE, job, chart) == wanted


def test_a_call_that_does_something_else_has_left_the_chart(engine: Chrome, chart: object, library: Library) -> None:
    other = next(name for name in library.tests if name not in str(chart))
    outcome = next(iter(library.tests[other].outcomes))
    start = entry("symptom", symptom=SYMPTOM, present=True)
    job = new_job([start, entry("finding", test=other, outcome=outcome)])
    assert asked(engine, PLACE, job, chart) == {"box": None, "path": [], "left": True}
    noticed = new_job([start, entry("finding", test=other, outcome=outcome, noticed=True)])
    assert asked(engine, PLACE, noticed, chart)["left"] is False, "what was only noticed is no step"


def test_the_chart_of_what_is_fitted_is_chosen(engine: Chrome, chart: object) -> None:
    script = "const [job, charts] = arguments; return call.chartFor(charts, call.stateOf(job, library));"
    charts = [chart, {**chart, "name": "other", "equipment": {"water-feed": "automatic"}}]  # type: ignore[dict-item]
    start = entry("symptom", symptom=SYMPTOM, present=True)
    fitted = [[], *([entry("equipment", feature="water-feed", value=value)] for value in ("automatic", "manual"))]
    chosen = [asked(engine, script, new_job([start, *more]), charts) for more in fitted]
    assert [each and each["name"] for each in chosen] == [None, "other", VARIANT]


def test_a_question_on_the_chart_is_passed_once_what_is_fitted_is_known(engine: Chrome) -> None:
    """The answer is an entry about equipment, before the call comes to the box or while it stands there."""
    chart = {
        "boxes": [
            {"number": 1, "kind": "test", "steps": ["gauge-glass-blowdown"], "exits": {"prompt": 2}},
            {"number": 2, "kind": "test", "steps": ["equipment.water-feed"], "exits": {"manual": 3, "automatic": 4}},
            {"number": 3, "kind": "test", "steps": ["supply-pressure"], "exits": {}},
            {"number": 4, "kind": "hand-on", "steps": [], "exits": {}},
        ]
    }
    start = entry("symptom", symptom="boiler-overfills", present=True)
    seen = entry("finding", test="gauge-glass-blowdown", outcome="prompt")
    fitted = entry("equipment", feature="water-feed", value="manual")
    for log, box, path in (
        ([fitted], 1, []),
        ([seen], 2, [1]),
        ([seen, entry("equipment", feature="water-feed", value=None)], 2, [1]),
        ([seen, fitted], 3, [1, 2]),
        ([fitted, seen], 3, [1, 2]),
    ):
        assert asked(engine, PLACE, new_job([start, *log]), chart) == {"box": box, "path": path, "left": False}
