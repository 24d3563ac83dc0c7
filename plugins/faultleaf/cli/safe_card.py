"""`faultleaf safe-card`: what stops a call and what is done then, as one page for the wall."""

import argparse

from faultleaf.cli.project import read_library
from faultleaf.cli.sheet import add_printed, write_printed
from faultleaf.cli.speak import CommandError, say
from faultleaf.sheets import PAPERS, has_stops, make_safe_card


def add_parser(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the sub-command."""
    parser = commands.add_parser("safe-card", help="print every stop as one page for the wall")
    add_printed(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Write the card; raises CommandError for what the person at the terminal has to mend."""
    library = read_library(options)
    if not has_stops(library):
        raise CommandError("no test has an outcome that stops a call, so there is nothing to print")
    write_printed(options, library, lambda maker, _: make_safe_card(library, PAPERS[options.paper], maker))
    say(f"{options.out}: what stops a call, on {options.paper} paper.")
    return 0
