"""From findings to the weights of the causes: Bayes' rule for one fault at a time.

With w(f) the prior weight and P(o | t, f) a test's row, the weight after the findings t=o is
w(f) · Π P(o | t, f); findings are independent given the fault (or its way of showing). Reference:
D. Heckerman, J. Breese, K. Rommelse, "Decision-theoretic troubleshooting", Communications of the ACM 38 (1995) no. 3.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from faultleaf.diagnosis.model.problem import STILL_THERE, UNLISTED, DiagnosisError, Floats, Problem, Stop, frozen_array
from faultleaf.diagnosis.model.state import State, Step
from faultleaf.diagnosis.step.leaf import round9

UNLISTED_LIMIT = 0.5
"""Above this probability of the unlisted cause the findings fit no card (MODEL.md, rule 14)."""

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
    """What the findings say. `weights` and `probabilities` go with the rows of the problem, in the same order;
    `causes` are the fault cards of these rows.

    `impossible`: no cause, not even an unlisted one, can show these findings; all probabilities are 0.
    `fits`: False where the findings fit no card (rule 14), so that the reader is told to look wider.
    `misfit`: how many times likelier the findings are without any named fault than under the best card;
    `blind`: with every outcome picked blindly.
    `stops`: the outcomes found that end everything but what they allow (rule 16).
    `state` is the same in the form the search works on.
    """

    causes: tuple[str, ...]
    findings: tuple[tuple[str, str], ...]
    weights: Floats
    probabilities: Floats
    impossible: bool
    fits: bool
    misfit: float
    blind: float
    stops: tuple[Stop, ...]
    state: State

    @cached_property
    def by_cause(self) -> Mapping[str, float]:
        """Each fault card's probability: the sum of its rows (rule 18)."""
        found = dict.fromkeys(self.causes, 0.0)
        for cause, probability in zip(self.causes, self.probabilities.tolist(), strict=True):
            found[cause] += probability
        return found

    def ranked(self) -> tuple[tuple[str, float], ...]:
        """The causes with their probabilities, likeliest first, those equal to 9 significant digits by id."""
        return tuple(sorted(self.by_cause.items(), key=lambda pair: (-round9(pair[1]), pair[0])))


def believe(problem: Problem, findings: Mapping[str, str]) -> Belief:
    """The belief after the findings, in the order in which they came.

    `findings` maps a test's id to the outcome seen, and a repair's id to "still-there" where it was
    done and did not cure. The order matters for two things alone: what a failed repair makes of the
    findings before it (rule 7), and which findings a step set anew (rule 17): those before it.
    Raises FindingError for a name that the problem does not have.

    >>> from faultleaf.diagnosis import parse_problem
    >>> coin = parse_problem({"faults": [{"id": "a", "weight": 1}, {"id": "b", "weight": 1}],
    ...     "tests": [{"id": "t", "minutes": 1, "outcomes": ["y", "n"], "given": {"a": [0.9, 0.1]}}],
    ...     "hand_on": {"minutes": 60}})
    >>> [round(float(p), 4) for p in believe(coin, {"t": "y"}).probabilities]
    [0.6429, 0.3571]
    """
    known = _known(problem, findings)
    likelihood = _likelihood(problem, known)
    state = State(
        frozen_array(problem.weights * likelihood),
        {name: frozenset([seen]) for name, (seen, _) in known.items() if name in problem.test_index},
        frozenset(name for name in known if name in problem.repair_index),
        tuple(_step(problem, name, seen) for name, (seen, _) in known.items()),
    )
    total = state.total
    impossible = not total > 0
    probabilities = frozen_array(np.zeros(len(problem.faults)) if impossible else state.weights / total)
    misfit, blind = _misfits(problem, known)
    # Rounded, so that a value on the limit falls on one side in both languages.
    likely = round9(_unlisted(problem, probabilities)) <= UNLISTED_LIMIT
    fits = likely and round9(misfit) < MISFIT_RATIO and round9(blind) < BLIND_RATIO
    stops = tuple(stop for stop in problem.stops if stop.outcome in state.known.get(stop.test, ()))
    return Belief(
        problem.causes,
        tuple(sorted(findings.items())),
        state.weights,
        probabilities,
        impossible,
        fits and not impossible,
        misfit,
        blind,
        stops,
        state,
    )


