"""Arguments of the command, and which function answers each."""

import argparse
import sys
from collections.abc import Sequence

from faultleaf import __version__
from faultleaf.cli import check


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command; 0 when all is well, 1 when the author has something to mend, 2 for wrong usage."""
    options = _parser().parse_args(arguments)
    answer: int = options.run(options)
    return answer


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="faultleaf", description="Fault cards in, a troubleshooting site out.")
    parser.add_argument("--version", action="version", version=f"faultleaf {__version__}")
    commands = parser.add_subparsers(required=True, metavar="COMMAND")
    check.add_parser(commands)
    return parser


if __name__ == "__main__":
    sys.exit(main())
