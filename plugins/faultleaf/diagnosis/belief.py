"""From findings to the weights of the causes: Bayes' rule for one fault at a time.

With w(f) the prior weight and P(o | t, f) a test's row, the weight after the findings t=o is
w(f) · Π P(o | t, f); findings are independent given the fault. Reference: D. Heckerman, J. Breese,
K. Rommelse, "Decision-theoretic troubleshooting", Communications of the ACM 38 (1995) no. 3.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from faultleaf.diagnosis.leaf import round9
from faultleaf.diagnosis.problem import STILL_THERE, UNLISTED, DiagnosisError, Floats, Problem, frozen_array
from faultleaf.diagnosis.state import State, after_failed, after_test, start_state

UNLISTED_LIMIT = 0.5
"""Above this probability of the unlisted cause the findings fit no card (DESIGN.md, model, rule 14)."""

MISFIT_RATIO = 100.0
"""So many times likelier without any named fault than with the best card: they fit no card (rule 14)."""

BLIND_RATIO = 3.0
"""So many times likelier with every outcome picked blindly than with the best card: they fit no card either.

Rule 14 alone notices hardly any senseless findings, since a fault takes `otherwise` for every test that its
card does not name, so that the best card is seldom much worse. Chosen by measuring (page "about the numbers")."""


class FindingError(DiagnosisError):
    """A finding that names a test or an outcome the problem does not have."""


@dataclass(frozen=True, eq=False)
class Belief:
    """What the findings say. `weights` and `probabilities` go with `faults`, in the same order.

    `impossible`: no cause, not even an unlisted one, can show these findings; all probabilities are 0.
    `fits`: False where the findings fit no card (rule 14), so that the reader is told to look wider.
    `misfit`: how many times likelier the findings are without any named fault than under the best card;
    `blind`: with every outcome picked blindly.
    `state` is the same in the form the search works on.
    """

    faults: tuple[str, ...]
    findings: tuple[tuple[str, str], ...]
    weights: Floats
    probabilities: Floats
    impossible: bool
    fits: bool
    misfit: float
    blind: float
    state: State

    def ranked(self) -> tuple[tuple[str, float], ...]:
        """The causes with their probabilities, likeliest first, those equal to 9 significant digits by id."""
        pairs = zip(self.faults, (float(value) for value in self.probabilities), strict=True)
        return tuple(sorted(pairs, key=lambda pair: (-round9(pair[1]), pair[0])))


def believe(problem: Problem, findings: Mapping[str, str]) -> Belief:
    """The belief after the findings, whatever their order.

    `findings` maps a test's id to the outcome seen, and a repair's id to "still-there" where it was
    done and did not cure. Raises FindingError for a name that the problem does not have.

    >>> from faultleaf.diagnosis import parse_problem
    >>> coin = parse_problem({"faults": [{"id": "a", "weight": 1}, {"id": "b", "weight": 1}],
    ...     "tests": [{"id": "t", "minutes": 1, "outcomes": ["y", "n"], "given": {"a": [0.9, 0.1]}}],
    ...     "hand_on": {"minutes": 60}})
    >>> [round(float(p), 4) for p in believe(coin, {"t": "y"}).probabilities]
    [0.6429, 0.3571]
    """
    state = start_state(problem)
    for name, seen in sorted(findings.items(), key=lambda found: (found[0] in problem.repair_index, found[0])):
        state = _found(problem, state, name, seen)
    total = state.total
    impossible = not total > 0
    probabilities = frozen_array(np.zeros(len(problem.faults)) if impossible else state.weights / total)
    misfit, blind = _misfits(problem, findings)
    # Rounded, so that a value on the limit falls on one side in both languages.
    likely = round9(_unlisted(problem, probabilities)) <= UNLISTED_LIMIT
    fits = likely and round9(misfit) < MISFIT_RATIO and round9(blind) < BLIND_RATIO
    return Belief(
        problem.faults,
        tuple(sorted(findings.items())),
        state.weights,
        probabilities,
        impossible,
        fits and not impossible,
        misfit,
        blind,
        state,
    )


def _found(problem: Problem, state: State, name: str, seen: str) -> State:
    if name in problem.repair_index:
        if seen != STILL_THERE:
            raise FindingError(f"repair {name}: expected '{STILL_THERE}', found '{seen}'")
        return after_failed(problem, state, problem.repair_index[name])
    if name not in problem.test_index:
        raise FindingError(f"there is no test or repair '{name}' in this problem")
    index = problem.test_index[name]
    outcomes = problem.tests[index].outcomes
    if seen not in outcomes:
        raise FindingError(f"test {name} has no outcome '{seen}'; it has {', '.join(outcomes)}")
    return after_test(problem, state, index, (outcomes.index(seen),))


def _unlisted(problem: Problem, probabilities: Floats) -> float:
    return float(probabilities[-1]) if problem.faults[-1:] == (UNLISTED,) else 0.0


def _misfits(problem: Problem, findings: Mapping[str, str]) -> tuple[float, float]:
    """P(findings | nothing named) and P(findings | picked blindly), each over max over cards of
    P(findings | fault); 1 without findings.

    What equipment is there is no sign of a fault: it only rules cards out.
    """
    alive = problem.weights > 0
    if problem.faults[-1:] == (UNLISTED,):
        alive = alive & (np.arange(len(problem.faults)) < len(problem.faults) - 1)
    likelihood = alive.astype(np.float64)
    independent = blind = 1.0
    for name in sorted(set(findings) & set(problem.test_index)):
        test = problem.tests[problem.test_index[name]]
        column = test.outcomes.index(findings[name])
        if test.equipment:
            likelihood = likelihood * (test.table[:, column] > 0)
        else:
            likelihood = likelihood * test.table[:, column]
            independent *= float(test.otherwise[column])
            blind /= len(test.outcomes)
    best = float(likelihood.max(initial=0.0))
    return _over(independent, best), _over(blind, best)


def _over(chance: float, best: float) -> float:
    if best > 0:
        return chance / best
    return float("inf") if chance > 0 else 1.0


def not_cured(problem: Problem, findings: Mapping[str, str], repair: str) -> dict[str, str]:
    """The findings to go on with when the repair was proved not to have cured, on a call being worked.

    Findings of tests that the repaired card names stop counting and may be retaken, since a second
    fault may be there (DESIGN.md, model, rule 7); what the repair restores is set.
    """
    card = problem.repairs[problem.repair_index[repair]]
    kept = {name: seen for name, seen in findings.items() if name not in card.retake}
    return {**kept, **card.restore, card.id: STILL_THERE}