Known = Mapping[str, tuple[str, bool]]
"""Step → what is known of it now, and whether that was seen (False: a later step set it)."""


def _known(problem: Problem, findings: Mapping[str, str]) -> Known:
    """The findings as they stand now: what a later step set anew is no longer what was seen."""
    known: dict[str, tuple[str, bool]] = {}
    for name, seen in findings.items():
        known.pop(name, None)  # what set it before is over: it counts from here on
        if name in problem.repair_index:
            if seen != STILL_THERE:
                raise FindingError(f"repair {name}: expected '{STILL_THERE}', found '{seen}'")
            known[name] = (seen, True)
            restored = problem.repairs[problem.repair_index[name]].restore
            known.update({test: (new, False) for test, new in restored.items() if findings.get(test) == new})
            continue
        if name not in problem.test_index:
            raise FindingError(f"there is no test or repair '{name}' in this problem")
        card = problem.tests[problem.test_index[name]]
        if seen not in card.outcomes:
            raise FindingError(f"test {name} has no outcome '{seen}'; it has {', '.join(card.outcomes)}")
        known[name] = (seen, True)
        known.update({test: (new, False) for test, new in card.renews.get(seen, {}).items()})
    return known


def _step(problem: Problem, name: str, seen: str) -> Step:
    if name in problem.repair_index:
        return "repair", problem.repair_index[name], ()
    place = problem.test_index[name]
    return "test", place, (problem.tests[place].outcomes.index(seen),)


def _likelihood(problem: Problem, known: Known) -> Floats:
    """(F,): P(findings | fault), with what failed repairs say (rule 7).

    A repair that did not cure leaves 1 − fixes of what it fixes. For every other fault g either it was g all
    along, or there were two: L(g) becomes L(g) + q·L(f), q being the prior chance of the repaired fault f.
    So findings that f explained far better than g fade, the others stay.
    """
    likelihood = np.ones(len(problem.faults))
    for name in _in_stretches(problem, known):
        seen, was_seen = known[name]
        if name in problem.repair_index:
            repair = problem.repairs[problem.repair_index[name]]
            rows = list(problem.cause_rows.get(repair.fault, ()))
            twice = float(problem.weights[rows] @ likelihood[rows]) / float(problem.weights.sum())
            likelihood = np.where(repair.fixes > 0, likelihood * (1 - repair.fixes), likelihood + twice)
        elif was_seen:
            card = problem.tests[problem.test_index[name]]
            likelihood = likelihood * card.table[:, card.outcomes.index(seen)]
    return likelihood


def _in_stretches(problem: Problem, known: Known) -> list[str]:
    """The names in their order, those between two repairs by id, so that equal findings give equal floats."""
    order, stretch = list[str](), list[str]()
    for name in known:
        if name in problem.repair_index:
            order += [*sorted(stretch), name]
            stretch = []
        else:
            stretch.append(name)
    return order + sorted(stretch)


def _unlisted(problem: Problem, probabilities: Floats) -> float:
    return float(probabilities[-1]) if problem.faults[-1:] == (UNLISTED,) else 0.0


def _misfits(problem: Problem, known: Known) -> tuple[float, float]:
    """P(findings | nothing named) and P(findings | picked blindly), each over max over cards of
    P(findings | fault); 1 without findings.

    What equipment is there is no sign of a fault: it only rules cards out.
    """
    alive = problem.weights > 0
    if problem.faults[-1:] == (UNLISTED,):
        alive = alive & (np.arange(len(problem.faults)) < len(problem.faults) - 1)
    likelihood = alive.astype(np.float64)
    independent = blind = 1.0
    for name in sorted(name for name, (_, was_seen) in known.items() if was_seen and name in problem.test_index):
        test = problem.tests[problem.test_index[name]]
        column = test.outcomes.index(known[name][0])
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

    All that was found stays (what it then says is rule 7); what the repair restores is set.
    """
    card = problem.repairs[problem.repair_index[repair]]
    return {**findings, **card.restore, card.id: STILL_THERE}
