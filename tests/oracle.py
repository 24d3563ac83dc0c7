"""A slow second reading of the cards (MODEL.md, rules 2 to 4, 17, 18) with a library for inference.

It shares no code with `faultleaf.diagnosis` and does not call the cards room's likelihood helpers: the
network is built straight from the card fields, and the posterior comes from pyAgrum.
"""

import warnings
from collections.abc import Mapping
from importlib import import_module
from itertools import product
from math import prod
from typing import Any

from faultleaf.cards import Fault, Library, Test

with warnings.catch_warnings():
    # Its wrapper warns while it is loaded, and crashes where the warning is turned into an error.
    warnings.simplefilter("ignore")
    gum: Any = import_module("pyagrum")  # its functions carry no types
UNLISTED = "unlisted"
Row = tuple[str, str]
"""A fault, or "unlisted", and the way in which it shows ("" where its card names no ways)."""


def posterior(
    library: Library, symptom: str, equipment: Mapping[str, str], findings: Mapping[str, str]
) -> dict[str, float]:
    """P(cause | symptom, equipment, findings) by pyAgrum, for every candidate and "unlisted".

    `findings` maps test ids, and `equipment.<feature>` for features not in `equipment`, to outcomes, in the order in
    which they came: what a later test sets anew is no evidence (rule 17).
    """
    prior = _by_row(library, _prior(library, symptom, equipment))
    total = sum(prior.values())
    evidence = _evidence(library, findings)
    # Modes of a fault are values of the cause of their own, with names that no card can have.
    labels = {row: f"{number}" for number, row in enumerate(prior)}
    network = gum.BayesNet("call")
    cause = network.add(gum.LabelizedVariable("cause", "", list(labels.values())))
    network.cpt(cause).fillWith([weight / total for weight in prior.values()])
    for name in evidence:
        rows = {row: _shown(library, symptom, equipment, name, row) for row in prior}
        node = network.add(gum.LabelizedVariable(name, "", list(next(iter(rows.values())))))
        network.addArc(cause, node)
        for row, shown in rows.items():
            network.cpt(node)[{"cause": labels[row]}] = list(shown.values())
    inference = gum.LazyPropagation(network)
    inference.setEvidence(evidence)
    inference.makeInference()
    result = inference.posterior("cause")
    found: dict[str, float] = {}
    for row, label in labels.items():
        found[row[0]] = found.get(row[0], 0.0) + float(result[{"cause": label}])
    return found


def _evidence(library: Library, findings: Mapping[str, str]) -> dict[str, str]:
    names = list(findings)
    renewed = {
        other
        for place, name in enumerate(names)
        if name in library.tests
        for other, new in library.tests[name].renews.items()
        if findings[name] in new and other in names[:place]
    }
    return {name: seen for name, seen in findings.items() if name not in renewed}


def _by_row(library: Library, weights: Mapping[str, float]) -> dict[Row, float]:
    rows: dict[Row, float] = {}
    for name, weight in weights.items():
        modes = library.faults[name].modes if name != UNLISTED else {}
        rows |= {(name, mode): weight * modes[mode].share for mode in modes} or {(name, ""): weight}
    return rows


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


def _shown(library: Library, symptom: str, equipment: Mapping[str, str], name: str, row: Row) -> dict[str, float]:
    cause, mode = row
    if name.startswith("equipment."):
        return _feature_row(library, symptom, name.partition(".")[2], cause)
    test = library.tests[name]
    if cause == UNLISTED:
        return _otherwise(library, test, symptom, equipment, {})
    fault = library.faults[cause]
    otherwise = _otherwise(library, test, symptom, equipment, _places(fault, symptom))
    own = fault.modes[mode].shows if mode else {}
    named = own.get(test.id, fault.shows.get(test.id))
    return otherwise if named is None else _row(named, otherwise)


def _feature_row(library: Library, symptom: str, feature: str, cause: str) -> dict[str, float]:
    row = {key: value.share for key, value in library.equipment[feature].values.items()}
    if cause != UNLISTED and feature in _places(library.faults[cause], symptom):
        allowed = _places(library.faults[cause], symptom)[feature]
        row = {key: share if key in allowed else 0.0 for key, share in row.items()}
    total = sum(row.values())
    return {key: share / total for key, share in row.items()}


def _otherwise(
    library: Library, test: Test, symptom: str, equipment: Mapping[str, str], places: Mapping[str, list[str]]
) -> dict[str, float]:
    """Over all systems that the equipment and the fault's places leave, each by its share."""
    if symptom in test.otherwise_at:
        return _distribution(test, test.otherwise_at[symptom])
    features = sorted({where.split("=")[0] for where in test.otherwise_on})
    systems: list[list[tuple[str, float]]] = []
    for feature in features:
        held = {key: value.share for key, value in library.equipment[feature].values.items()}
        held = {key: share for key, share in held.items() if key in places.get(feature, held)}
        known = equipment.get(feature)
        systems.append([(known, 1.0)] if known else [(key, share / sum(held.values())) for key, share in held.items()])
    total = dict.fromkeys(test.outcomes, 0.0)
    for system in product(*systems):
        here = [f"{feature}={value}" for feature, (value, _) in zip(features, system, strict=True)]
        said = [given for where, given in test.otherwise_on.items() if where in here]
        for outcome, chance in _distribution(test, said[0] if said else test.otherwise).items():
            total[outcome] += prod(share for _, share in system) * chance
    return total


def _distribution(test: Test, said: Mapping[str, float] | str | None) -> dict[str, float]:
    outcomes = list(test.outcomes)
    if said is None:
        return {outcome: 1 / len(outcomes) for outcome in outcomes}
    if isinstance(said, str):
        return {outcome: 0.9 if outcome == said else 0.1 / (len(outcomes) - 1) for outcome in outcomes}
    rest = 1 - sum(said.values())
    unnamed = [outcome for outcome in outcomes if outcome not in said]
    return {outcome: said[outcome] if outcome in said else rest / len(unnamed) for outcome in outcomes}


def _row(named: Mapping[str, float], otherwise: Mapping[str, float]) -> dict[str, float]:
    unnamed = [outcome for outcome in otherwise if outcome not in named]
    pool = sum(otherwise[outcome] for outcome in unnamed)
    row = dict(named)
    for outcome in unnamed:
        portion = otherwise[outcome] / pool if pool > 0 else 1 / len(unnamed)
        row[outcome] = (1 - sum(named.values())) * portion
    return {outcome: row[outcome] for outcome in otherwise}
