"""The water ledger: was the water let in, called in, or did it come home? With its error, or how long to stand yet.

Every reading is turned into cold gallons: what the boiler gained since the first reading, with what was drained put
back and what the counter saw taken out. What is left over is explained by five kinds of boiler, each weighed by how
well it fits all readings at once (Bayes' rule on a grid):

    quiet                   r * t, r at most half of the smallest leak that matters, either way
    let in                  r * t, r from the smallest leak that matters to 3 gal/h, every doubling as likely
    came home               A * (1 - exp(-t / T)), A from 0 to what can be away, T from 10 to 90 min
    let in and came home    both
    lost                    let in, backward

Readings are off by their own limits (met 9 times in 10, taken as normal), the first reading by one error that all
differences share, the counter and the gallons per inch by one factor each. The weights before any reading and the
ranges of r, A and T are judgement. assets/js/worksheets/ledger.js does the same; SI units throughout.
"""

import itertools
import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Final, NamedTuple

from faultleaf.physics import unit_named, water

LIMIT: Final = 1.6448536269514722
"""Standard deviations in a limit that is met 9 times in 10."""
SURE: Final = 0.9
"""From this probability on a kind is named."""
QUIET, LET_IN, CAME_HOME, BOTH, LOST = "quiet", "let in", "came home", "let in and came home", "lost"
CALLED_IN, OR_CALLED_IN = "called in", ", or called in and not counted"
SOME_LET_IN, NOTHING_IN = "let in, and some perhaps came home", "nothing let in"
CLAIMS: Final = {
    QUIET: (QUIET,), LET_IN: (LET_IN,), CAME_HOME: (CAME_HOME,), BOTH: (BOTH,), LOST: (LOST,),
    SOME_LET_IN: (LET_IN, BOTH), NOTHING_IN: (QUIET, CAME_HOME),
}  # fmt: skip
"""What can be said, and the kinds it covers; the first that is sure enough is said."""
BEFORE: Final = {QUIET: 0.25, LET_IN: 0.3, CAME_HOME: 0.25, BOTH: 0.1, LOST: 0.1}
FASTEST: Final = 3.0
"""gal/h."""
QUICKEST_HOME, LATEST_HOME = 600.0, 5400.0
"""s."""
DRIFTS, RATES, PAIR_RATES, SHARES, PAIR_SHARES, TIMES = 9, 300, 60, 80, 16, 6
"""Points of the grid: a drift; a rate alone, beside a return; a return alone, beside a rate; times to come home."""
HALF_HOUR: Final = 1800.0


@dataclass(frozen=True)
class Reading:
    """One look at the glass: s since the first, m above any mark, K; m3 counted in and drained since the first."""

    time: float
    level: float
    temperature: float
    counted: float = 0.0
    drained: float = 0.0


@dataclass(frozen=True)
class Boiler:
    """The boiler and how well it is read. Every `_off` is a limit that is met 9 times in 10.

    `area`: m3 of water per m of glass; `content`: m3 at the first reading; `away`: m3 that may still come home then;
    `counter_off`: as a share; `matters`: the smallest leak, m3/s, that must not be missed.
    """

    area: float
    area_off: float
    level_off: float
    temperature_off: float
    content: float
    away: float
    counter_off: float
    matters: float
    uncounted: bool = False


@dataclass(frozen=True)
class Amount:
    """m3, and the limits between which it lies 9 times in 10."""

    value: float
    low: float
    high: float


@dataclass(frozen=True)
class Told:
    """What the readings say.

    `kind` is "" where it cannot be told yet; then `until` is when to read again and `between` when to read before
    that, s since the first reading. `sure`: the probability of `likeliest`. `over`: what neither counter nor drain
    explains. Of the other amounts only those are given that the kind names.
    """

    kind: str
    sure: float
    likeliest: str
    over: Amount
    called_in: Amount | None = None
    let_in: Amount | None = None
    came_home: Amount | None = None
    lost: Amount | None = None
    between: float | None = None
    until: float | None = None


