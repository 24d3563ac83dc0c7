"""What is typed is read as a tradesman means it, or refused with a reason."""

import pytest
from faultleaf.physics import unit_named
from faultleaf.worksheets import NotRead, read_typed

from tests.worksheets.typed_cases import CASES, Typed


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.text[:20])
def test_typed(case: Typed) -> None:
    unit = unit_named(case.unit)
    if case.value is None:
        with pytest.raises(NotRead, match=case.reason):
            read_typed(case.text, case.unit, case.least, case.most)
        return
    found = read_typed(case.text, case.unit, case.least, case.most)
    assert unit.from_si(found.value) == pytest.approx(case.value, rel=1e-9, abs=1e-12)
    assert found.give / unit.factor == pytest.approx(case.give, rel=1e-9)


def test_a_give_that_stands_apart() -> None:
    found = read_typed("1 1/4", "in", give="1/16")
    assert found.give == pytest.approx(0.0254 / 16)
    assert read_typed("68 °F", "degC", give="2").give == pytest.approx(2 * 5 / 9)
