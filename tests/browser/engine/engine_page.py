"""A page that loads the engine under the content policy from the disk, and how it is asked."""

import math
import shutil
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

import faultleaf
from faultleaf.cards import Library
from faultleaf.diagnosis import ScoredStep, believe, rank_steps
from faultleaf.export import CALL_FILES, ENGINE_FILES, engine_scripts
from faultleaf.plugin.policy import policy_for
from selenium.webdriver import Chrome

from tests.browser.engine.cases import Case

SCRIPTS = Path(faultleaf.__file__).parent / "assets/js"
ENGINE = SCRIPTS / "engine"
CLOSE = 1e-9
"""How far a probability, or a share of the expected minutes, may be off."""
PAGE = """<!doctype html>
<html lang="en"><head><meta charset="utf-8"><title>Engine</title>
<meta http-equiv="Content-Security-Policy" content="{policy}"></head><body>
{scripts}
</body></html>
"""
ANSWERS = """
const engine = globalThis.faultleaf.engine, data = globalThis.faultleafData;
const parts = Object.keys(data).filter((key) => key !== "shared").map((key) => data[key]);
const library = engine.joinLibrary(data.shared, parts);
return arguments[0].map(({ call, problem: description, findings }) => {
  const problem = call ? engine.compileProblem(library, call) : engine.makeProblem(description, data.shared.constants);
  const belief = engine.believe(problem, findings);
  return {
    faults: problem.faults, causes: problem.causes, weights: [...problem.weights], ending: [...problem.ending],
    stops: problem.stops.length, hands: [...problem.tests, ...problem.repairs].map((step) => step.hands_on),
    refused: problem.refused, first: problem.first.map((place) => problem.tests[place].id),
    offered: problem.tests.filter((test) => test.offered).map((test) => test.id),
    minutes: problem.tests.map((test) => [test.minutes, test.least]),
    repairs: problem.repairs.map((repair) => [repair.id, repair.minutes, repair.failed_minutes, repair.by_other]),
    probabilities: [...belief.probabilities], impossible: belief.impossible, fits: belief.fits,
    ranked: engine.rankedCauses(problem, belief).map(([id]) => id), by_cause: Object.fromEntries(belief.byCause),
    stopped: belief.stops.map((stop) => [stop.test, stop.outcome, stop.caution, stop.call]),
    misfit: String(belief.misfit), blind: String(belief.blind),
    steps: engine.rankSteps(problem, belief), next: engine.nextStep(problem, belief),
  };
});
"""


def write_page(root: Path, library: Library) -> Path:
    """The page, with the engine, the record's scripts and the library's data beside it."""
    for folder in ("engine", "call"):
        shutil.copytree(SCRIPTS / folder, root / folder)
    for name, text in engine_scripts(library).items():
        path = root / "data" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    names = [f"engine/{name}.js" for name in ENGINE_FILES] + [f"call/{name}.js" for name in CALL_FILES]
    names += sorted(path.relative_to(root).as_posix() for path in (root / "data").rglob("*.js"))
    scripts = "\n".join(f'<script src="{name}"></script>' for name in names)
    page = root / "page.html"
    page.write_text(PAGE.format(policy=policy_for(scripts), scripts=scripts), encoding="utf-8")
    return page


def answers(driver: Chrome, cases: Iterable[Case]) -> list[Any]:
    """What the browser's engine says to each case."""
    found = driver.execute_script(ANSWERS, [case.given for case in cases])
    assert isinstance(found, list)
    return found


def differences(case: Case, answer: Mapping[str, Any]) -> list[str]:
    """Where the browser's answer is not Python's: the problem, the belief, and every step with its reasons."""
    problem, belief = case.problem, believe(case.problem, case.findings)
    alike = {
        "faults": list(problem.faults),
        "causes": list(problem.causes),
        "stops": len(problem.stops),
        "stopped": [[stop.test, stop.outcome, stop.caution, stop.call] for stop in belief.stops],
        "refused": list(problem.refused),
        "first": list(problem.first),
        "offered": [test.id for test in problem.tests if test.offered],
        "impossible": belief.impossible,
        "fits": belief.fits,
        "ranked": [fault for fault, _ in belief.ranked()],
    }
    wrong = [f"{name}: {answer[name]} and not {value}" for name, value in alike.items() if answer[name] != value]
    wrong += _unlike("probabilities", answer["probabilities"], belief.probabilities.tolist())
    wrong += _unlike("misfit", [float(answer[name]) for name in ("misfit", "blind")], [belief.misfit, belief.blind])
    wrong += _unlike("weights", answer["weights"], problem.weights.tolist())
    wrong += _unlike("by_cause", answer["by_cause"], dict(belief.by_cause))
    if problem.hand_on is not None:
        wrong += _unlike("ending", answer["ending"], problem.ending.tolist())
    minutes = [(test.minutes, test.minutes_together) for test in problem.tests]
    wrong += _unlike("minutes", answer["minutes"], minutes)
    repairs = [(each.id, each.minutes, each.failed_minutes, each.by_other) for each in problem.repairs]
    wrong += _unlike("repairs", answer["repairs"], repairs)
    if "call" in case.given:
        hands_on = [*(test.hands_on for test in problem.tests), *(repair.hands_on for repair in problem.repairs)]
        wrong += _unlike("hands_on", answer["hands"], hands_on)
    steps = [_plain(step) for step in rank_steps(problem, belief)]
    wrong += _unlike("steps", answer["steps"], steps)
    return wrong + _unlike("next", answer["next"], steps[0] if steps else None)


def _plain(step: ScoredStep) -> dict[str, Any]:
    why = {"apart": step.why.apart, "removes": step.why.removes, "opens": step.why.opens}
    return {
        "kind": step.kind, "id": step.id, "expected_minutes": step.expected_minutes, "cost_minutes": step.cost_minutes,
        "outcomes": step.outcomes, "splits": step.splits, "reason": step.reason, "why": why, "cautions": step.cautions,
    }  # fmt: skip


def _unlike(what: str, found: Any, wanted: Any) -> list[str]:
    """Where two values differ, numbers by over 1e-9 (of the larger where they are above 1)."""
    if isinstance(wanted, bool) or not isinstance(wanted, int | float | list | tuple | dict):
        return [] if found == wanted else [f"{what}: {found!r} and not {wanted!r}"]
    if isinstance(wanted, dict):
        return [line for key in wanted for line in _unlike(f"{what}.{key}", found[key], wanted[key])]
    if isinstance(wanted, list | tuple):
        if len(found) != len(wanted):
            return [f"{what}: {len(found)} and not {len(wanted)}"]
        pairs = enumerate(zip(found, wanted, strict=True))
        return [line for place, (one, other) in pairs for line in _unlike(f"{what}[{place}]", one, other)]
    # The driver hands an infinite number over as nothing.
    same = math.isclose(math.inf if found is None else found, wanted, rel_tol=CLOSE, abs_tol=CLOSE)
    return [] if same else [f"{what}: {found!r} and not {wanted!r}"]
