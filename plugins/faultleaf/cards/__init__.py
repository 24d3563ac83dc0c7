"""Typed cards, their vocabulary and the mistakes authors make: frozen, no rendering, no files."""

from faultleaf.cards.library import CardKey, Library
from faultleaf.cards.likelihood import fault_rates, otherwise_rates, outcome_rates
from faultleaf.cards.mistakes import Mistake, Origin, did_you_mean
from faultleaf.cards.models import (
    CARD_TYPES,
    Body,
    Card,
    Caution,
    Component,
    Fault,
    Picture,
    Proof,
    Reading,
    Reference,
    Repair,
    Section,
    Survey,
    Symptom,
    Term,
    Test,
    Worksheet,
)  # fmt: skip
from faultleaf.cards.settings import Feature, Notion, SiteValues, Source
from faultleaf.cards.urls import card_url, chart_url, graph_url

__all__ = [
    "CARD_TYPES", "Body", "Card", "CardKey", "Caution", "Component", "Fault", "Feature", "Library", "Mistake",
    "Notion", "Origin", "Picture", "Proof", "Reading", "Reference", "Repair", "Section", "SiteValues", "Source",
    "Survey", "Symptom", "Term", "Test", "Worksheet", "card_url", "chart_url", "did_you_mean", "fault_rates",
    "graph_url", "otherwise_rates", "outcome_rates",
]  # fmt: skip
