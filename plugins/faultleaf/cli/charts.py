"""`faultleaf charts`: plan every chart once and keep the plans beside the cards, so that others start from them."""

import argparse

from faultleaf.cli.speak import CommandError, add_content, content_layers, read_library, say
from faultleaf.diagnosis import PlanError
from faultleaf.pipeline.figures import write_planned
from faultleaf.pipeline.sheets import charted
from faultleaf.pipeline.shelf import PLANNED, kept_of


def add_parser(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the sub-command."""
    parser = commands.add_parser("charts", help="plan all charts and keep the plans beside the cards")
    add_content(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Write the `planned` folder of the last content folder; raises CommandError where it cannot be done."""
    *bases, own = content_layers(options)
    problems = tuple(charted(read_library(options)).values())
    folder = own.root / PLANNED
    try:
        made = write_planned(problems, folder, kept_of([*bases, own]), kept_of(bases))
    except (OSError, PlanError) as error:
        raise CommandError(f"{folder}: {error}") from None
    say(f"{folder}: {made.own} of {len(problems)} charts are kept there, {made.new} of them planned now.")
    return 0
