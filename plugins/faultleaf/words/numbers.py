"""Numbers as people read them, the same on pages, sheets, terminal and call.

The browser's words (`call-view/words.js`, `worksheets/shown.js`) are held to the same cases, tests/cases/words.json.
"""

import math
from collections.abc import Mapping, Sequence
from math import floor, inf
from typing import Final

from faultleaf.cards.vocabulary import PROBABILITY_WORDS, RATE_WORDS
from faultleaf.worksheets.shown import plain_text

_DAY = 1440
_SMALLEST = 0.005
"""What is seen less often counts as never."""
_SAME = 1e-9
"""What rounding leaves behind must not tip a half."""


def minutes_text(minutes: float) -> str:
    """A duration in the two largest units that say it.

    >>> minutes_text(90), minutes_text(10080), minutes_text(5), minutes_text(1505)
    ('1 h 30 min', '7 days', '5 min', '1 day 1 h')
    """
    whole = floor(minutes + 0.5) if minutes < _DAY else floor(minutes / 60 + 0.5) * 60
    days, rest = divmod(whole, _DAY)
    hours, left = divmod(rest, 60)
    parts = [(days, "day" if days == 1 else "days"), (hours, "h"), (left, "min")]
    return " ".join(f"{count} {unit}" for count, unit in parts if count) or "0 min"


def effort_text(takes: float, wait: float, who: str) -> str:
    """Hands-on minutes, hours of waiting and the letter of the lowest rank, as a box of a chart says them.

    >>> effort_text(5, 480, "apprentice"), effort_text(90, 0, "licensed")
    ('5 min + 8 h A', '1 h 30 min L')
    """
    waiting = f" + {minutes_text(wait)}" if wait else ""
    return f"{minutes_text(takes)}{waiting} {who[0].upper()}"


def share_text(share: float) -> str:
    """A share of calls in whole percents, halves up: no finding and no card is worth a tenth of one.

    >>> share_text(0.2345), share_text(0.985), share_text(0.002), share_text(0.998)
    ('23 %', '99 %', 'under 1 %', 'over 99 %')
    """
    if 0 < share < 0.01 - _SAME:
        return "under 1 %"
    return "over 99 %" if 0.995 <= share < 1 - _SAME else f"{floor(share * 100 + 0.5 + _SAME)} %"


def limits_text(limits: Mapping[str, tuple[float, float]], outcome: str, unit: str) -> str:
    """The readings of one outcome with their unit: each range holds its lower limit and not its upper one.

    >>> sides = {"low": (0.0, 20.0), "fair": (20.0, 80.0), "high": (80.0, float("inf"))}
    >>> [limits_text(sides, name, "psi") for name in sides]
    ['under 20 psi', '20 to under 80 psi', '80 psi or more']
    >>> limits_text({"drawn": (-5.0, 5.0)}, "drawn", "inWC")
    '-5 to under 5 inWC'
    """
    low, high = limits[outcome]
    least, most = plain_text(low) if low > -inf else "", plain_text(high) if high < inf else ""
    if not most:
        return f"{least} {unit} or more" if least else f"any {unit}"
    # Nought is said only where a reading may lie below it.
    from_nothing = low == 0 and all(other >= 0 for other, _ in limits.values())
    return f"{least} to under {most} {unit}" if least and not from_nothing else f"under {most} {unit}"


def ends_text(cured: float, named: float, handed_on: float, stopped: float, work_minutes: float) -> str:
    """How calls end: shares in whole percents that add up to 100, and the work in those that were cured.

    What no call comes to is left out. One sum would hide the price of handing on in it.

    >>> ends_text(0.614, 0.02, 0.336, 0.03, 103.0)
    'Of 100 such calls about 61 end cured, 2 with the cause named, 34 handed on, 3 stopped for safety; the cured \
ones take about 1 h 45 min of work.'
    """
    ends = {"cured": cured, "with the cause named": named, "handed on": handed_on, "stopped for safety": stopped}
    counts = hundredths(tuple(ends.values()))
    met = ((name, count) for (name, share), count in zip(ends.items(), counts, strict=True) if share > _SAME)
    said = (f"{count or 'under 1'}{'' if place else ' end'} {name}" for place, (name, count) in enumerate(met))
    work = f"; the cured ones take about {minutes_text(5 * round(work_minutes / 5))} of work" if work_minutes else ""
    return f"Of 100 such calls about {', '.join(said)}{work}."


def hundredths(shares: Sequence[float]) -> tuple[int, ...]:
    """Shares that add up to 1 as whole percents that add up to 100: those cut most by rounding down get the rest.

    >>> hundredths((1 / 3, 1 / 3, 1 / 3))
    (34, 33, 33)
    """
    whole = [floor(share * 100 + _SAME) for share in shares]
    left = round(math.fsum(shares) * 100) - sum(whole)
    order = sorted(range(len(shares)), key=lambda place: (whole[place] - shares[place] * 100, place))
    return tuple(count + (place in order[:left]) for place, count in enumerate(whole))


_DOTS_OF_PROBABILITY: Final = (0.2, 0.4, 0.6, 0.9)
_DOTS_OF_RATE: Final = (0.7, 1.5, 3.0, 6.0)
DOTS_OF_SHARE: Final = (0.01, 0.05, 0.1, 0.2)
"""Where one dot more begins: for words about halfway between two of them."""


def often_text(value: float) -> str:
    """A probability as the nearest word; what is less certain than a word is not called by it.

    >>> often_text(0.85), often_text(0.4), often_text(0.9999), often_text(1), often_text(0)
    ('usually', 'half', 'always', 'always', 'never')
    """
    return min(PROBABILITY_WORDS, key=lambda word: abs(PROBABILITY_WORDS[word] - value)).replace("-", " ")


def often_dots(value: float) -> int:
    """How many of five dots say a probability; never is none, hardly ever is one.

    >>> [often_dots(value) for value in (0.0, 0.02, 0.3, 0.5, 0.85, 0.95)]
    [0, 1, 2, 3, 4, 5]
    """
    return 0 if value < _SMALLEST else 1 + sum(value >= least for least in _DOTS_OF_PROBABILITY)


def common_text(rate: float) -> str:
    """A base rate as the nearest word, by its ratio.

    >>> common_text(8), common_text(0.5), common_text(3)
    ('very common', 'rare', 'common')
    """
    return min(RATE_WORDS, key=lambda word: abs(math.log(RATE_WORDS[word] / max(rate, _SMALLEST)))).replace("-", " ")


def common_dots(rate: float) -> int:
    """How many of five dots say a base rate.

    >>> [common_dots(rate) for rate in (0.4, 1, 2, 4, 8)]
    [1, 2, 3, 4, 5]
    """
    return 1 + sum(rate >= least for least in _DOTS_OF_RATE)


def share_dots(share: float) -> int:
    """How many of five dots say a share of calls: finer below, since forty causes divide the calls among them.

    >>> [share_dots(share) for share in (0.004, 0.02, 0.06, 0.15, 0.3)]
    [1, 2, 3, 4, 5]
    """
    return 1 + sum(share >= least for least in DOTS_OF_SHARE)
