"""Arguments of the command, and which function answers each."""

import argparse
import os
import sys
from collections.abc import Sequence

from faultleaf import __version__
from faultleaf.cli import book, build, charts, check, new, plan, rank, safe_card, sheet, work
from faultleaf.cli.speak import CommandError, say
from faultleaf.diagnosis import DiagnosisError


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command; 0 when all is well, 1 when the person has something to mend, 2 for wrong usage."""
    options = _parser().parse_args(arguments)
    try:
        answer: int = options.run(options)
        sys.stdout.flush()
    except (CommandError, DiagnosisError) as error:
        say(f"faultleaf: {error}", error=True)
        return 1
    except BrokenPipeError:
        # Whoever read our answer has seen enough (`| head`). Python's last flush must find an open pipe.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 1
    return answer


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="faultleaf", description="Fault cards in, a troubleshooting site out.")
    parser.add_argument("--version", action="version", version=f"faultleaf {__version__}")
    commands = parser.add_subparsers(required=True, metavar="COMMAND")
    for command in (check, rank, plan, sheet, work, book, safe_card, build, charts, new):
        command.add_parser(commands)
    return parser
