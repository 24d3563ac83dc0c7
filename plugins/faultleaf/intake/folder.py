"""A folder of an author's files → a checked library, or every mistake in it."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from pydantic_core import PydanticCustomError

from faultleaf.cards import (
    CARD_TYPES,
    Card,
    CardKey,
    Feature,
    Library,
    Mistake,
    Origin,
    SiteValues,
    Source,
    did_you_mean,
)
from faultleaf.cards.models import Picture
from faultleaf.cards.values import parse_slug
from faultleaf.intake.body import find_links, html_mistakes, link_mistake, split_sections
from faultleaf.intake.front import Parsed, Unreadable, parse_card, parse_yaml_file
from faultleaf.intake.references import Known, check_references
from faultleaf.intake.validate import validate

FOLDERS: Mapping[str, type[Card]] = {card_type.folder: card_type for card_type in CARD_TYPES}
SETTINGS = ("equipment", "sources", "site")


@dataclass(frozen=True)
class Layer:
    """A content folder, and how its path is shown to people (never absolute)."""

    root: Path
    shown: str


@dataclass(frozen=True)
class Intake:
    """What was read: the library where there is no mistake, and the mistakes, sorted."""

    library: Library | None
    mistakes: tuple[Mistake, ...]


@dataclass
class _Gathering:
    """What has been read so far, over all layers."""

    cards: dict[CardKey, Card] = field(default_factory=dict)
    origins: dict[CardKey, Origin] = field(default_factory=dict)
    names: dict[CardKey, str] = field(default_factory=dict)  # every id seen, and the file it stands in
    equipment: dict[str, Feature] = field(default_factory=dict)
    sources: dict[str, Source] = field(default_factory=dict)
    site: dict[str, Any] = field(default_factory=dict)
    bodies: list[tuple[str, Parsed]] = field(default_factory=list)
    mistakes: list[Mistake] = field(default_factory=list)


def read_library(layers: Sequence[Layer]) -> Intake:
    """The library of these folders; a later one adds cards and overrides site values.

    Every mistake of every file is found in one run. Reads nothing but files below the folders.
    """
    got = _Gathering()
    for layer in layers:
        if not layer.root.is_dir():
            hint = "Check the folder's name."
            got.mistakes.append(Mistake(layer.shown, 1, "", "there is no such folder", hint, "no-folder"))
            continue
        _read_settings(layer, got)
        for card_type in CARD_TYPES:
            _read_kind(layer, card_type, got)
        got.mistakes += _folder_mistakes(layer)
    site, site_mistakes = validate(SiteValues, got.site, got.origins.get(("file", "site"), Origin("site.yml")))
    library = Library(
        dict(sorted(got.cards.items())), got.equipment, dict(sorted(got.sources.items())),
        site or SiteValues(), got.origins,
    )  # fmt: skip
    known = Known(set(got.names), set(got.equipment), set(got.sources))
    mistakes = [*got.mistakes, *site_mistakes, *check_references(library, known), *_link_mistakes(layers, got)]
    return Intake(None if mistakes else library, tuple(sorted(set(mistakes))))


def _read_kind(layer: Layer, card_type: type[Card], got: _Gathering) -> None:
    folder = layer.root / card_type.folder
    for path in sorted(folder.rglob("*.md")) if folder.is_dir() else ():
        shown = f"{layer.shown}/{path.relative_to(layer.root).as_posix()}"
        try:
            _read_card(layer, card_type, path, shown, got)
        except Unreadable as error:
            got.names.setdefault((card_type.kind, path.stem), shown)
            got.mistakes.append(error.mistake)


def _read_card(layer: Layer, card_type: type[Card], path: Path, shown: str, got: _Gathering) -> None:
    key = (card_type.kind, path.stem)
    if key in got.names:
        message = f"the id '{path.stem}' is taken by {got.names[key]}"
        raise Unreadable(Mistake(shown, 1, "", message, "Rename one of the files.", "duplicate-id"))
    got.names[key] = shown
    _check_name(path, shown)
    parsed = parse_card(shown, _read_bytes(layer, path, shown))
    origin = Origin(shown, parsed.lines)
    got.mistakes += html_mistakes(shown, parsed.body, parsed.body_line)
    got.bodies.append((card_type.folder, parsed))
    body = split_sections(parsed.body, parsed.body_line)
    card, mistakes = validate(card_type, parsed.data, origin, filled={"id": path.stem, "body": body})
    got.mistakes += mistakes
    if card is not None:
        got.cards[key], got.origins[key] = card, origin
        if isinstance(card, Picture):
            got.mistakes += _picture_mistakes(path.parent, card, origin)


def _check_name(path: Path, shown: str) -> None:
    try:
        parse_slug(path.stem)
    except PydanticCustomError as error:
        context = error.context or {}
        message = f"the file name is the card's id, and {context['message']}"
        raise Unreadable(Mistake(shown, 1, "", message, str(context["hint"]), "bad-id")) from None


def _read_bytes(layer: Layer, path: Path, shown: str) -> bytes:
    if not path.resolve().is_relative_to(layer.root.resolve()):
        hint = "Put the file itself there."
        raise Unreadable(Mistake(shown, 1, "", "the file lies outside the content folder", hint, "path-outside"))
    try:
        return path.read_bytes()
    except OSError as error:
        raise Unreadable(Mistake(shown, 1, "", f"cannot be read: {error.strerror}", "", "unreadable")) from None


def _picture_mistakes(folder: Path, picture: Picture, origin: Origin) -> Iterator[Mistake]:
    if "/" in picture.file or "\\" in picture.file or picture.file.startswith(".."):
        hint = "Give the bare name of a file in pictures/."
        yield origin.mistake(("file",), "path-outside", f"'{picture.file}' leads out of its folder", hint)
    elif not (folder / picture.file).is_file():
        names = [path.name for path in folder.iterdir() if path.suffix != ".md"]
        hint = did_you_mean(picture.file, names)
        yield origin.mistake(("file",), "missing-file", f"there is no file '{picture.file}'", hint)


def _read_settings(layer: Layer, got: _Gathering) -> None:
    for name in SETTINGS:
        path = layer.root / f"{name}.yml"
        if not path.is_file():
            continue
        shown = f"{layer.shown}/{name}.yml"
        try:
            parsed = parse_yaml_file(shown, _read_bytes(layer, path, shown))
        except Unreadable as error:
            got.mistakes.append(error.mistake)
            continue
        origin = Origin(shown, parsed.lines)
        if name == "site":
            got.site.update(parsed.data)
            got.origins[("file", "site")] = origin
        elif name == "equipment":
            got.mistakes += _read_entries(Feature, parsed, origin, got.equipment)
            got.origins[("file", "equipment")] = origin
        else:
            got.mistakes += _read_entries(Source, parsed, origin, got.sources)


def _read_entries(model: type[Any], parsed: Parsed, origin: Origin, into: dict[str, Any]) -> list[Mistake]:
    mistakes: list[Mistake] = []
    for name, data in parsed.data.items():
        if not isinstance(data, dict):
            mistakes.append(origin.mistake((name,), "wrong-type", "expected a mapping of fields"))
            continue
        entry, found = validate(model, data, origin, (name,), {"id": name})
        mistakes += found
        if entry is not None:
            into[name] = entry
    return mistakes


def _link_mistakes(layers: Sequence[Layer], got: _Gathering) -> Iterator[Mistake]:
    files = frozenset(
        path.relative_to(layer.root).as_posix()
        for layer in layers
        if layer.root.is_dir()
        for path in layer.root.rglob("*.md")
    )
    for folder, parsed in got.bodies:
        for link in find_links(parsed.body, parsed.body_line):
            if mistake := link_mistake(parsed.path, folder, link, files):
                yield mistake


def _folder_mistakes(layer: Layer) -> Iterator[Mistake]:
    for path in sorted(layer.root.iterdir()):
        if path.is_dir() and path.name not in FOLDERS:
            hint = did_you_mean(path.name, FOLDERS, " ")
            if hint.strip() and any(path.rglob("*.md")):
                shown = f"{layer.shown}/{path.name}"
                yield Mistake(shown, 1, "", f"'{path.name}' is not a folder of cards", hint, "unknown-folder")
