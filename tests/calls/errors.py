"""By how many standard errors what was played lies above what is exact."""

from collections.abc import Sequence
from math import copysign, inf, sqrt
from statistics import fmean, stdev


def errors_off(values: Sequence[float], exact: float) -> float:
    """Of a mean; its standard error comes from the values' own spread."""
    return _ratio(fmean(values) - exact, stdev(values) / sqrt(len(values)))


def share_off(happened: Sequence[bool], exact: float) -> float:
    """Of a share; its standard error is the binomial one of the exact share."""
    return _ratio(fmean(happened) - exact, sqrt(max(exact * (1 - exact), 0.0) / len(happened)))


def _ratio(off: float, error: float) -> float:
    if abs(off) < 1e-9:
        return 0.0
    return off / error if error > 0 else copysign(inf, off)
