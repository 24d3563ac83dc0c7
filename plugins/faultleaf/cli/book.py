"""`faultleaf book`: all sheets of a site as one PDF, the field book."""

import argparse

from faultleaf.cli.project import read_library
from faultleaf.cli.sheet import add_printed, write_printed
from faultleaf.cli.speak import CommandError, say
from faultleaf.pipeline.sheets import print_book


def add_parser(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the sub-command."""
    parser = commands.add_parser("book", help="print all sheets as one PDF, the field book")
    add_printed(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Write the book; raises CommandError for what the person at the terminal has to mend."""
    library = read_library(options)
    if not any(one.variants for one in library.symptoms.values() if not one.emergency):
        raise CommandError("no symptom has variants, so there is no chart to print")
    write_printed(options, library, lambda maker, kept: print_book(library, options.paper, maker, kept))
    say(f"{options.out}: the field book on {options.paper} paper.")
    return 0