def read_ledger(boiler: Boiler, readings: Sequence[Reading]) -> Told:
    """What at least two readings say; ValueError for fewer, or for readings that do not go on in time."""
    if len(readings) < 2 or any(b.time <= a.time for a, b in itertools.pairwise(readings)):
        raise ValueError("the ledger wants two readings or more, each later than the one before")
    over, spread = _left_over(boiler, readings)
    kinds = _weigh(boiler, readings, over, spread)
    top = max(each.log for points in kinds.values() for each in points)
    shares = {kind: math.fsum(math.exp(each.log - top) for each in points) for kind, points in kinds.items()}
    total = math.fsum(shares.values())
    claims = {claim: math.fsum(shares.get(kind, 0.0) for kind in CLAIMS[claim]) / total for claim in CLAIMS}
    said = next((claim for claim, share in claims.items() if share >= SURE), "")
    likeliest = said or max(shares, key=lambda kind: (shares[kind], kind))
    limit, counted, last = LIMIT * math.sqrt(spread[-1][-1]), readings[-1].counted, readings[-1].time
    off = counted * boiler.counter_off
    told = Told(
        _named(boiler, said, counted, limit), claims[likeliest], _named(boiler, likeliest, counted, limit),
        Amount(over[-1], over[-1] - limit, over[-1] + limit),
        called_in=Amount(counted, counted - off, counted + off) if counted > 0 else None,
    )  # fmt: skip
    if not said:
        between, until = _stand_until(boiler, readings, limit)
        return replace(told, between=between, until=until)
    points = [each for kind in CLAIMS[said] for each in kinds.get(kind, [])]
    return replace(
        told,
        let_in=_amount(points, lambda each: each.rate * last) if LET_IN in CLAIMS[said] else None,
        came_home=_amount(points, lambda each: each.home) if said in (CAME_HOME, BOTH) else None,
        lost=_amount(points, lambda each: -each.rate * last) if said == LOST else None,
    )


def _named(boiler: Boiler, kind: str, counted: float, limit: float) -> str:
    if kind in (QUIET, NOTHING_IN) and counted > limit:
        return CALLED_IN
    return kind + OR_CALLED_IN if boiler.uncounted and LET_IN in CLAIMS[kind] else kind


def _left_over(boiler: Boiler, readings: Sequence[Reading]) -> tuple[list[float], list[list[float]]]:
    """What is left to explain at each reading after the first, m3 cold, and the covariance of its errors."""
    first, cold = readings[0], water.water_density(unit_named("degF").to_si(60))
    over, moved, counted, own = [], [], [], []
    start = boiler.content * water.water_density(first.temperature)
    for each in readings:
        density = water.water_density(each.temperature)
        step = boiler.area * (each.level - first.level)
        slope = (water.water_density(each.temperature - 1) - water.water_density(each.temperature + 1)) / 2
        over.append(((boiler.content + step) * density - start) / cold + each.drained - each.counted)
        moved.append(step * density / cold * boiler.area_off / boiler.area / LIMIT)
        counted.append(each.counted * boiler.counter_off / LIMIT)
        level = boiler.area * boiler.level_off * density / cold / LIMIT
        warmth = boiler.content * slope * boiler.temperature_off / cold / LIMIT
        own.append(level * level + warmth * warmth)
    count = range(1, len(readings))
    spread = [
        [own[0] + moved[i] * moved[j] + counted[i] * counted[j] + (own[i] if i == j else 0.0) for j in count]
        for i in count
    ]
    return over[1:], spread


class _Point(NamedTuple):
    """A point of the grid: m3/s let in, m3 come home by the last reading, logarithm of its weight."""

    rate: float
    home: float
    log: float


def _weigh(
    boiler: Boiler, readings: Sequence[Reading], over: Sequence[float], spread: Sequence[Sequence[float]]
) -> dict[str, list[_Point]]:
    times = [each.time for each in readings[1:]]
    fit = _Fit(over, spread)
    steady = fit.against(times)
    drifts = [boiler.matters * ((i + 0.5) / DRIFTS - 0.5) for i in range(DRIFTS)]
    rates = _rates(boiler.matters, RATES)
    kinds = {
        QUIET: [_Point(rate, 0.0, _log(rate, steady)) for rate in drifts],
        LET_IN: [_Point(rate, 0.0, _log(rate, steady)) for rate in rates],
        LOST: [_Point(-rate, 0.0, _log(-rate, steady)) for rate in rates],
    }
    if boiler.away > 0:
        homes = [fit.against([1 - math.exp(-time / home) for time in times], times) for home in _homes()]
        kinds[CAME_HOME] = _home(boiler, homes, times[-1], steady, [0.0], SHARES)
        kinds[BOTH] = _home(boiler, homes, times[-1], steady, _rates(boiler.matters, PAIR_RATES), PAIR_SHARES)
    before = {kind: math.log(BEFORE[kind] / len(points)) for kind, points in kinds.items()}
    return {
        kind: [_Point(rate, home, log + before[kind]) for rate, home, log in points] for kind, points in kinds.items()
    }


