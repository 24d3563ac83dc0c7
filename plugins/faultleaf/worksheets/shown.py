"""Numbers as results show them: as many digits as they deserve. assets/js/worksheets/shown.js does the same."""

import math
from decimal import ROUND_HALF_UP, Decimal
from typing import Final

MOST_PLACES: Final = 6


def plain_text(value: float, digits: int = 6) -> str:
    """A number that a card gives, such as a limit: its digits that count, six at most, thousands apart.

    >>> plain_text(5000.0), plain_text(0.75), plain_text(-5.0), plain_text(1234567.0)
    ('5,000', '0.75', '-5', '1,234,570')
    """
    if value == 0:
        return "0"
    text = _at_places(value, places_for(value, digits))
    return text.rstrip("0").rstrip(".") if "." in text else text


def number_text(value: float, digits: int = 3) -> str:
    """The value with that many digits that count, thousands apart, no power of ten.

    >>> number_text(1234.5), number_text(0.0190202), number_text(7.0)
    ('1,230', '0.0190', '7.00')
    """
    return _at_places(value, places_for(value, digits))


def measured_text(value: float, give: float, digits: int = 3) -> str:
    """The value and its ±, both to the place that the ± deserves (two digits where it begins with 1).

    >>> measured_text(3.6123, 0.234), measured_text(48.2, 0.0), measured_text(1234.0, 130.0)
    ('3.6 ± 0.2', '48.2', '1,230 ± 130')
    """
    if give == 0:
        return number_text(value, digits)
    places = places_for(give, 2 if f"{give:.1e}".startswith("1") else 1)
    return f"{_at_places(value, places)} ± {_at_places(give, places)}"


def places_for(value: float, digits: int) -> int:
    """Decimal places (negative: before the point) that give so many digits; a huge or tiny value is kept sane."""
    if value == 0:
        return 0
    first = math.floor(math.log10(abs(value)) + 1e-12)
    return min(MOST_PLACES, digits - 1 - first)


def _at_places(value: float, places: int) -> str:
    rounded = Decimal(value).quantize(Decimal(1).scaleb(-places), ROUND_HALF_UP)
    text = f"{abs(rounded):,.{max(places, 0)}f}"
    return f"-{text}" if rounded < 0 else text
