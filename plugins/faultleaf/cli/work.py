"""`faultleaf work`: a worksheet, worked at the terminal."""

import argparse
import json
from typing import Any

from faultleaf.cards import Worksheet
from faultleaf.cli.project import add_project, read_library
from faultleaf.cli.speak import CommandError, check_known, pairs, say
from faultleaf.pages.worksheet import result_text
from faultleaf.physics import unit_named
from faultleaf.worksheets import Measured, NotRead, Worked, input_value, outside_range, work


def add_parser(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the sub-command."""
    parser = commands.add_parser("work", help="work a worksheet: its results, each with its ±")
    parser.add_argument("worksheet", nargs="?", metavar="WORKSHEET", help="its id; without one, all are listed")
    parser.add_argument("values", nargs="*", metavar="NAME=VALUE", help="rise='1 1/4 ± 1/16', pressure='3 oz' …")
    parser.add_argument("--json", action="store_true", help="answer as JSON, in SI units")
    add_project(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Print the results; raises CommandError for a name or a value that cannot be used."""
    library = read_library(options)
    if options.worksheet is None:
        for card in library.worksheets.values():
            say(f"{card.id}: {card.answers}")
        return 0
    check_known(options.worksheet, library.worksheets, "worksheet")
    card = library.worksheets[options.worksheet]
    typed = pairs(options.values, "work")
    given = _given(card, typed)
    worked = work(card.sheet, given)
    if options.json:
        print(json.dumps(_as_json(card, given, worked), indent=1))
        return 0
    for line in _lines(card, typed, given, worked):
        say(line)
    say("A hint for the next look, never proof that a boiler is safe. " + library.site.notice)
    return 0


def _given(card: Worksheet, typed: dict[str, str]) -> dict[str, Measured]:
    for name in typed:
        check_known(name, card.inputs, f"input of '{card.id}'")
    texts = {name: typed.get(name, each.usual) for name, each in card.inputs.items()}
    given = {}
    for name, text in texts.items():
        if text is None:
            continue
        try:
            given[name] = input_value(card.sheet.inputs[name], text)
        except NotRead as error:
            raise CommandError(f"{name}={text}: {error}") from None
    return given


def _lines(card: Worksheet, typed: dict[str, str], given: dict[str, Measured], worked: dict[str, Worked]) -> list[str]:
    lines = [card.title]
    for name, each in card.inputs.items():
        text = typed.get(name) or f"{each.usual} (first value)" if name in typed or each.usual else "not given"
        warning = outside_range(card.sheet.inputs[name], given[name]) if name in given else ""
        unit = "" if each.choices else f" [{unit_named(each.unit).label}]"
        lines.append(f"  {name}{unit} = {text}" + (f"   {warning}" if warning else ""))
    for name, result in card.results.items():
        found = worked[name]
        unit = unit_named(result.unit).label if found.value is not None else ""
        lines.append(f"{result.title}: {result_text(card, name, found)} {unit}".rstrip())
        if found.says:
            lines.append(f"    {found.says}" + (f" Within its ± also: {found.also}" if found.also else ""))
    return lines


def _as_json(card: Worksheet, given: dict[str, Measured], worked: dict[str, Worked]) -> dict[str, Any]:
    return {
        "worksheet": card.id,
        "given": {name: {"value": each.value, "give": each.give} for name, each in given.items()},
        "results": {
            name: {"value": each.value, "give": each.give, "reason": each.reason, "says": each.says, "also": each.also}
            for name, each in worked.items()
        },
    }
