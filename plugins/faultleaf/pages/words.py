"""Numbers as people read them."""

from faultleaf.cards.vocabulary import probability_word, rate_word


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
