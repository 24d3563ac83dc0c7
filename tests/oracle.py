"""A slow second reading of the cards (DESIGN.md, model, rules 2 to 4) with a library for inference.

It shares no code with `faultleaf.diagnosis` and does not call the cards room's likelihood helpers: the
network is built straight from the card fields, and the posterior comes from pyAgrum.
"""

import warnings
from collections.abc import Mapping
from importlib import import_module
from typing import Any

from faultleaf.cards import Fault, Library, Test

with warnings.catch_warnings():
    # Its wrapper warns while it is loaded, and crashes where the warning is turned into an error.
    warnings.simplefilter("ignore")
    gum: Any = import_module("pyagrum")  # its functions carry no types
UNLISTED = "unlisted"


def posterior(
    library: Library, symptom: str, equipment: Mapping[str, str], findings: Mapping[str, str]
) -> dict[str, float]:
    """P(cause | symptom, equipment, findings) by pyAgrum, for every candidate and "unlisted".

    `findings` maps test ids, and `equipment.<feature>` for features not in `equipment`, to outcomes.
    """
    prior = _prior(library, symptom, equipment)
    total = sum(prior.values())
    network = gum.BayesNet("call")
    cause = network.add(gum.LabelizedVariable("cause", "", list(prior)))
    network.cpt(cause).fillWith([weight / total for weight in prior.values()])
    for name in findings:
        rows = _rows(library, symptom, name, list(prior))
        node = network.add(gum.LabelizedVariable(name, "", list(next(iter(rows.values())))))
        network.addArc(cause, node)
        for fault, row in rows.items():
            network.cpt(node)[{"cause": fault}] = list(row.values())
    inference = gum.LazyPropagation(network)
    inference.setEvidence(dict(findings))
    inference.makeInference()
    result = inference.posterior("cause")
    return {fault: float(result[{"cause": fault}]) for fault in prior}


def _prior(library: Library, symptom: str, equipment: Mapping[str, str]) -> dict[str, float]:
    weights = {}
    for name, fault in library.faults.items():
        if symptom not in fault.symptoms:
            continue
        weight = fault.how_common * fault.symptoms[symptom]
        for feature, allowed in _places(fault, symptom).items():
            shares = {key: value.share for key, value in library.equipment[feature].values.items()}
            if feature in equipment:
                weight *= 1.0 if equipment[feature] in allowed else 0.0
            else:
                weight *= sum(shares[value] for value in allowed) / sum(shares.values())
        if weight > 0:
            weights[name] = weight
    unlisted = library.symptoms[symptom].unlisted
    return {**weights, UNLISTED: unlisted / (1 - unlisted) * sum(weights.values())}


def _places(fault: Fault, symptom: str) -> dict[str, list[str]]:
    narrower = fault.shows_on.get(symptom, {})
    places = {}
    for feature in [*fault.found_on, *narrower]:
        sides = [side[feature] for side in (fault.found_on, narrower) if feature in side]
        places[feature] = [value for value in sides[0] if all(value in side for side in sides)]
    return places


def _rows(library: Library, symptom: str, name: str, causes: list[str]) -> dict[str, dict[str, float]]:
    if name.startswith("equipment."):
        return {cause: _feature_row(library, symptom, name.partition(".")[2], cause) for cause in causes}
    test = library.tests[name]
    return {cause: _otherwise(test) if cause == UNLISTED else _row(test, library.faults[cause]) for cause in causes}


def _feature_row(library: Library, symptom: str, feature: str, cause: str) -> dict[str, float]:
    row = {key: value.share for key, value in library.equipment[feature].values.items()}
    if cause != UNLISTED and feature in _places(library.faults[cause], symptom):
        allowed = _places(library.faults[cause], symptom)[feature]
        row = {key: share if key in allowed else 0.0 for key, share in row.items()}
    total = sum(row.values())
    return {key: share / total for key, share in row.items()}


def _otherwise(test: Test) -> dict[str, float]:
    outcomes = list(test.outcomes)
    if test.otherwise is None:
        return {outcome: 1 / len(outcomes) for outcome in outcomes}
    if isinstance(test.otherwise, str):
        return {outcome: 0.9 if outcome == test.otherwise else 0.1 / (len(outcomes) - 1) for outcome in outcomes}
    rest = 1 - sum(test.otherwise.values())
    unnamed = [outcome for outcome in outcomes if outcome not in test.otherwise]
    return {
        outcome: test.otherwise[outcome] if outcome in test.otherwise else rest / len(unnamed) for outcome in outcomes
    }


def _row(test: Test, fault: Fault) -> dict[str, float]:
    otherwise = _otherwise(test)
    if test.id not in fault.shows:
        return otherwise
    named = fault.shows[test.id]
    unnamed = [outcome for outcome in otherwise if outcome not in named]
    pool = sum(otherwise[outcome] for outcome in unnamed)
    row = dict(named)
    for outcome in unnamed:
        portion = otherwise[outcome] / pool if pool > 0 else 1 / len(unnamed)
        row[outcome] = (1 - sum(named.values())) * portion
    return {outcome: row[outcome] for outcome in otherwise}
