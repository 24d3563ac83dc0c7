"""`faultleaf check`: what is wrong with the cards, and where the knowledge is weak."""

import argparse
import datetime as dt
import json

from faultleaf.cli.project import Sources, add_project, layers_of, sources_of
from faultleaf.cli.speak import say
from faultleaf.pipeline.check import Checked, check_content


def add_parser(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the sub-command."""
    parser = commands.add_parser("check", help="name every mistake in the cards, and the weak spots")
    parser.add_argument("folders", nargs="*", help="folders of cards, the base first (default: the site's)")
    parser.add_argument("--json", action="store_true", help="answer as JSON")
    parser.add_argument("--as-of", type=_day, metavar="DATE", help="name reviews overdue on this day")
    add_project(parser)
    parser.set_defaults(run=run)


def _day(text: str) -> dt.date:
    try:
        return dt.date.fromisoformat(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"expected a date like 2026-11-25, found '{text}'") from None


def run(options: argparse.Namespace) -> int:
    """Print the answer; 1 when there is a mistake."""
    sources = Sources(layers_of(options.folders)) if options.folders else sources_of(options)
    checked = check_content(sources.layers, options.as_of, sources.name)
    if options.json:
        print(json.dumps(_as_json(checked), indent=1))
    else:
        for item in (*checked.mistakes, *checked.warnings):
            say(str(item))
        say(f"{_count(checked.mistakes, 'mistake')}, {_count(checked.warnings, 'warning')}.")
    return 1 if checked.mistakes else 0


def _as_json(checked: Checked) -> dict[str, object]:
    return {
        "mistakes": [mistake.as_json() for mistake in checked.mistakes],
        "warnings": [warning.as_json() for warning in checked.warnings],
    }


def _count(items: tuple[object, ...], noun: str) -> str:
    return f"{len(items)} {noun}" + ("" if len(items) == 1 else "s")
