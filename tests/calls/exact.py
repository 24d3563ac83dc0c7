"""What the shipped policy costs, worked out over everything that may be seen instead of played.

Two ways to one belief do not meet: the policy takes one step at each, so its findings tell their order. A belief is
come to by a share of the calls that is Σ weights there over Σ weights at the start. Where fewer than a given share
of the calls come, the unfolding ends: what is before that *edge* is exact, what is after it is bounded.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from faultleaf.diagnosis import Problem, believe
from faultleaf.diagnosis.played import PlayedCall

from tests.calls.deciding import Decider, Decision, Findings, Key, key_of
from tests.calls.playing import as_planned, minutes_of


@dataclass(frozen=True)
class Exact:
    """The policy's cost per call, as planned (findings are kept when a repair did not cure).

    `states`: beliefs before the edge. `minutes`, `handed_on`: what comes before the edge. `past`: the share of calls
    that go past it, `least` and `most` the minutes that they cost there at least and at most, times that share.
    """

    states: int = 0
    minutes: float = 0.0
    handed_on: float = 0.0
    past: float = 0.0
    least: float = 0.0
    most: float = 0.0


@dataclass(frozen=True)
class Before:
    """What of a played call lies before the edge, to be held beside `Exact`."""

    minutes: float
    handed_on: bool
    past: bool


def unfold(problem: Problem, decide: Decider, decided: dict[Key, Decision], edge: float) -> Exact:
    """The cost of the policy, exact as far as a share of at least `edge` of the calls comes; `decided` is added to."""
    found, level = Exact(), list[tuple[Findings, float]]([({}, 1.0)])
    while level:
        for findings, share in level:
            found = found if share >= edge else _past(problem, found, findings, share)
        level = [(findings, share) for findings, share in level if share >= edge]
        new = [findings for findings, _ in level if key_of(findings) not in decided]
        decided |= zip(map(key_of, new), decide(new), strict=True)
        for findings, share in level:
            found = _before(problem, found, decided[key_of(findings)], share)
        level = [on for findings, _ in level for on in _after(problem, findings, decided[key_of(findings)])]
    return found


def share_of(problem: Problem, findings: Findings) -> float:
    """The share of the calls that come to this belief."""
    return believe(problem, findings).state.total / float(problem.weights.sum())


def before_edge(problem: Problem, call: PlayedCall, edge: float, shares: dict[Key, float]) -> Before:
    """The part of a call, played as planned, that lies before the edge; `shares` of beliefs is added to."""
    findings: dict[str, str] = {}
    minutes = 0.0
    for step, outcome in call.steps:
        key = key_of(findings)
        if key not in shares:
            shares[key] = share_of(problem, findings)
        if shares[key] < edge:
            return Before(minutes, handed_on=False, past=True)
        findings[step] = outcome
        minutes += minutes_of(problem, step)
    return Before(minutes, call.handed_on, past=False)


def _before(problem: Problem, found: Exact, decision: Decision, share: float) -> Exact:
    kind, step = decision
    minutes = found.minutes + share * minutes_of(problem, step)
    handed_on = found.handed_on + share * (kind == "hand-on")
    return replace(found, states=found.states + 1, minutes=minutes, handed_on=handed_on)


def _after(problem: Problem, findings: Findings, decision: Decision) -> Iterator[tuple[Findings, float]]:
    """The beliefs that the step leads to with their shares, without those that nobody comes to."""
    kind, step = decision
    if kind == "hand-on":
        return
    ways: list[Mapping[str, str]] = [as_planned(problem, findings, step)]
    if kind == "test":
        ways = [{**findings, step: outcome} for outcome in problem.tests[problem.test_index[step]].outcomes]
    shares = [share_of(problem, way) for way in ways]
    yield from ((way, share) for way, share in zip(ways, shares, strict=True) if share > 0)


def _past(problem: Problem, found: Exact, findings: Findings, share: float) -> Exact:
    """Past the edge: at least the cheapest end for each cause, at most all steps that are left, and handing on."""
    belief = believe(problem, findings)
    steps = [test.minutes for test in problem.tests if test.offered and test.id not in findings]
    steps += [repair.minutes for repair in problem.repairs if repair.id not in findings]
    least = share * float(belief.probabilities @ problem.floor)
    most = share * (sum(steps) + (problem.hand_on or 0.0))
    return replace(found, past=found.past + share, least=found.least + least, most=found.most + most)
