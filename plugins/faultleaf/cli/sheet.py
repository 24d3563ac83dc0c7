"""`faultleaf sheet`: one symptom's chart with all that belongs to it, as a page to print."""

import argparse
from collections.abc import Callable, Mapping
from pathlib import Path

from faultleaf.cards import Library, Symptom
from faultleaf.cli.project import add_project, read_library, sources_of
from faultleaf.cli.speak import CommandError, check_equipment, check_known, pairs, say
from faultleaf.pipeline.drawn import DrawnBefore
from faultleaf.pipeline.sheets import Wish, print_sheet, sheet_maker
from faultleaf.pipeline.shelf import Kept, kept_of
from faultleaf.sheets import PAPERS, Maker, SheetError


def add_parser(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the sub-command."""
    parser = commands.add_parser("sheet", help="print a symptom's flowchart as a PDF of one page")
    parser.add_argument("symptom", metavar="SYMPTOM", help="a symptom id")
    parser.add_argument("--has", action="append", metavar="FEATURE=VALUE", help="equipment that is known")
    parser.add_argument("--as-fitted", action="store_true",
                        help="plan a chart for just the equipment given, where the library ships none")  # fmt: skip
    side = parser.add_mutually_exclusive_group()
    side.add_argument("--back", action="store_true", help="add the other side: methods, readings, job record")
    side.add_argument("--large", action="store_true", help="in large print, over numbered sheets")
    add_printed(parser)
    parser.set_defaults(run=run)


def add_printed(parser: argparse.ArgumentParser) -> None:
    """The options of every command that prints."""
    parser.add_argument("--paper", default="letter", choices=tuple(PAPERS), help="the paper (default: letter)")
    parser.add_argument("--out", required=True, metavar="FILE", help="the PDF file to write")
    add_project(parser)


def run(options: argparse.Namespace) -> int:
    """Write the sheet; raises CommandError for what the person at the terminal has to mend."""
    library = read_library(options)
    known = pairs(options.has, "--has")
    check_known(options.symptom, library.symptoms, "symptom")
    check_equipment(library, known)
    symptom = library.symptoms[options.symptom]
    if symptom.emergency:
        raise CommandError(f"'{symptom.id}' is an emergency: make safe and hand on; it has no chart")
    if options.as_fitted:
        symptom, variant = as_fitted(library, symptom, known)
    else:
        variant = variant_of(symptom, known)
    wish = Wish(options.paper, options.back, options.large)
    write_printed(options, library, lambda maker, kept: print_sheet(library, symptom, variant, wish, maker, kept))
    say(f"{options.out}: {symptom.title}; {variant}; {options.paper} paper.")
    return 0


def write_printed(options: argparse.Namespace, library: Library, make: Callable[[Maker, Kept], bytes]) -> None:
    """Write what `make` prints to the file that is wanted; `make` is given the press and where results are kept.

    Raises CommandError where nothing fits the paper or the file cannot be written.
    """
    sources = sources_of(options)
    kept = kept_of(sources.layers, sources.kept)
    drawn = DrawnBefore(sources.kept) if sources.kept else None
    try:
        Path(options.out).write_bytes(make(sheet_maker(library, sources.layers, drawn), kept))
    except SheetError as error:
        raise CommandError(str(error)) from None
    except OSError as error:
        raise CommandError(f"'{options.out}' cannot be written: {error.strerror}") from None


def as_fitted(library: Library, symptom: Symptom, known: Mapping[str, str]) -> tuple[Symptom, str]:
    """The symptom with this equipment among its variants, and the name of that: the shipped one where it is shipped,
    else what is fitted, in words."""
    shipped = [name for name, equipment in symptom.variants.items() if dict(equipment) == dict(known)]
    if shipped:
        return symptom, shipped[0]
    titles = [library.equipment[feature].values[value].title for feature, value in known.items()]
    name = ", ".join(titles) or "any system"
    return symptom.model_copy(update={"variants": {**symptom.variants, name: dict(known)}}), name


def variant_of(symptom: Symptom, known: Mapping[str, str]) -> str:
    """The one variant that what is known agrees with; raises CommandError where there is none, or several."""
    if not symptom.variants:
        raise CommandError(f"'{symptom.id}' has no variants, so no chart is made for it")
    agreeing = [
        name
        for name, equipment in symptom.variants.items()
        if all(equipment.get(feature) == value for feature, value in known.items())
    ]
    exact = [name for name in agreeing if dict(symptom.variants[name]) == dict(known)]
    if len(agreeing) == 1 or exact:
        return (exact or agreeing)[0]
    trouble = "no chart is made for that equipment" if not agreeing else "several charts agree with that"
    shown = agreeing or list(symptom.variants)
    lines = [f"  {name}: {_options(symptom, shown, name)}" for name in shown]
    own = "or add --as-fitted to plan one for just what you gave"
    raise CommandError("\n".join([f"{trouble}; choose one, {own}:", *lines]))


def _options(symptom: Symptom, names: list[str], name: str) -> str:
    """The options that tell this variant from the other ones."""
    own = symptom.variants[name]
    telling = [f for f in own if any(symptom.variants[other].get(f) != own[f] for other in names)]
    return " ".join(f"--has {feature}={own[feature]}" for feature in telling)
