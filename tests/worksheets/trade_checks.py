"""Which sum of ours answers each row of the published figures (tests/cases/trade_checks.yml), or why none does.

The rows carry their source and whether it was read, remembered, computed or is common practice.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final

import seuif97
from faultleaf.physics import unit_named, water

Given = Mapping[str, str]


Answers = Mapping[str, float]
"""Results of a worksheet, each in its own unit."""


@dataclass(frozen=True)
class Worked:
    """Worksheets that are worked: (id, what is put in beside the first values, the results in the row's order).

    `units`: the row's units where they are not the results' own; `skipped`: places of the row that no result gives,
    and why.
    """

    asked: Sequence[tuple[str, Given, Sequence[str]]]
    units: Sequence[str] = ()
    skipped: Mapping[int, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Reckoned:
    """A figure that is a step inside a worksheet: got back from two of its results."""

    run: Callable[[Callable[..., Answers]], Sequence[float]]


@dataclass(frozen=True)
class Physics:
    """A step of the water and steam tables, asked by itself."""

    run: Callable[[], Sequence[float]]


@dataclass(frozen=True)
class Stated:
    """A published figure that no sum gives: it stands in a card's text, in these words."""

    card: str
    words: str


@dataclass(frozen=True)
class Reason:
    """Why the row does not apply to any sum."""

    words: str


Answer = Worked | Reckoned | Physics | Stated | Reason


def one(worksheet: str, results: str, **given: str) -> Worked:
    """A row that one worksheet answers at once; `results` apart by blanks, `given` with _ for -."""
    return Worked([(worksheet, _dashed(given), results.split())])


def _dashed(given: Mapping[str, str]) -> dict[str, str]:
    return {name.replace("_", "-"): text for name, text in given.items()}


def _steam(psig: str) -> Worked:
    return one("steam-properties", "hot latent volume", gauge=psig, altitude="0")


def _velocity(gross: str, size: str, risers: str) -> Worked:
    return one("riser-velocity", "riser-speed", gross=gross, size=size, risers=risers, gauge="1")


def _drops(rate: str) -> Worked:
    return one("drops", "flow", rate=rate, size="20")


def _probe(conductivity: str) -> Worked:
    return one("probe-scaled-or-pure", "clean", conductivity=conductivity, cell="0.5")


def _capacities(choice: str, result: str, sizes: str) -> Worked:
    return Worked([("pipe-capacity", {choice: f"{size} in"}, [result]) for size in sizes.split()])


def _region(temperature: float, pressure: float, *names: str) -> list[float]:
    """Properties by the library's own numbers for them, at K and MPa."""
    numbers = {"v": water.VOLUME, "h": water.ENTHALPY, "u": 7, "w": 10}
    return [float(seuif97.pt(pressure, temperature - water.FREEZING, numbers[name])) for name in names]


def _line(asked: int, given: float) -> list[float]:
    """The saturation line beyond what our own functions allow: K at MPa, or MPa at K."""
    if asked == water.TEMPERATURE:
        return [float(seuif97.px(given, water.BOILING, asked)) + water.FREEZING]
    return [float(seuif97.tx(given - water.FREEZING, water.BOILING, asked))]


NO_SUM: Final = "a fact of the trade that a card states; nothing is reckoned with it"
CHECKS: Final[Mapping[str, Answer]] = {
    "K01": Physics(lambda: [water.boiling_point(0.1e6)]),
    "K02": Physics(lambda: [water.boiling_point(1e6)]),
    "K03": Physics(lambda: _line(water.TEMPERATURE, 10)),
    "K04": Physics(lambda: [water.saturation_pressure(300) / 1e6]),
    "K05": Physics(lambda: _line(water.PRESSURE, 500)),
    "K06": Physics(lambda: _line(water.PRESSURE, 600)),
    "K07": Physics(lambda: _region(300, 3, "v", "h", "u")),
    "K08": Physics(lambda: [*_region(700, 30, "v", "h", "u"), *_region(300, 0.0035, "w")]),
    "K09": _steam("0"), "K10": _steam("0.5"), "K11": _steam("1"), "K12": _steam("1.5"), "K13": _steam("2"),
    "K14": _steam("3"), "K15": _steam("5"), "K16": _steam("10"), "K17": _steam("12"), "K18": _steam("15"),
    "K19": one("steam-properties", "swells swells-cold", gauge="0"),
    "K20": Worked([("return-head", {"leg": "60"}, ["per-psi"] * 2)], ("in", "ft")),
    "K21": Worked([("return-head", {"leg": "140"}, ["per-psi"] * 2)], ("in", "ft")),
    "K22": Worked([("return-head", {"leg": "180"}, ["per-psi"] * 2)], ("in", "ft")),
    "K23": Worked([("return-head", {"leg": "212"}, ["per-psi"] * 2)], ("in", "ft")),
    "K24": one("return-head", "short", leg="212"),
    "K25": one("return-head", "height", boiler_pressure="2", end_pressure="0", leg="180"),
    "K26": one("return-head", "height", boiler_pressure="1", end_pressure="14 oz", leg="180"),
    "K27": one("return-head", "height", boiler_pressure="1", leg="140", boiler_water="215.3", below="24"),
    "K28": one("cooler-glass", "shows", height="6", boiler_water="215.3", glass="140"),
    "K29": one("expansion", "swells", cold="60", warm="212"),
    "K30": one("expansion", "rise", content="10", cold="60", warm="212", per_inch="1.2"),
    "K31": one("expansion", "heavy-cold heavy-warm", cold="60", warm="212"),
    "K32": Reckoned(lambda work: [work("net-rating")["net-heat"] / work("net-rating")["net"]]),
    "K33": Worked([("condensate", {"gauge": psig}, ["each-foot"]) for psig in ("0", "1", "2", "5")]),
    "K34": one("condensate", "makes flow", edr="400", gauge="1"),
    "K35": Worked(
        [("boiler-horsepower", {}, ["heat", "steam", "heat", "edr"])], (),
        {0: "the printed figure, which the card names as the rule that it replaces"},
    ),
    "K36": one("net-rating", "net-heat net", input="150,602.4", efficiency="83", pick_up="4/3"),
    "K37": one("net-rating", "against-plate", edr="200", plate_net="650"),
    "K38": one("net-rating", "gross net", input="150,000", efficiency="83"),
    "K39": one("steam-made", "steam", gross="125,000", gauge="1"),
    "K40": _velocity("125,000", "2 in", "1"), "K41": _velocity("125,000", "2 in", "2"),
    "K42": _velocity("125,000", "2-1/2 in", "1"), "K43": _velocity("200,000", "3 in", "1"),
    "K44": _capacities("main", "main-takes", "2 2-1/2 3 4"),
    "K45": _capacities("main", "main-takes-more", "2 2-1/2 3 4"),
    "K46": _capacities("riser", "riser-takes", "1 1-1/4 1-1/2 2 2-1/2 3"),
    "K47": _capacities("valve", "valve-takes", "1 1-1/4 1-1/2 2"),
    "K48": one("gallons-per-inch", "full-plan by-drawing", length="24", width="14", share="60"),
    "K49": one("leak-rate", "leak a-day full-in", rise="1", time="8", per_inch="1.2", room="6"),
    "K50": one("feeder-stuck-open", "glass-full", flow="1", room="6", per_inch="1.2"),
    "K51": one("flood-height", "lifts-at", set="15", water="60"),
    "K52": one("flood-height", "at-vent", vent="20", water="60"),
    "K53": _drops("1"), "K54": _drops("20"), "K55": _drops("60"),
    "K56": one("pinhole", "flow", hole="1/64", pressure="60", coefficient="0.62"),
    "K57": one("vent-passing-steam", "flow water", hole="1/8", gauge="1", coefficient="0.65", hours="6"),
    "K58": Reckoned(
        lambda work: [
            work("make-up-minerals", hardness="1")["every-gallon"] / unit_named("gal").to_si(1),
            work("make-up-minerals", hardness="15", make_up="500")["minerals"],
        ]
    ),
    "K59": one("make-up-minerals", "layer", hardness="15", make_up="500", surface="20"),
    "K60": Stated("worksheets/probe-cell", "0.01 mol a kilogram 1,408 (1,273 at 20 °C)"),
    "K61": Stated("worksheets/probe-cell", "0.01 mol a liter reads 1,413 µS/cm at 25 °C (1,278 at 20 °C)"),
    "K62": one("probe-cell", "cell", standard="1413", resistance="707.7"),
    "K63": _probe("20"), "K64": _probe("100"), "K65": _probe("1000"), "K66": _probe("3000"),
    "K67": one("probe-scaled-or-pure", "least-water", cell="0.5", threshold="5000"),
    "K68": Reason(NO_SUM), "K69": Reason(NO_SUM), "K70": Reason(NO_SUM), "K71": Reason(NO_SUM),
    "K72": one("pressure-control", "cut-out", dial="0.5", differential="1", way="adds to the main setting", scale="0"),
    "K73": one("held-back", "rise", held="10", per_inch="1.2"),
    "K74": one("feeder-dose", "away drop", edr="300", gauge="0", back="15", per_inch="1.2"),
    "K75": one("flash-steam", "share", high="1", low="0"),
    "K76": one("flash-steam", "share", high="5", low="0"),
    "K77": one("first-boil", "time", content="10", iron="400", cold="60", heat="125,000"),
    "K78": one("steam-properties", "hot", gauge="0", altitude="5000"),
    "K79": Stated("worksheets/flood-height", "stay at or below 15 psi"),
    "K80": Stated("worksheets/condensate", "1/2 to 3/4 in while steaming"),
    "K81": Stated("worksheets/dilution", "a pH of 7 to 9 good, and foaming to begin near 11"),
    "K82": Reason("intervals of care: the control's own sheet goes first, and no sum is made with them"),
    "K83": Reason("levels set by the maker of a control, which its sheet gives; no sum is made with them"),
    "K84": Reason("a reading that is compared with by a test, not a sum"),
    "K85": Reason("one state's rule for draining, quoted on the caution; no sum is made with it"),
    "K86": Reckoned(lambda work: [100 + work("receiver-and-pump", condensate_temperature="100")["below-limit"]]),
    "K87": Stated("worksheets/make-up-minerals", "3 or 4 small top-ups a month"),
}  # fmt: skip
