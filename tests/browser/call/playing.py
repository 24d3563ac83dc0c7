"""Drawn calls worked by the engine in Chromium, asked anew after each finding as the page asks it."""

from collections.abc import Sequence
from typing import Any

from faultleaf.diagnosis import Problem
from faultleaf.diagnosis.played import DrawnCall, PlayedCall
from selenium.webdriver import Chrome

from tests.browser.engine.cases import described

PLAY = """
const engine = faultleaf.engine, [given, calls] = arguments, known = new Map();
const problem = engine.makeProblem(given, faultleafData.shared.constants);
const next = (findings) => {
  const key = JSON.stringify([...findings].sort());
  if (!known.has(key)) known.set(key, engine.nextStep(problem, engine.believe(problem, findings)));
  return known.get(key);
};
const play = ({ shows, cures }) => {
  const findings = [], steps = [];
  for (let minutes = 0; ;) {
    const step = next(findings);
    minutes += step.cost_minutes;
    const outcome = step.kind === "hand-on" ? "" : step.kind === "test" ? shows[step.id]
      : cures.includes(step.id) ? engine.CURED : engine.STILL_THERE;
    steps.push([step.id, outcome]);
    if (outcome === "" || outcome === engine.CURED) return { steps, minutes };
    findings.push([step.id, outcome]);
  }
};
return calls.map(play);
"""


def played_in_chromium(driver: Chrome, problem: Problem, calls: Sequence[DrawnCall]) -> list[PlayedCall]:
    """Each call worked to its end by the shipped policy."""
    given: list[Any] = [{"shows": dict(call.shows), "cures": sorted(call.cures)} for call in calls]
    done = driver.execute_script(PLAY, described(problem), given)
    return [PlayedCall(tuple((step, seen) for step, seen in one["steps"]), one["minutes"]) for one in done]
