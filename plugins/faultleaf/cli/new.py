"""`faultleaf new`: a card to fill in, with every field of its kind; or a site of one's own to begin with."""

import argparse
from pathlib import Path

from pydantic_core import PydanticCustomError

from faultleaf.cards import CARD_TYPES, did_you_mean
from faultleaf.cards.urls import slug
from faultleaf.cards.values import parse_line
from faultleaf.cli.new_site import SITE, new_site, write_new
from faultleaf.cli.project import add_project, sources_of
from faultleaf.cli.skeletons import skeleton
from faultleaf.cli.speak import CommandError, say
from faultleaf.intake import read_library


def add_parser(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the sub-command."""
    parser = commands.add_parser("new", help="start a card, or a site of your own")
    kinds = ", ".join(card_type.kind for card_type in CARD_TYPES)
    parser.add_argument("kind", help=f"{SITE}, or a kind of card: {kinds}")
    parser.add_argument("title", help="the name people read")
    add_project(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Write the card or the site and say where; never over another file."""
    kinds = {card_type.kind: card_type for card_type in CARD_TYPES}
    if options.kind == SITE:
        new_site(Path(_id(_title(options.title))), _title(options.title))
        return 0
    if options.kind not in kinds:
        raise CommandError(f"there is no kind '{options.kind}'. {did_you_mean(options.kind, [*kinds, SITE])}")
    title = _title(options.title)
    layers = sources_of(options).layers
    path = _shown(layers[-1].root / kinds[options.kind].folder / f"{_id(title)}.md")
    write_new(path, skeleton(kinds[options.kind], title, read_library(layers).readable))
    say(f"Wrote {path}. Fill it in, then run 'faultleaf check'.")
    return 0


def _shown(path: Path) -> Path:
    return path.relative_to(Path.cwd()) if path.is_relative_to(Path.cwd()) else path


def _title(given: str) -> str:
    try:
        return parse_line(given)
    except PydanticCustomError as error:
        raise CommandError(f"the title cannot be used: {(error.context or {})['message']}") from None


def _id(title: str) -> str:
    name = slug(title)
    if not name:
        raise CommandError(f"the title '{title}' has no letter or digit to make an id of")
    if name == "index":
        raise CommandError("the id 'index' is kept for the folder's own page; choose another title")
    return name
