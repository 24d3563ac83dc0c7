"""One state of the search for the cheapest plan, with what is known of its value from both sides."""

from dataclasses import dataclass, field

import numpy as np

from faultleaf.diagnosis.model.problem import Floats
from faultleaf.diagnosis.model.state import State
from faultleaf.diagnosis.proof.pair_table import Table
from faultleaf.diagnosis.step.leaf import round9
from faultleaf.diagnosis.step.steps import Choice

CLOSE = 1e-9
"""Bounds that differ by less than this share of the value have met."""

Place = tuple[int, int]
"""The row of a step and the column of its outcome."""


@dataclass(frozen=True, eq=False)
class Steps:
    """What may be done at a spot: `minutes` (steps,), P(outcome) `shares` (steps, outcomes), and the two
    bounds of what follows each outcome, in minutes per call that comes there."""

    choices: tuple[Choice, ...]
    minutes: Floats
    shares: Floats
    lows: Floats
    highs: Floats


@dataclass(frozen=True, eq=False)
class View:
    """A state's own lower bound and what it was made of: the surplus of every test (rates, tests, faults),
    and what its pairs pay (None where nothing is left to tell apart)."""

    low: float
    surplus: Floats
    table: Table | None


@dataclass(eq=False)
class Spot:
    """A state with the bounds of its value, in minutes per call that comes here, and what was seen below.

    `steps` is None until the spot is opened; `sharp` says that its own lower bound was worked out; `kids`
    are the spots visited after a step's outcome.
    Bounds only ever come closer. Mutable: the search works on it, nobody else sees it change.
    """

    state: State
    low: float
    high: float
    steps: Steps | None = None
    sharp: bool = False
    kids: dict[Place, "Spot"] = field(default_factory=dict)

    @property
    def solved(self) -> bool:
        """True where the bounds have met."""
        return self.high < np.inf and self.high - self.low <= CLOSE * max(self.high, 1.0)

    def tighten(self, low: float, high: float) -> None:
        """Take over bounds that are sharper; rounding never lets them cross."""
        self.high = min(self.high, high)
        self.low = min(max(self.low, low), self.high)

    def refresh(self) -> None:
        """Bounds brought up to date from what follows each step."""
        if self.steps is None:
            return
        for place, kid in self.kids.items():
            self.steps.lows[place], self.steps.highs[place] = kid.low, kid.high
        if self.steps.choices:
            self.tighten(float(self.low_scores().min()), float(self.high_scores().min()))

    def low_scores(self) -> Floats:
        """The least that each step can lead to, (steps,)."""
        return _scores(self.steps, self.steps.lows) if self.steps else np.zeros(0)

    def high_scores(self) -> Floats:
        """What each step leads to by the plans at hand, (steps,)."""
        return _scores(self.steps, self.steps.highs) if self.steps else np.zeros(0)

    def widest(self) -> Place | None:
        """The step that looks cheapest, and its outcome whose bounds lie farthest apart by its share."""
        if self.steps is None:
            return None
        row = int(self.low_scores().argmin())
        with np.errstate(invalid="ignore"):
            gaps = self.steps.shares[row] * (self.steps.highs[row] - self.steps.lows[row])
        gaps = np.where(self.steps.shares[row] > 0, gaps, 0.0)
        column = int(gaps.argmax())
        return (row, column) if gaps[column] > 0 else None

    def chosen(self) -> Choice | None:
        """The step of the plan at hand (rule 13); None where the best run of repairs does as well."""
        if self.steps is None or not self.steps.choices:
            return None
        scored = zip(self.high_scores(), self.steps.choices, strict=True)
        orders = [(choice.order(float(score)), choice) for score, choice in scored]
        (score, _, _), choice = min(orders, key=lambda pair: pair[0])
        return choice if score <= round9(self.high) else None


def _scores(steps: Steps, after: Floats) -> Floats:
    with np.errstate(invalid="ignore"):
        rest = np.where(steps.shares > 0, steps.shares * after, 0.0)
    return np.asarray(steps.minutes + rest.sum(axis=1))
