"""Belief: Bayes' rule and what is said about findings that fit nothing."""

import random

import numpy as np
import pytest
from faultleaf.diagnosis import FindingError, Problem, believe, not_cured, parse_problem

from tests.diagnosis.problems import exact, messy, messy_problem


def random_findings(problem: Problem, draw: random.Random) -> dict[str, str]:
    """A random outcome for a random choice of tests."""
    chosen = [test for test in problem.tests if draw.random() < 0.7]
    return {test.id: draw.choice(test.outcomes) for test in chosen}


@pytest.mark.parametrize("seed", range(20))
def test_probabilities_are_the_product_rule_and_sum_to_one(seed: int) -> None:
    problem = messy_problem(seed)
    findings = random_findings(problem, random.Random(seed))
    weights = []
    for place in range(len(problem.faults)):
        weight = float(problem.weights[place])
        for test in problem.tests:
            if test.id in findings:
                weight *= float(test.table[place, test.outcomes.index(findings[test.id])])
        weights.append(weight)
    belief = believe(problem, findings)
    assert belief.probabilities == pytest.approx(np.array(weights) / sum(weights), rel=1e-12)
    assert float(belief.probabilities.sum()) == pytest.approx(1, abs=1e-12)


@pytest.mark.parametrize("seed", range(10))
def test_order_of_findings_does_not_matter(seed: int) -> None:
    problem = messy_problem(seed)
    findings = random_findings(problem, random.Random(seed))
    backwards = dict(reversed(findings.items()))
    assert believe(problem, findings).probabilities.tobytes() == believe(problem, backwards).probabilities.tobytes()


def test_ranked_causes_likeliest_first_equal_ones_by_id() -> None:
    belief = believe(parse_problem(exact((1, 2, 1), (9, 9, 9))), {})
    assert [fault for fault, _ in belief.ranked()] == ["f1", "f0", "f2"]


def test_impossible_findings_say_so_instead_of_nan() -> None:
    problem = parse_problem(exact((1, 1), (9, 9), [({0}, 1), ({0}, 1)]))
    belief = believe(problem, {"t0": "yes", "t1": "no"})
    assert belief.impossible
    assert not belief.fits
    assert belief.probabilities.tolist() == [0, 0]


def test_findings_that_the_unlisted_cause_explains_best_fit_no_card() -> None:
    data = exact((1, 1), (9, 9), [({0, 1}, 1), ({0, 1}, 1)], hand_on=60, noise=0.02)
    data["faults"].append({"id": "unlisted", "weight": 0.1})
    problem = parse_problem(data)
    assert believe(problem, {"t0": "yes", "t1": "yes"}).fits
    assert not believe(problem, {"t0": "no", "t1": "no"}).fits
    assert believe(problem, {"t0": "no", "t1": "no"}).misfit == pytest.approx(0.25 / 0.0004)


def test_a_hundred_times_likelier_without_a_card_fits_no_card() -> None:
    # Six tests: P(all no | nothing named) = .98^6; both cards show "no" with .454 or .456: 101 or 99 times.
    # Picked blindly, .5^6, they are less than twice as likely.
    def fits(chance: float) -> bool:
        given = {"f0": [1 - chance, chance], "f1": [1 - chance, chance]}
        rows = {"minutes": 1, "outcomes": ["yes", "no"], "otherwise": [0.02, 0.98], "given": given}
        data = {**exact((1, 1), (9, 9)), "tests": [{"id": f"t{number}", **rows} for number in range(6)]}
        return believe(parse_problem(data), {f"t{number}": "no" for number in range(6)}).fits

    assert not fits(0.454)
    assert fits(0.456)


def test_three_times_likelier_picked_blindly_fits_no_card() -> None:
    # Two outcomes, picked blindly .5 each; both cards show "no" with .16 or .17.
    assert not believe(parse_problem(exact((1, 1), (9, 9), [({0, 1}, 1)], noise=0.16)), {"t0": "no"}).fits
    assert believe(parse_problem(exact((1, 1), (9, 9), [({0, 1}, 1)], noise=0.17)), {"t0": "no"}).fits
    # P(no | nothing named) is .5 too: far from a hundred times.
    assert believe(parse_problem(exact((1, 1), (9, 9), [({0, 1}, 1)], noise=0.16)), {"t0": "no"}).misfit < 4


def test_a_repair_that_did_not_cure_weighs_less() -> None:
    data = exact((1, 1), (9, 9), hand_on=60)
    data["repairs"][0]["fixes"] = {"f0": 0.75}
    belief = believe(parse_problem(data), {"r0": "still-there"})
    assert belief.probabilities == pytest.approx([0.2, 0.8])


def test_restored_findings_open_what_was_forbidden() -> None:
    data = exact((1, 1), (9, 9), [({0}, 1), ({1}, 1)], hand_on=60, needs={"t1": {"t0": "yes"}})
    data["repairs"][0]["restore"] = {"t0": "yes"}
    problem = parse_problem(data)
    findings = not_cured(problem, {"t0": "no"}, "r0")
    assert findings == {"t0": "yes", "r0": "still-there"}


@pytest.mark.parametrize(
    ("findings", "message"),
    [
        ({"t9": "yes"}, "there is no test or repair 't9' in this problem"),
        ({"t0": "maybe"}, "test t0 has no outcome 'maybe'; it has yes, no"),
        ({"r0": "cured"}, "repair r0: expected 'still-there', found 'cured'"),
    ],
)
def test_unknown_findings_are_refused_by_name(findings: dict[str, str], message: str) -> None:
    problem = parse_problem(exact((1, 1), (9, 9), [({0}, 1)]))
    with pytest.raises(FindingError) as refused:
        believe(problem, findings)
    assert str(refused.value) == message


def test_relabelling_moves_the_probabilities_along() -> None:
    data = messy(3)
    renamed = {**data, "faults": [data["faults"][i] for i in (2, 0, 3, 1)] + [data["faults"][4]]}
    findings = {"t0": "o0", "t2": "o1"}
    one, other = (dict(believe(parse_problem(d), findings).ranked()) for d in (data, renamed))
    assert one == pytest.approx(other)
