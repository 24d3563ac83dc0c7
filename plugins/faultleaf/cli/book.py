"""`faultleaf book`: all sheets of a site as one PDF, the field book."""

import argparse
from pathlib import Path

from faultleaf.cli.sheet import KEPT
from faultleaf.cli.speak import CommandError, add_content, content_layers, read_library, say
from faultleaf.pipeline.sheets import print_book, sheet_maker
from faultleaf.sheets import PAPERS, SheetError


def add_parser(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the sub-command."""
    parser = commands.add_parser("book", help="print all sheets as one PDF, the field book")
    parser.add_argument("--paper", default="letter", choices=tuple(PAPERS), help="the paper (default: letter)")
    parser.add_argument("--out", required=True, metavar="FILE", help="the PDF file to write")
    add_content(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Write the book; raises CommandError for what the person at the terminal has to mend."""
    library = read_library(options)
    if not any(one.variants for one in library.symptoms.values() if not one.emergency):
        raise CommandError("no symptom has variants, so there is no chart to print")
    maker = sheet_maker(library, content_layers(options))
    kept = KEPT if Path("mkdocs.yml").is_file() else None
    try:
        Path(options.out).write_bytes(print_book(library, options.paper, maker, kept))
    except SheetError as error:
        raise CommandError(str(error)) from None
    except OSError as error:
        raise CommandError(f"'{options.out}' cannot be written: {error.strerror}") from None
    say(f"{options.out}: the field book on {options.paper} paper.")
    return 0
