"""A slow second reading of the cards (DESIGN.md, model, rules 2 to 4, 17, 18) with a library for inference.

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


def posterior(
    library: Library, symptom: str, equipment: Mapping[str, str], findings: Mapping[str, str]
) -> dict[str, float]:
    """P(cause | symptom, equipment, findings) by pyAgrum, for every candidate and "unlisted".

    `findings` maps test ids, and `equipment.<feature>` for features not in `equipment`, to outcomes, in the order
    in which they came. A cause with several ways of showing has them in a node of their own, which every test
    looks at beside the cause.
    """
    prior = _prior(library, symptom, equipment)
    total = sum(prior.values())
    ways = {name: {} if name == UNLISTED else library.faults[name].modes for name in prior}
    network = gum.BayesNet("call")
    cause = network.add(gum.LabelizedVariable("cause", "", list(prior)))
    network.cpt(cause).fillWith([weight / total for weight in prior.values()])
    most = max([1, *map(len, ways.values())])
    way = network.add(gum.LabelizedVariable("way", "", [str(number) for number in range(most)]))
    network.addArc(cause, way)
    for name, modes in ways.items():
        shares = [mode.share for mode in modes.values()] or [1.0]
        network.cpt(way)[{"cause": name}] = [*shares, *[0.0] * (most - len(shares))]
    for name in findings:
        rows = {fault: _rows(library, symptom, equipment, name, fault) for fault in prior}
        node = network.add(gum.LabelizedVariable(name, "", list(rows[UNLISTED][0])))
        network.addArc(cause, node)
        network.addArc(way, node)
        for fault, by_way in rows.items():
            for number in range(most):
                row = by_way[min(number, len(by_way) - 1)]
                network.cpt(node)[{"cause": fault, "way": str(number)}] = list(row.values())
    inference = gum.LazyPropagation(network)
    inference.setEvidence(_evidence(library, findings))
    inference.makeInference()
    result = inference.posterior("cause")
    return {fault: float(result[{"cause": fault}]) for fault in prior}


def _evidence(library: Library, findings: Mapping[str, str]) -> dict[str, str]:
    """What was seen and still counts: not what a later test set anew."""
    seen: dict[str, str] = {}
    for name, outcome in findings.items():
        seen[name] = outcome
        renews = library.tests[name].renews if name in library.tests else {}
        for other in [other for other, new in renews.items() if outcome in new]:
            seen.pop(other, None)
    return seen


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


def _rows(
    library: Library, symptom: str, equipment: Mapping[str, str], name: str, cause: str
) -> list[dict[str, float]]:
    """P(outcome | cause) for every way in which the cause shows."""
    if name.startswith("equipment."):
        return [_feature_row(library, symptom, name.partition(".")[2], cause)]
    test = library.tests[name]
    otherwise = _otherwise(library, symptom, equipment, test, cause)
    if cause == UNLISTED:
        return [otherwise]
    fault = library.faults[cause]
    ways = [{**fault.shows, **mode.shows} for mode in fault.modes.values()] or [fault.shows]
    return [_row(shows.get(test.id), otherwise) for shows in ways]


def _feature_row(library: Library, symptom: str, feature: str, cause: str) -> dict[str, float]:
    row = {key: value.share for key, value in library.equipment[feature].values.items()}
    if cause != UNLISTED and feature in _places(library.faults[cause], symptom):
        allowed = _places(library.faults[cause], symptom)[feature]
        row = {key: share if key in allowed else 0.0 for key, share in row.items()}
    total = sum(row.values())
    return {key: share / total for key, share in row.items()}


def _otherwise(
    library: Library, symptom: str, equipment: Mapping[str, str], test: Test, cause: str
) -> dict[str, float]:
    """What is seen when the fault lies elsewhere, on the systems on which this cause can be."""
    if symptom in test.otherwise_at:
        return _said(test, test.otherwise_at[symptom])
    place = {} if cause == UNLISTED else _places(library.faults[cause], symptom)
    looked_at = {where.partition("=")[0]: library.equipment[where.partition("=")[0]] for where in test.otherwise_on}
    mixed, whole = dict.fromkeys(test.outcomes, 0.0), 0.0
    for system in product(*(card.values for card in looked_at.values())):
        values = dict(zip(looked_at, system, strict=True))
        if any(equipment.get(feature, value) != value for feature, value in values.items()):
            continue
        # What is known is known, even where the cause is said not to be there.
        if any(values[f] not in place[f] for f in values if f in place and f not in equipment):
            continue
        share = prod(looked_at[feature].values[value].share for feature, value in values.items())
        said = next((given for where, given in test.otherwise_on.items() if _holds(where, values)), test.otherwise)
        whole += share
        for outcome, chance in _said(test, said).items():
            mixed[outcome] += share * chance
    return {outcome: chance / whole for outcome, chance in mixed.items()}


def _holds(where: str, values: Mapping[str, str]) -> bool:
    feature, _, value = where.partition("=")
    return values[feature] == value


def _said(test: Test, given: Mapping[str, float] | str | None) -> dict[str, float]:
    outcomes = list(test.outcomes)
    if given is None:
        return {outcome: 1 / len(outcomes) for outcome in outcomes}
    if isinstance(given, str):
        return {outcome: 0.9 if outcome == given else 0.1 / (len(outcomes) - 1) for outcome in outcomes}
    unnamed = [outcome for outcome in outcomes if outcome not in given]
    rest = (1 - sum(given.values())) / max(len(unnamed), 1)
    return {outcome: given.get(outcome, rest) for outcome in outcomes}


def _row(named: Mapping[str, float] | None, otherwise: Mapping[str, float]) -> dict[str, float]:
    if named is None:
        return dict(otherwise)
    unnamed = [outcome for outcome in otherwise if outcome not in named]
    pool = sum(otherwise[outcome] for outcome in unnamed)
    row = dict(named)
    for outcome in unnamed:
        portion = otherwise[outcome] / pool if pool > 0 else 1 / len(unnamed)
        row[outcome] = (1 - sum(named.values())) * portion
    return {outcome: row[outcome] for outcome in otherwise}
