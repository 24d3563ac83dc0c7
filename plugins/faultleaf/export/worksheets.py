"""What the browser needs to work every worksheet: the same trees, factors and tables that Python uses."""

import math
from typing import Any, Final

from faultleaf.cards import Library, Survey, Worksheet, card_url
from faultleaf.export.engine import data_script
from faultleaf.physics import RADIATOR_RATINGS, TABLES, alternatives, unit_named
from faultleaf.worksheets import ledger
from faultleaf.worksheets.expression import Binary, Call, Expression, Name, Negative, Number, Power
from faultleaf.worksheets.typed import FRACTIONS, SPOKEN

PHYSICS_FILES: Final = ("water",)
"""The scripts of assets/js/physics, in the order in which a page loads them."""
WORKSHEET_FILES: Final = ("shown", "typed", "evaluate", "sheet", "decide", "ledger", "survey")
"""The scripts of assets/js/worksheets, which follow."""
SUM_VIEW_FILES: Final = ("from-survey", "form")
"""Those of assets/js/worksheet-view that any page has use for, a call too."""
WORKSHEET_VIEW_FILES: Final = ("page", "ledger", "survey")
"""Those of the pages of worksheets, of the ledger and of the survey."""
_LEDGER_UNITS: Final = ("in", "gal", "gal/in", "gal/h", "degF", "degF difference", "h", "percent")
"""What the ledger's fields are in."""
WORKSHEET_DATA: Final = "worksheet-data.js"
WORK_SCRIPTS: Final = (WORKSHEET_DATA, "js/sums.js")
"""The scripts that work a sum on any page, in the order of loading, from the folder of our assets."""

Data = dict[str, Any]


def worksheet_script(library: Library) -> str:
    """The script that assigns `window.faultleafData.worksheets`: units, tables and every worksheet."""
    sheets = {name: sheet_data(card) for name, card in library.worksheets.items()}
    asked = ["EDR", *(each.unit for card in library.surveys.values() for each in card.asks.values() if each.unit)]
    used = sorted(
        {unit for sheet in sheets.values() for unit in _units_of(sheet)}
        | {other for name in (*_LEDGER_UNITS, *asked) for other in alternatives(name)}
    )
    data: Data = {
        "units": {name: unit_data(name) for name in used},
        "spoken": SPOKEN,
        "fractions": FRACTIONS,
        "tables": {name: _table(name) for name in TABLES},
        "ledger": ledger_numbers(),
        "sheets": sheets,
        "surveys": {name: survey_data(library, card) for name, card in library.surveys.items()},
        "radiators": [
            [kind, rating.title, list(map(list, rating.by_height.items()))] for kind, rating in RADIATOR_RATINGS.items()
        ],
        "symptoms": [[name, symptom.title] for name, symptom in library.symptoms.items()],
    }
    return data_script("worksheets", data)


def unit_data(name: str) -> Data:
    """A unit: label, factor and offset to SI."""
    unit = unit_named(name)
    return {"label": unit.label, "factor": unit.factor, "offset": unit.offset}


def survey_data(library: Library, card: Survey) -> Data:
    """What a survey asks for, what it fills, and what must match."""
    asks = [
        {
            "id": name, "title": each.title, "unit": each.unit, "least": each.least, "most": each.most,
            "units": alternatives(each.unit) if each.unit else [], "feature": each.feature, "fills": each.fills,
            "choices": [list(pair) for pair in each.choices.items()],
        }
        for name, each in card.asks.items()
    ]  # fmt: skip
    checks = [
        {
            "id": name, "title": each.title, "worksheet": each.worksheet, "result": each.result,
            "fits": [end_of(limit) for limit in each.fits], "amiss": each.amiss,
            "faults": [[library.faults[fault].title, card_url(library.faults[fault])] for fault in each.faults],
        }
        for name, each in card.checks.items()
    ]  # fmt: skip
    return {"title": card.title, "radiation": card.radiation, "asks": asks, "checks": checks}


def ledger_numbers() -> Data:
    """Every number and word of the water ledger, so that the browser has none of its own."""
    return {
        "limit": ledger.LIMIT, "sure": ledger.SURE, "before": ledger.BEFORE, "claims": ledger.CLAIMS,
        "kinds": {
            "quiet": ledger.QUIET, "let_in": ledger.LET_IN, "came_home": ledger.CAME_HOME, "both": ledger.BOTH,
            "lost": ledger.LOST, "called_in": ledger.CALLED_IN, "or_called_in": ledger.OR_CALLED_IN,
            "nothing_in": ledger.NOTHING_IN,
        },
        "fastest": unit_named("gal/h").to_si(ledger.FASTEST), "cold": unit_named("degF").to_si(60),
        "quickest_home": ledger.QUICKEST_HOME, "latest_home": ledger.LATEST_HOME,
        "drifts": ledger.DRIFTS, "rates": ledger.RATES, "pair_rates": ledger.PAIR_RATES, "shares": ledger.SHARES,
        "pair_shares": ledger.PAIR_SHARES, "times": ledger.TIMES,
    }  # fmt: skip


def _table(name: str) -> Data:
    """A table's values in SI, by nominal size in inches."""
    table, unit = TABLES[name], unit_named(TABLES[name].unit)
    rows = [[size, unit.to_si(value)] for size, value in table.values.items()]
    return {"title": table.title, "rows": rows}


def sheet_data(card: Worksheet) -> Data:
    """One worksheet: inputs and results in order."""
    inputs = [
        {
            "id": name, "title": each.title, "unit": each.unit, "units": alternatives(each.unit), "least": each.least,
            "most": each.most, "usual": each.usual, "where": each.where,
            "choices": [list(pair) for pair in each.choices.items()],
        }
        for name, each in card.inputs.items()
    ]  # fmt: skip
    results = [
        {
            "id": name, "title": each.title, "unit": each.unit, "units": alternatives(each.unit), "digits": each.digits,
            "tree": tree_data(each.sum.tree),
            "says": [[end_of(low), end_of(high), words] for words, (low, high) in each.says.items()],
        }
        for name, each in card.results.items()
    ]  # fmt: skip
    return {"title": card.title, "inputs": inputs, "results": results}


def _units_of(sheet: Data) -> set[str]:
    return {unit for each in (*sheet["inputs"], *sheet["results"]) for unit in each["units"]}


def end_of(limit: float) -> float | None:
    """A limit as data has it: none where there is no end."""
    return limit if math.isfinite(limit) else None


def tree_data(tree: Expression) -> list[Any]:
    """The tree as nested lists, its numbers in SI.

    >>> tree_data(Binary("*", Number(2), Name("rise")))
    ['*', ['number', 2], ['name', 'rise']]
    """
    match tree:
        case Number(value, unit):
            return ["number", unit_named(unit).to_si(value) if unit else value]
        case Name(name):
            return ["name", name]
        case Negative(part):
            return ["negative", tree_data(part)]
        case Power(base, exponent):
            return ["power", tree_data(base), exponent]
        case Call(function, arguments):
            return ["call", function, *(tree_data(each) for each in arguments)]
        case Binary(mark, left, right):
            return [mark, tree_data(left), tree_data(right)]
