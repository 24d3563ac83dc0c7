"""Drawn calls worked by the engine in Chromium, asked anew after each finding as the page asks it."""

from collections.abc import Sequence
from typing import Any

from faultleaf.diagnosis import Problem
from selenium.webdriver import Chrome

from tests.browser.engine.cases import described
from tests.calls.played import DrawnCall, PlayedCall

PLAY = """
const engine = faultleaf.engine, [given, calls] = arguments, known = new Map();
const problem = engine.makeProblem(given, faultleafData.shared.constants);
const next = (findings) => {
  const key = JSON.stringify(findings);
  if (!known.has(key)) known.set(key, engine.nextStep(problem, engine.believe(problem, findings)));
  return known.get(key);
};
const repaired = (id, cures) => {
  const { minutes, failed_minutes: failed } = problem.repairs[problem.repairIndex.get(id)];
  return cures.includes(id) ? [engine.CURED, minutes] : [engine.STILL_THERE, failed];
};
const play = ({ fault, shows, cures }) => {
  const steps = [];
  let findings = [];
  for (let minutes = 0; ;) {
    const { kind, id, cost_minutes: cost } = next(findings);
    if (kind === "hand-on") {
      return { steps: [...steps, [id, ""]], minutes: minutes + problem.ending[problem.faults.indexOf(fault)] };
    }
    const [outcome, spent] = kind === "test" ? [shows[id], cost] : repaired(id, cures);
    minutes += spent;
    steps.push([id, outcome]);
    if (outcome === engine.CURED) return { steps, minutes };
    findings = kind === "test" ? [...findings, [id, outcome]] : engine.notCured(problem, findings, id);
  }
};
return calls.map(play);
"""


def played_in_chromium(driver: Chrome, problem: Problem, calls: Sequence[DrawnCall]) -> list[PlayedCall]:
    """Each call worked to its end by the shipped policy."""
    given: list[Any] = [{"fault": call.fault, "shows": dict(call.shows), "cures": sorted(call.cures)} for call in calls]
    done = driver.execute_script(PLAY, described(problem), given)
    return [PlayedCall(tuple((step, seen) for step, seen in one["steps"]), one["minutes"]) for one in done]
