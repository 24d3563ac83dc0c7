"""Numbers as people read them."""

from faultleaf.cards.vocabulary import probability_word, rate_word

_RANK_WORDS = {
    "owner": "Owner: look only",
    "apprentice": "Apprentice, supervised",
    "technician": "Technician",
    "licensed": "Licensed",
}


def share_text(share: float) -> str:
    """A share of calls in percent, rounded as far as it deserves.

    >>> share_text(0.2345), share_text(0.0423), share_text(0.002)
    ('23 %', '4.2 %', 'under 1 %')
    """
    percent = share * 100
    if percent < 1:
        return "under 1 %" if percent > 0 else "0 %"
    return f"{percent:.1f} %" if percent < 9.95 else f"{percent:.0f} %"


def strength_text(value: float) -> str:
    """A probability as its word with the number, or the number alone.

    >>> strength_text(0.85), strength_text(0.4)
    ('usually (.85)', '.4')
    """
    number = f"{value:g}".removeprefix("0") or "0"
    word = probability_word(value)
    return f"{word.replace('-', ' ')} ({number})" if word else number


def rate_text(value: float) -> str:
    """A base rate as its word with the number, or the number alone."""
    word = rate_word(value)
    return f"{word.replace('-', ' ')} ({value:g})" if word else f"{value:g}"


def factor_text(factor: float) -> str:
    """How much likelier or less likely a finding makes a cause.

    >>> factor_text(3.21), factor_text(0.25)
    ('×3.2 likelier', '×4 less likely')
    """
    times, word = (factor, "likelier") if factor >= 1 else (1 / factor if factor else float("inf"), "less likely")
    return f"×{times:.2g} {word}" if times < 99.5 else f"over ×99 {word}"


def rank_text(rank: str) -> str:
    """Who may do a step, in words."""
    return _RANK_WORDS[rank]


def capital(text: str) -> str:
    """The text with its first letter large."""
    return text[:1].upper() + text[1:]
