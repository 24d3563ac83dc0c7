"""Belief, next step and plan for one call: pure computation on a `Problem`.

The outside is small on purpose: make a problem (`compile_problem` from cards, `parse_problem` from a
problem file), `believe` the findings, `rank_steps` or `next_step`, or `plan` the whole chart. `figured` does
all that is costly at once, and says what it is worth.
"""

from faultleaf.diagnosis.chart.boxes import Box, Exit, Plan, evaluate_plan
from faultleaf.diagnosis.chart.plan import lower_bound, plan, plans
from faultleaf.diagnosis.chart.tree import PlanError
from faultleaf.diagnosis.model.compile import compile_problem
from faultleaf.diagnosis.model.problem import (
    CURED,
    HAND_ON,
    STILL_THERE,
    UNLISTED,
    DiagnosisError,
    Problem,
    ProblemError,
    Repair,
    Test,
)
from faultleaf.diagnosis.model.problem_file import parse_problem
from faultleaf.diagnosis.proof.solve import Solution, solve
from faultleaf.diagnosis.step.belief import Belief, FindingError, believe, not_cured
from faultleaf.diagnosis.step.rank import ScoredStep, Why, next_step, rank_steps
from faultleaf.diagnosis.worth.figured import Effort, Figured, Worth, figured

__all__ = [
    "CURED", "HAND_ON", "STILL_THERE", "UNLISTED", "Belief", "Box", "DiagnosisError", "Effort", "Exit",
    "Figured", "FindingError", "Plan", "PlanError", "Problem", "ProblemError", "Repair", "ScoredStep",
    "Solution", "Test", "Why", "Worth", "believe", "compile_problem", "evaluate_plan", "figured", "lower_bound",
    "next_step", "not_cured", "parse_problem", "plan", "plans", "rank_steps", "solve",
]  # fmt: skip
