"""Durations as people read them."""

_DAY = 1440


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
