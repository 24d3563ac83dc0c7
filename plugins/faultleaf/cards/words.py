"""Durations, shares and ranks as people read them."""

_DAY = 1440
_RANK_WORDS = {
    "owner": "Owner: look only",
    "apprentice": "Apprentice, supervised",
    "technician": "Technician",
    "licensed": "Licensed",
}


def minutes_text(minutes: float) -> str:
    """A duration in the two largest units that say it.

    >>> minutes_text(90), minutes_text(10080), minutes_text(5), minutes_text(1505)
    ('1 h 30 min', '7 days', '5 min', '1 day 1 h')
    """
    whole = round(minutes) if minutes < _DAY else round(minutes / 60) * 60
    days, rest = divmod(whole, _DAY)
    hours, left = divmod(rest, 60)
    parts = [(days, "day" if days == 1 else "days"), (hours, "h"), (left, "min")]
    return " ".join(f"{count} {unit}" for count, unit in parts if count) or "0 min"


def share_text(share: float) -> str:
    """A share of calls in percent, rounded as far as it deserves.

    >>> share_text(0.2345), share_text(0.0423), share_text(0.002)
    ('23 %', '4.2 %', 'under 1 %')
    """
    percent = share * 100
    if percent < 1:
        return "under 1 %" if percent > 0 else "0 %"
    return f"{percent:.1f} %" if percent < 9.95 else f"{percent:.0f} %"


def rank_text(rank: str) -> str:
    """Who may do a step, in words."""
    return _RANK_WORDS[rank]


def capital(text: str) -> str:
    """The text with its first letter large."""
    return text[:1].upper() + text[1:]
