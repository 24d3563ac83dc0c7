"""What the commands share: printing on any terminal, and names checked before they are used."""

import sys
from collections.abc import Iterable, Mapping

from faultleaf.cards import Library, did_you_mean
from faultleaf.cards.mistakes import printable


class CommandError(Exception):
    """What the person at the terminal has to mend, in one sentence."""


def say(text: str, *, error: bool = False) -> None:
    """Print, with escapes for what the terminal would obey or cannot show (a file name may hold anything)."""
    stream = sys.stderr if error else sys.stdout
    encoding = stream.encoding or "utf-8"
    print(printable(text).encode(encoding, "backslashreplace").decode(encoding), file=stream)


def check_known(name: str, names: Iterable[str], what: str) -> None:
    """Raise CommandError, with the nearest valid name, where the name is not among the names."""
    known = list(names)
    if name not in known:
        raise CommandError(f"there is no {what} '{name}'. {did_you_mean(name, known)}".rstrip())


def check_equipment(library: Library, equipment: Mapping[str, str]) -> None:
    """Raise CommandError for a feature or a value that the library does not have."""
    for feature, value in equipment.items():
        check_known(feature, library.equipment, "feature")
        check_known(value, library.equipment[feature].values, f"value of '{feature}'")


def pairs(given: list[str] | None, what: str) -> dict[str, str]:
    """`NAME=VALUE` arguments as a mapping; raises CommandError for any other shape.

    >>> pairs(["water-feed=manual"], "--has")
    {'water-feed': 'manual'}
    """
    found: dict[str, str] = {}
    for argument in given or ():
        name, equals, value = argument.partition("=")
        if not (name and equals and value):
            raise CommandError(f"{what} expects NAME=VALUE, found '{argument}'")
        if found.get(name, value) != value:
            raise CommandError(f"{what} names '{name}' twice, as '{found[name]}' and as '{value}'")
        found[name] = value
    return found
