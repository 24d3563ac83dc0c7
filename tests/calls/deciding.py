"""The shipped policy, asked for many beliefs of one problem at once: in Python, or in Chromium's engine."""

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from faultleaf.diagnosis import Problem, believe, next_step
from faultleaf.diagnosis.step.rank import StepKind
from selenium.webdriver import Chrome

Findings = Mapping[str, str]
Key = tuple[tuple[str, str], ...]
Decision = tuple[StepKind, str]
"""The kind and the id of the next step."""
Decider = Callable[[Sequence[Findings]], list[Decision]]

AT_ONCE = 400
"""Beliefs in one script: a few seconds' work."""
NEXT = """
const engine = faultleaf.engine, data = faultleafData, [call, beliefs] = arguments;
const parts = Object.keys(data).filter((key) => key.startsWith("symptoms/")).map((key) => data[key]);
const problem = engine.compileProblem(engine.joinLibrary(data.shared, parts), call);
return beliefs.map((findings) => {
  const { kind, id } = engine.nextStep(problem, engine.believe(problem, findings));
  return [kind, id];
});
"""


def key_of(findings: Findings) -> Key:
    """The findings in their order, which tells what a failed repair makes of those before it (rule 7)."""
    return tuple(findings.items())


def in_python(problem: Problem) -> Decider:
    """Asks Python's engine."""

    def decide(beliefs: Sequence[Findings]) -> list[Decision]:
        return [_decision(problem, findings) for findings in beliefs]

    return decide


def _decision(problem: Problem, findings: Findings) -> Decision:
    step = next_step(problem, believe(problem, findings))
    assert step is not None, f"nothing can be done after {dict(findings)}"
    return step.kind, step.id


def in_chromium(driver: Chrome, given: Mapping[str, Any]) -> Decider:
    """Asks the browser's engine for the call that is given as `compileProblem` takes it."""

    def decide(beliefs: Sequence[Findings]) -> list[Decision]:
        found: list[Decision] = []
        for start in range(0, len(beliefs), AT_ONCE):
            some = [list(findings.items()) for findings in beliefs[start : start + AT_ONCE]]
            found += [(kind, step) for kind, step in driver.execute_script(NEXT, given, some)]
        return found

    return decide
