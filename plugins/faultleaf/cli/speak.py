"""What the commands share: printing on any terminal, content folders, and the library or its mistakes."""

import argparse
import sys
from collections.abc import Iterable, Mapping
from pathlib import Path

from faultleaf.cards import Library, did_you_mean
from faultleaf.intake import Layer
from faultleaf.pipeline.check import check_content


class CommandError(Exception):
    """What the person at the terminal has to mend, in one sentence."""


def say(text: str, *, error: bool = False) -> None:
    """Print, with escapes for what the terminal's encoding cannot show (a file name may hold anything)."""
    stream = sys.stderr if error else sys.stdout
    encoding = stream.encoding or "utf-8"
    print(text.encode(encoding, "backslashreplace").decode(encoding), file=stream)


def add_content(parser: argparse.ArgumentParser) -> None:
    """Add the option that names the content folders."""
    parser.add_argument(
        "--content", action="append", metavar="FOLDER", help="a content folder, the base first (default: content)"
    )


def layers_of(folders: list[str]) -> list[Layer]:
    """Content folders as layers, shown as they were typed."""
    return [Layer(Path(folder), folder.rstrip("/\\")) for folder in folders]


def content_layers(options: argparse.Namespace) -> list[Layer]:
    """The content folders that the options name."""
    return layers_of(options.content or ["content"])


def read_library(options: argparse.Namespace) -> Library:
    """The library that the options name; raises CommandError with every mistake in it."""
    checked = check_content(content_layers(options))
    if checked.library is None:
        lines = "\n".join(str(mistake) for mistake in checked.mistakes)
        raise CommandError(f"{lines}\nThe cards have mistakes; mend them first.")
    return checked.library


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
