"""What calls are drawn from: every shipped symptom on each kind of system."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from faultleaf.cards import Library
from faultleaf.diagnosis import Problem, compile_problem

WATER_SIDE = ("boiler-overfills", "gauge-glass-misleading", "low-water-shutdown")
"""Calls in which a stop or a bad glass is often met, and that are played most; on the others both are rare."""


@dataclass(frozen=True, eq=False)
class Setting:
    """A symptom on a system. `given`: the same as the browser's `compileProblem` takes it."""

    symptom: str
    variant: str
    problem: Problem
    given: Mapping[str, Any]

    @property
    def name(self) -> str:
        """Symptom and variant."""
        return f"{self.symptom}, {self.variant}"


def shipped_settings(library: Library) -> Iterator[Setting]:
    """Each symptom where nothing is known of the equipment (its features are then drawn by their shares when they are
    asked after: model, rule 4), and on each of its printed variants. Nobody works an emergency."""
    for symptom in (each for each in library.symptoms.values() if not each.emergency):
        for variant, equipment in {"unknown equipment": {}, **symptom.variants}.items():
            problem = compile_problem(library, [symptom.id], equipment=equipment)
            yield Setting(symptom.id, variant, problem, {"symptoms": [symptom.id], "equipment": equipment})
