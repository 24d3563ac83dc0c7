"""Our own ways of choosing the next step as rules, to stand beside the rules of thumb of `heuristics`."""

from faultleaf.diagnosis import Problem, believe, next_step, not_cured
from faultleaf.diagnosis.model.state import State
from faultleaf.diagnosis.step.look import look
from faultleaf.diagnosis.step.steps import Choice


def findings_of(problem: Problem, state: State) -> dict[str, str]:
    """What was found on the way to this state, as a call being worked goes on with it."""
    findings: dict[str, str] = {}
    for kind, place, outcomes in state.path:
        if kind == "repair":
            findings = not_cured(problem, findings, problem.repairs[place].id)
        else:
            findings[problem.tests[place].id] = problem.tests[place].outcomes[outcomes[0]]
    return findings


def ours(problem: Problem, state: State) -> Choice | None:
    """The next step as the command and the page choose it."""
    step = next_step(problem, believe(problem, findings_of(problem, state)))
    if step is None:
        return None
    if step.kind == "test":
        return Choice("test", problem.test_index[step.id], step.id)
    if step.kind == "hand-on":
        return Choice("hand-on", -1, step.id)
    return Choice("repair", problem.repair_index[step.id], step.id)


def estimate(problem: Problem, state: State) -> Choice | None:
    """One step with our estimate after it."""
    seen = look(problem, state)
    row = seen.best(1.0)
    return None if row is None else seen.choices[row]
