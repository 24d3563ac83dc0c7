"""Units: factors as the standards define them, families that measure one thing, and what must not be mixed."""

import itertools

import pytest
from faultleaf.cards.vocabulary import UNITS
from faultleaf.physics import UNIT_NAMES, alternatives, dimension_words, look_up, unit_named
from faultleaf.physics.tables import RADIATOR_RATINGS, TABLES, NotInTable


@pytest.mark.parametrize(
    ("name", "value", "si"),
    [  # NIST SP 811, appendix B (from memory)
        ("psi", 1, 6894.757293168361), ("oz/in2", 16, 6894.757293168361), ("gal", 1, 3.785411784e-3), ("in", 1, 0.0254),
        ("degF", 212, 373.15), ("degF", -40, 233.15), ("degC", -40, 233.15), ("degF difference", 9, 5.0),
        ("BTU", 1, 1055.05585262), ("lb", 1, 0.45359237), ("gpg", 1, 0.01711806), ("inHg", 1, 3386.389),
        ("BTU/lb", 1, 2326.0), ("percent", 4, 0.04), ("gpm", 1, 6.30902e-5), ("drops/min", 60, 1.0),
    ],
)  # fmt: skip
def test_factors(name: str, value: float, si: float) -> None:
    assert unit_named(name).to_si(value) == pytest.approx(si, rel=1e-6)
    assert unit_named(name).from_si(unit_named(name).to_si(value)) == pytest.approx(value, rel=1e-12)


def test_a_field_can_only_be_switched_to_what_measures_the_same() -> None:
    for name in UNIT_NAMES:
        dimensions = {str(unit_named(other).dimension) for other in alternatives(name)}
        assert len(dimensions) == 1, name
        assert name in alternatives(name)
        assert all(alternatives(other) == alternatives(name) for other in alternatives(name))


def test_every_unit_of_the_vocabulary_is_known_and_labelled() -> None:
    assert UNITS == UNIT_NAMES
    labels = [unit_named(name).label for name in UNIT_NAMES]
    assert all(label == label.strip() for label in labels)


def test_what_the_trade_must_not_mix_differs() -> None:
    kinds = ("in", "gal", "EDR", "ft2", "drops", "psi", "lb", "degF", "$", "h")
    for one, other in itertools.combinations(kinds, 2):
        assert unit_named(one).dimension != unit_named(other).dimension
    assert dimension_words(unit_named("mm").dimension) == "a length"


def test_tables_grow_with_size_and_refuse_what_they_do_not_print() -> None:
    for table in TABLES.values():
        assert list(table.values.values()) == sorted(table.values.values())
        assert "read" in table.source or "memory" in table.source
    for rating in RADIATOR_RATINGS.values():
        assert list(rating.by_height.values()) == sorted(rating.by_height.values())
    with pytest.raises(NotInTable, match=r"2, 2\.5, 3, 4 in only"):
        look_up("main-capacity", 1.5)
