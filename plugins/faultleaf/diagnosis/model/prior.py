"""The call as its cards see it: who can be to blame, with what weight, and what the equipment rules out
(MODEL.md, rules 2 to 4 and 9)."""

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from faultleaf.cards import Fault as FaultCard
from faultleaf.cards import Feature, Library, Symptom
from faultleaf.cards import Repair as RepairCard
from faultleaf.cards import Test as TestCard
from faultleaf.cards.vocabulary import RANKS, rank_level
from faultleaf.diagnosis.model.problem import Conditions, DiagnosisError, Floats, frozen_array, one_of

Choices = Mapping[str, tuple[str, ...]]


@dataclass(frozen=True)
class Row:
    """One way in which a fault shows (rule 18): its card, the mode ("" without modes), share and signs."""

    fault: FaultCard
    mode: str
    share: float
    shows: Mapping[str, Mapping[str, float]]

    @property
    def id(self) -> str:
        """The fault's own id for its first way of showing, then with the mode behind it."""
        return self.fault.id if self.mode in ("", next(iter(self.fault.modes), "")) else f"{self.fault.id}/{self.mode}"


@dataclass(frozen=True)
class Call:
    """What is known of a call before any finding, by the names on the cards."""

    library: Library
    symptoms: tuple[str, ...]
    equipment: Mapping[str, str]
    absent: tuple[str, ...]
    cannot: frozenset[str]
    done: frozenset[str]
    who: str

    def allows(self, rank: str) -> bool:
        """True where somebody of this rank is at hand."""
        return rank_level(rank) <= rank_level(self.who)

    def systems(self, place: Choices) -> dict[str, dict[str, float]]:
        """The shares of every feature's values where this equipment is: known ones alone, others by share."""
        found = {}
        for name, feature in self.library.equipment.items():
            allowed = (self.equipment[name],) if name in self.equipment else place.get(name, tuple(feature.values))
            shares = {value: share for value, share in feature_shares(feature).items() if value in allowed}
            if len(shares) == 1:  # known for certain, though nobody may have counted such systems
                shares = dict.fromkeys(shares, 1.0)
            total = math.fsum(shares.values())
            found[name] = {value: share / total for value, share in shares.items()} if total > 0 else shares
        return found


def check_names(call: Call) -> None:
    """Every name exists; a caller's slip must not become a silent no-op."""
    if call.who not in RANKS:
        raise DiagnosisError(f"there is no rank '{call.who}'")
    if not call.symptoms:
        raise DiagnosisError("a call has at least one symptom")
    for name in (*call.symptoms, *call.absent):
        if name not in call.library.symptoms:
            raise DiagnosisError(f"there is no symptom '{name}'")
    if both := sorted(set(call.symptoms) & set(call.absent)):
        raise DiagnosisError(f"symptom '{both[0]}' is said to be there and not to be there")
    for feature, value in call.equipment.items():
        if feature not in call.library.equipment:
            raise DiagnosisError(f"there is no equipment feature '{feature}'")
        if value not in call.library.equipment[feature].values:
            raise DiagnosisError(f"equipment '{feature}' has no value '{value}'")
    steps = {*call.library.tests, *(f"equipment.{name}" for name in call.library.equipment)}
    steps |= {name for fault in call.library.faults.values() for name, _ in fault.named_repairs}
    if unknown := sorted(call.cannot - steps):
        raise DiagnosisError(f"there is no test or repair '{unknown[0]}'")


def prior_of(call: Call) -> tuple[tuple[FaultCard, ...], Floats]:
    """The candidates that can exist here and their weights, the unlisted cause's last (rules 3, 4, 9)."""
    entry, *further = (call.library.symptoms[name] for name in call.symptoms)
    named = {fault.id: fault for name in call.symptoms for fault in call.library.candidates(name)}
    faults: list[FaultCard] = []
    weights: list[float] = []
    for name in sorted(named):
        share = _equipment_share(call, named[name].place(entry.id))
        if share > 0:
            faults.append(named[name])
            weights.append(named[name].how_common * _shows(named[name], entry) * share)
    if entry.unlisted >= 1:
        raise DiagnosisError(f"symptom '{entry.id}': the unlisted share must be below 1")
    # Where no card can exist on this equipment, whatever it is has no card.
    weights.append(entry.unlisted / (1 - entry.unlisted) * (math.fsum(weights) or 1.0))
    prior = np.array(weights)
    for symptom in further:
        prior = prior * [*(_shows(fault, symptom) for fault in faults), symptom.otherwise]
    for symptom in (call.library.symptoms[name] for name in call.absent):
        prior = prior * [*(1 - _shows(fault, symptom) for fault in faults), 1 - symptom.otherwise]
    return tuple(faults), frozen_array(prior)


def _shows(fault: FaultCard, symptom: Symptom) -> float:
    return fault.symptoms.get(symptom.id, symptom.otherwise)


def _equipment_share(call: Call, found_on: Choices) -> float:
    """P(the equipment is such that the card applies): 0 or 1 for known features, shares for the others."""
    share = 1.0
    for feature, allowed in found_on.items():
        if feature in call.equipment:
            share *= call.equipment[feature] in allowed
        else:
            shares = feature_shares(call.library.equipment[feature])
            share *= math.fsum(shares[value] for value in sorted(set(allowed)))
    return share


def by_row(faults: tuple[FaultCard, ...], rows: tuple[Row, ...], weights: Floats) -> Floats:
    """The faults' weights, each shared among its rows, and the unlisted cause's."""
    weight = dict(zip((fault.id for fault in faults), weights.tolist(), strict=False))
    return frozen_array([*(weight[row.fault.id] * row.share for row in rows), weights[-1]])


def feature_shares(feature: Feature) -> dict[str, float]:
    """The shares of a feature's values among systems, brought to a sum of 1."""
    values = feature.values
    total = math.fsum(value.share for value in values.values())
    return {name: value.share / total for name, value in values.items()}


def fitted(call: Call, card: TestCard | RepairCard | FaultCard) -> bool:
    """False where the known equipment rules the card out."""
    known = ((call.equipment[name], allowed) for name, allowed in card.found_on.items() if name in call.equipment)
    return all(value in allowed for value, allowed in known)


def needs_of(call: Call, needs: Choices, *found_on: Choices) -> Conditions:
    """The findings a step needs, those about equipment not known yet included."""
    conditions = dict(one_of(needs))
    for applies in found_on:
        for feature, allowed in applies.items():
            if feature not in call.equipment:
                question = f"equipment.{feature}"
                conditions[question] = conditions.get(question, frozenset(allowed)) & frozenset(allowed)
    return conditions
