"""Simulated boilers: water that is followed drop by drop, and a person who reads the glass with errors."""

import math
import random
from collections.abc import Sequence
from dataclasses import dataclass

from faultleaf.physics import unit_named, water
from faultleaf.worksheets.ledger import (
    BEFORE,
    BOTH,
    CALLED_IN,
    CAME_HOME,
    FASTEST,
    LATEST_HOME,
    LET_IN,
    LIMIT,
    LOST,
    QUICKEST_HOME,
    QUIET,
    Boiler,
    Reading,
)

GAL, INCH, HOUR = unit_named("gal").factor, unit_named("in").factor, 3600.0
COLD = water.water_density(unit_named("degF").to_si(60))
STEP = 60.0


@dataclass
class Water:
    """Where the water is, m3 at 60 °F: nothing but these five numbers ever changes."""

    boiler: float
    radiators: float
    street: float = 0.0
    street_by_counter: float = 0.0
    ground: float = 0.0

    @property
    def whole(self) -> float:
        """All of it; the street counts what it has given."""
        return self.boiler + self.radiators + self.ground - self.street - self.street_by_counter


@dataclass(frozen=True)
class Simulated:
    """A boiler as it is, what happened to its water, and what was read."""

    kind: str
    boiler: Boiler
    readings: tuple[Reading, ...]
    let_in: float
    called_in: float
    came_home: float
    lost: float
    gap: float
    """Water that the simulation itself lost: 0 but for rounding."""


def simulate(seed: int, hours: Sequence[float] = ()) -> Simulated:
    """One boiler by its seed; `hours`: when it is read after the start, where that is not drawn."""
    draw = random.Random(seed)
    area, content = draw.uniform(0.6, 2.2) * GAL / INCH, draw.uniform(6, 20) * GAL
    steamed = draw.random() < 0.6
    boiler = Boiler(
        area=area,
        area_off=area * draw.choice([0.03, 0.08]),
        level_off=draw.choice([1 / 16, 1 / 8]) * INCH,
        temperature_off=draw.choice([2, 5]) * 5 / 9,
        content=content,
        away=draw.uniform(0.5, 4) * GAL if steamed else 0.0,
        counter_off=draw.choice([0.03, 0.15]),
        matters=draw.choice([0.04, 0.1, 0.3]) * GAL / HOUR,
    )
    kind = _draw_kind(draw, steamed)
    rate = math.exp(draw.uniform(math.log(boiler.matters), math.log(FASTEST * GAL / HOUR)))
    if kind not in (LET_IN, BOTH, LOST):
        rate = draw.uniform(-0.5, 0.5) * boiler.matters if kind in (QUIET, CALLED_IN) else 0.0
    held = draw.uniform(0, boiler.away) if kind in (CAME_HOME, BOTH) else 0.0
    home = math.exp(draw.uniform(math.log(QUICKEST_HOME), math.log(LATEST_HOME)))
    flows = _Flows(kind, rate, home, draw.uniform(0.2, 1.0) * GAL)
    length = draw.choice([1, 2, 4, 8, 12])
    drawn = [*sorted(length * draw.uniform(0.1, 0.9) for _ in range(draw.randint(0, 4))), length]
    return _run(draw, boiler, flows, held, [round(each * HOUR / STEP) for each in hours or drawn])


@dataclass(frozen=True)
class _Flows:
    kind: str
    rate: float
    home: float
    dose: float


def _draw_kind(draw: random.Random, steamed: bool) -> str:
    kinds = [kind for kind in BEFORE if steamed or kind not in (CAME_HOME, BOTH)]
    kind = draw.choices(kinds, [BEFORE[each] for each in kinds])[0]
    return CALLED_IN if kind == QUIET and draw.random() < 0.6 else kind


def _run(draw: random.Random, boiler: Boiler, flows: _Flows, held: float, read_at: Sequence[int]) -> Simulated:
    hot, air, cools = draw.uniform(300, 370), draw.uniform(283, 300), draw.uniform(4, 10) * HOUR
    swing = draw.uniform(0, 2)
    true_area = boiler.area + draw.gauss(0, boiler.area_off / LIMIT)
    counter = 1 + draw.gauss(0, boiler.counter_off / LIMIT)
    start = boiler.content * water.water_density(hot) / COLD
    at = Water(start, held)
    whole = at.whole
    moments = sorted({0, *read_at})
    doses = {round(draw.uniform(1, moments[-1])) for _ in range(draw.randint(1, 4) if flows.kind == CALLED_IN else 0)}
    readings: list[Reading] = []
    for minute in range(moments[-1] + 1):
        if minute:
            _flow(at, flows, minute in doses)
        if minute in moments:
            time = minute * STEP
            warm = air + (hot - air) * math.exp(-time / cools) + swing * math.sin(time / HOUR)
            volume = at.boiler * COLD / water.water_density(warm)
            readings.append(
                Reading(
                    time,
                    (volume - boiler.content) / true_area + draw.gauss(0, boiler.level_off / LIMIT),
                    warm + draw.gauss(0, boiler.temperature_off / LIMIT),
                    at.street_by_counter / counter,
                )
            )
    return Simulated(
        flows.kind, boiler, tuple(readings), at.street, at.street_by_counter, held - at.radiators, at.ground,
        at.whole - whole,
    )  # fmt: skip


def _flow(at: Water, flows: _Flows, fed: bool) -> None:
    """What moves in one step."""
    if flows.kind != LOST:
        at.boiler += flows.rate * STEP
        at.street += flows.rate * STEP
    if flows.kind == LOST:
        at.boiler -= flows.rate * STEP
        at.ground += flows.rate * STEP
    back = at.radiators * (1 - math.exp(-STEP / flows.home))
    at.radiators -= back
    at.boiler += back
    if fed:
        at.boiler += flows.dose
        at.street_by_counter += flows.dose
