"""Drawn calls worked by the engine in Chromium, asked anew after each finding as the page asks it."""

from collections.abc import Sequence
from typing import Any

from faultleaf.diagnosis import CURED, STILL_THERE, Problem, believe, next_step
from faultleaf.diagnosis.played import DrawnCall, PlayedCall
from selenium.webdriver import Chrome

from tests.browser.engine.cases import described

PLAY = """
const engine = faultleaf.engine, [given, calls] = arguments, known = new Map();
const problem = engine.makeProblem(given, faultleafData.shared.constants);
const next = (findings) => {
  const key = JSON.stringify(findings);
  if (!known.has(key)) known.set(key, engine.nextStep(problem, engine.believe(problem, findings)));
  return known.get(key);
};
// What was spent is known once the outcome is: a repair that did not cure ends at the look that shows it (rule 6).
const spent = (step, outcome, fault) => {
  if (step.kind === "test") return step.cost_minutes;
  if (step.kind === "hand-on") return problem.ending[problem.faults.indexOf(fault)];
  const { minutes, failed_minutes: failed } = problem.repairs[problem.repairIndex.get(step.id)];
  return outcome === engine.CURED ? minutes : failed;
};
const play = ({ fault, shows, cures }) => {
  const findings = [], steps = [];
  for (let minutes = 0; ;) {
    const step = next(findings);
    const outcome = step.kind === "hand-on" ? "" : step.kind === "test" ? shows[step.id]
      : cures.includes(step.id) ? engine.CURED : engine.STILL_THERE;
    minutes += spent(step, outcome, fault);
    steps.push([step.id, outcome]);
    if (outcome === "" || outcome === engine.CURED) return { steps, minutes };
    findings.push([step.id, outcome]);
  }
};
return calls.map(play);
"""


def played_in_python(problem: Problem, call: DrawnCall) -> PlayedCall:
    """The call worked to its end, asked anew after each finding."""
    findings: dict[str, str] = {}
    steps, minutes = list[tuple[str, str]](), 0.0
    while True:
        step = next_step(problem, believe(problem, findings))
        assert step is not None
        if step.kind == "hand-on":
            owed = float(problem.ending[problem.faults.index(call.fault)])
            return PlayedCall((*steps, (step.id, "")), minutes + owed)
        if step.kind == "test":
            outcome, spent = call.shows[step.id], step.cost_minutes
        else:
            repair = problem.repairs[problem.repair_index[step.id]]
            cured = step.id in call.cures
            outcome, spent = (CURED, repair.minutes) if cured else (STILL_THERE, repair.failed_minutes)
        steps.append((step.id, outcome))
        minutes += spent
        if outcome == CURED:
            return PlayedCall(tuple(steps), minutes)
        findings[step.id] = outcome


def played_in_chromium(driver: Chrome, problem: Problem, calls: Sequence[DrawnCall]) -> list[PlayedCall]:
    """Each call worked to its end by the shipped policy."""
    given: list[Any] = [{"fault": call.fault, "shows": dict(call.shows), "cures": sorted(call.cures)} for call in calls]
    done = driver.execute_script(PLAY, described(problem), given)
    return [PlayedCall(tuple((step, seen) for step, seen in one["steps"]), one["minutes"]) for one in done]
