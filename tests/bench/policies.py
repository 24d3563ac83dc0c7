"""Our own ways of choosing the next step as rules, to stand beside the rules of thumb of `heuristics`."""

from faultleaf.diagnosis import Problem
from faultleaf.diagnosis.look import look
from faultleaf.diagnosis.policy import rolled_steps
from faultleaf.diagnosis.state import State
from faultleaf.diagnosis.steps import Choice


def ours(problem: Problem, state: State) -> Choice | None:
    """The next step as the command and the page choose it."""
    return next((choice for _, choice in rolled_steps(problem, state)), None)


def estimate(problem: Problem, state: State) -> Choice | None:
    """One step with our estimate after it."""
    seen = look(problem, state)
    row = seen.best(1.0)
    return None if row is None else seen.choices[row]
