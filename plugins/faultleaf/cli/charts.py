"""`faultleaf charts`: plan every chart once and keep the plans beside the cards, so that others start from them."""

import argparse
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from faultleaf.cli.project import add_project, read_library, sources_of
from faultleaf.cli.speak import CommandError, say
from faultleaf.diagnosis import PlanError, Problem
from faultleaf.diagnosis.worth.figured import USUAL, Effort
from faultleaf.intake import Layer
from faultleaf.pipeline.asked import ask_all
from faultleaf.pipeline.figures import figure_all, write_planned
from faultleaf.pipeline.sheets import charted, choose_all, onward_of, sheet_maker
from faultleaf.pipeline.shelf import OVERLEAF, PLANNED, kept_of
from faultleaf.sheets import SheetError


def add_parser(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the sub-command."""
    parser = commands.add_parser("charts", help="plan all charts and keep the plans beside the cards")
    add_project(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Write the `planned` folders of the last content folder; raises CommandError where it cannot be done."""
    layers = sources_of(options).layers
    library, own = read_library(options), layers[-1]
    asked = charted(library)
    try:
        _write(tuple(asked.values()), own.root / PLANNED, layers, USUAL)
        maker, figures = sheet_maker(library, layers), figure_all(tuple(asked.values()), kept_of(layers))
        chosen = choose_all(library, asked, figures, maker)
        over = tuple(problem for fronts in chosen if (problem := onward_of(fronts)) is not None)
        _write(over, own.root / OVERLEAF, layers, None)
        ask_all(asked, replace(kept_of(layers), own=own.root / PLANNED), most=0)
    except (OSError, PlanError, SheetError) as error:
        raise CommandError(f"{own.root / PLANNED}: {error}") from None
    return 0


def _write(problems: Sequence[Problem], folder: Path, layers: Sequence[Layer], effort: Effort | None) -> None:
    """Plan what is missing of these problems, keep it in the folder, and say so."""
    made = write_planned(problems, folder, kept_of(layers), kept_of(layers[:-1]), effort)
    say(f"{folder}: {made.own} of {len(problems)} charts are kept there, {made.new} of them planned now.")
