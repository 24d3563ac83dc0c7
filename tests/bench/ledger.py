"""The water ledger on a thousand simulated boilers: what is named right, and how often the stated intervals cover."""

from dataclasses import dataclass

from faultleaf.worksheets.ledger import Told, read_ledger

from tests.worksheets.boilers import Simulated, simulate
from tests.worksheets.test_ledger import covered, is_right

BOILERS = 1000


@dataclass(frozen=True)
class LedgerShares:
    """Of the boilers: those named, and of these the right ones; of the stated intervals: those that hold the truth."""

    named: float
    right: float
    covered: float


def measure_ledger() -> LedgerShares:
    """The shares over all simulated boilers."""
    played: list[tuple[Simulated, Told]] = [
        (each, read_ledger(each.boiler, each.readings)) for each in map(simulate, range(BOILERS))
    ]
    named = [is_right(told.kind, boiler.kind) for boiler, told in played if told.kind]
    inside = [each for boiler, told in played for each in covered(boiler, told)]
    return LedgerShares(len(named) / BOILERS, sum(named) / len(named), sum(inside) / len(inside))