@dataclass(frozen=True)
class _Shape:
    """A shape over the readings against the errors: with what is left over, with itself, and with the steady one."""

    over: float
    own: float
    steady: float = 0.0


class _Fit:
    """Products weighed by the inverse of the errors' covariance (by its Cholesky root)."""

    def __init__(self, over: Sequence[float], spread: Sequence[Sequence[float]]) -> None:
        self._root = _cholesky(spread)
        self._over = self._white(over)

    def against(self, shape: Sequence[float], steady: Sequence[float] | None = None) -> _Shape:
        own = self._white(shape)
        other = self._white(steady) if steady is not None else []
        return _Shape(_dot(own, self._over), _dot(own, own), _dot(own, other) if other else 0.0)

    def _white(self, values: Sequence[float]) -> list[float]:
        found: list[float] = []
        for row, value in zip(self._root, values, strict=True):
            found.append((value - _dot(row, found)) / row[len(found)])
        return found


def _cholesky(matrix: Sequence[Sequence[float]]) -> list[list[float]]:
    root: list[list[float]] = []
    for i, row in enumerate(matrix):
        made: list[float] = []
        for j in range(i):
            made.append((row[j] - _dot(made, root[j])) / root[j][j])
        made.append(math.sqrt(max(row[i] - _dot(made, made), 1e-30)))
        root.append(made)
    return root


def _dot(one: Sequence[float], other: Sequence[float]) -> float:
    """The sum of products over the shorter of both."""
    total = 0.0
    for a, b in zip(one, other, strict=False):
        total += a * b
    return total


def _log(size: float, shape: _Shape) -> float:
    """Logarithm of how much better this much of the shape fits than nothing."""
    return size * shape.over - size * size * shape.own / 2


def _rates(least: float, count: int) -> list[float]:
    """m3/s from the smallest that matters, each the middle of its cell."""
    ratio = math.log(FASTEST * unit_named("gal/h").factor / least)
    return [least * math.exp(ratio * (i + 0.5) / count) for i in range(count)]


def _homes() -> list[float]:
    ratio = math.log(LATEST_HOME / QUICKEST_HOME)
    return [QUICKEST_HOME * math.exp(ratio * (i + 0.5) / TIMES) for i in range(TIMES)]


def _home(
    boiler: Boiler, homes: Sequence[_Shape], last: float, steady: _Shape, rates: Sequence[float], shares: int
) -> list[_Point]:
    """A return of every size and speed, beside every one of these rates."""
    points = []
    for shape, time in zip(homes, _homes(), strict=True):
        back = 1 - math.exp(-last / time)
        for i in range(shares):
            size = boiler.away * (i + 0.5) / shares
            alone = _log(size, shape)
            for rate in rates:
                log = alone + _log(rate, steady) - rate * size * shape.steady
                points.append(_Point(rate, size * back, log))
    return points


def _amount(points: Sequence[_Point], value: Callable[[_Point], float]) -> Amount:
    """The middle of the values by weight, and what leaves a twentieth on either side."""
    top = max(each.log for each in points)
    pairs = sorted((value(each), math.exp(each.log - top)) for each in points)
    total = math.fsum(weight for _, weight in pairs)
    return Amount(_quantile(pairs, total, 0.5), _quantile(pairs, total, 0.05), _quantile(pairs, total, 0.95))


def _quantile(pairs: Sequence[tuple[float, float]], total: float, share: float) -> float:
    """The value below which this share lies; between two points in proportion."""
    wanted, reached, before = share * total, 0.0, (0.0, 0.0)
    for value, weight in pairs:
        middle = reached + weight / 2
        if middle >= wanted:
            low, at = before
            return low + (value - low) * (wanted - at) / (middle - at) if middle > at else value
        reached, before = reached + weight, (value, middle)
    return pairs[-1][0]


def _stand_until(boiler: Boiler, readings: Sequence[Reading], limit: float) -> tuple[float, float]:
    """When to read once more in between, and when at last: s since the first reading, to the next half hour.

    By the reading in between the slowest return must be over; from there on the smallest leak that matters must
    move the glass by twice the limit of a difference.
    """
    settled = LATEST_HOME * max(0.0, math.log(boiler.away / limit)) if boiler.away > 0 else 0.0
    between = math.ceil(max(settled, readings[-1].time + 60) / HALF_HOUR) * HALF_HOUR
    return between, between + math.ceil(2 * limit / boiler.matters / HALF_HOUR) * HALF_HOUR
