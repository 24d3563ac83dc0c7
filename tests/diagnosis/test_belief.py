"""Belief: Bayes' rule and what is said about findings that fit nothing."""

import random

import numpy as np
import pytest
from faultleaf.diagnosis import FindingError, Problem, believe, not_cured, parse_problem

from tests.diagnosis.problems import exact, messy, messy_problem, rich


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


def test_after_a_repair_that_did_not_cure_there_may_have_been_two() -> None:
    # Rule 7: f0 keeps 1 − .75; f1 is there alone (1), or beside f0, which half of the calls have (1 · ½).
    data = exact((1, 1), (9, 9), hand_on=60)
    data["repairs"][0]["fixes"] = {"f0": 0.75}
    belief = believe(parse_problem(data), {"r0": "still-there"})
    assert belief.probabilities == pytest.approx([0.25 / 1.75, 1.5 / 1.75])


def test_findings_that_the_repaired_fault_explained_fade_and_the_others_stay() -> None:
    # f0 and f2 are alike at t1; only f0 shows "yes" at t0. L before: f0 .9·.8, f1 .1·.2, f2 .1·.8; q(f0) = 1/3.
    data = exact((1, 1, 1), (9, 9, 9), [({0}, 1), ({0, 2}, 1)], hand_on=60)
    data["tests"][0]["given"] = {"f0": [0.9, 0.1], "f1": [0.1, 0.9], "f2": [0.1, 0.9]}
    data["tests"][1]["given"] = {"f0": [0.8, 0.2], "f1": [0.2, 0.8], "f2": [0.8, 0.2]}
    problem = parse_problem(data)
    twice = 0.72 / 3
    after = np.array([0.0, 0.02 + twice, 0.08 + twice])
    found = believe(problem, {"t0": "yes", "t1": "yes", "r0": "still-there"})
    assert found.probabilities == pytest.approx(after / after.sum())
    # What is found later counts for both ways in which it may have been.
    later = believe(problem, {"t0": "yes", "r0": "still-there", "t1": "yes"})
    both = np.array([0.0, (0.1 + 0.9 / 3) * 0.2, (0.1 + 0.9 / 3) * 0.8])
    assert later.probabilities == pytest.approx(both / both.sum())


def rule_seven(problem: Problem, findings: dict[str, str]) -> list[float]:
    """The weights one finding at a time, in plain numbers."""
    whole = sum(problem.weights.tolist())
    seen = [1.0] * len(problem.faults)
    for name, outcome in findings.items():
        if name in problem.test_index:
            test = problem.tests[problem.test_index[name]]
            column = test.outcomes.index(outcome)
            seen = [chance * float(test.table[row, column]) for row, chance in enumerate(seen)]
            continue
        repair = problem.repairs[problem.repair_index[name]]
        own = [row for row, cause in enumerate(problem.causes) if cause == repair.fault]
        besides = sum(float(problem.weights[row]) * seen[row] for row in own) / whole
        for row, fixes in enumerate(repair.fixes.tolist()):
            seen[row] = seen[row] * (1 - fixes) if fixes else seen[row] + besides
    return [float(weight) * chance for weight, chance in zip(problem.weights, seen, strict=True)]


@pytest.mark.parametrize("seed", range(40))
def test_weights_after_failed_repairs_in_plain_numbers(seed: int) -> None:
    data = rich(seed)
    for step in (*data["tests"], *data["repairs"]):
        step.pop("restore", None)
        step.pop("renews", None)
    problem, draw = parse_problem(data), random.Random(seed)
    findings = random_findings(problem, draw)
    findings |= {repair.id: "still-there" for repair in draw.sample(problem.repairs, 2)}
    ordered = dict(draw.sample(list(findings.items()), len(findings)))
    weights = np.array(rule_seven(problem, ordered))
    assert believe(problem, ordered).weights == pytest.approx(weights, rel=1e-12)
    assert believe(problem, ordered).probabilities == pytest.approx(weights / weights.sum(), rel=1e-12)


@pytest.mark.parametrize("seed", range(10))
def test_findings_between_two_repairs_come_in_any_order(seed: int) -> None:
    problem, draw = parse_problem(rich(seed)), random.Random(seed)
    before, after = list(random_findings(problem, draw).items())[:2], ("r0", "still-there")
    for test in problem.tests:
        assert not test.renews or test.id == problem.tests[-1].id
    one, other = ({**dict(way), after[0]: after[1]} for way in (before, before[::-1]))
    assert believe(problem, one).weights.tobytes() == believe(problem, other).weights.tobytes()


def test_a_finding_that_a_later_step_sets_anew_is_known_but_no_evidence() -> None:
    data = exact((1, 1), (9, 9), [({0}, 1), ({1}, 1)], hand_on=60, noise=0.2)
    data["tests"][1]["renews"] = {"yes": {"t0": "no"}}
    problem = parse_problem(data)
    belief = believe(problem, {"t0": "yes", "t1": "yes"})
    assert belief.state.known["t0"] == {"no"}
    assert belief.probabilities == pytest.approx([0.2, 0.8])
    # The other outcome sets nothing; and a look made after the renewing is evidence again.
    assert believe(problem, {"t0": "yes", "t1": "no"}).state.known["t0"] == {"yes"}
    again = believe(problem, {"t1": "yes", "t0": "yes"})
    assert again.state.known["t0"] == {"yes"}
    assert again.probabilities == pytest.approx([0.5, 0.5])


def test_what_a_failed_repair_restored_is_known_but_no_evidence() -> None:
    data = exact((1, 1), (9, 9), [({0}, 1)], hand_on=60, noise=0.2)
    data["repairs"][0]["restore"] = {"t0": "yes"}
    problem = parse_problem(data)
    belief = believe(problem, not_cured(problem, {"t0": "no"}, "r0"))
    assert belief.state.known["t0"] == {"yes"}
    assert belief.probabilities == pytest.approx([0, 1])


def test_active_stops_are_told_and_a_finding_set_anew_ends_them() -> None:
    data = exact((1, 1), (9, 9), [({0}, 1), ({1}, 1)], hand_on=60, noise=0.2)
    data["stops"] = [{"test": "t0", "outcome": "yes", "allows": ["t1"], "caution": "scald", "call": "the maker"}]
    data["tests"][1]["renews"] = {"yes": {"t0": "no"}}
    problem = parse_problem(data)
    assert believe(problem, {"t0": "no"}).stops == ()
    assert [stop.caution for stop in believe(problem, {"t0": "yes"}).stops] == ["scald"]
    assert believe(problem, {"t0": "yes", "t1": "yes"}).stops == ()
    assert len(believe(problem, {"t0": "yes", "t1": "no"}).stops) == 1


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
