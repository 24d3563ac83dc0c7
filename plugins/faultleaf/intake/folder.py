"""A folder of an author's files → a checked library, or every mistake in it."""

import hashlib
from collections.abc import Iterator, Mapping, Sequence
from contextlib import suppress
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
from faultleaf.cards.base import Body
from faultleaf.cards.mistakes import quoted
from faultleaf.cards.models import Picture
from faultleaf.cards.text import every
from faultleaf.cards.values import parse_slug
from faultleaf.intake.front import Parsed, Unreadable, parse_card, parse_yaml_file
from faultleaf.intake.links import link_mistake
from faultleaf.intake.measuring import with_waits
from faultleaf.intake.references import Known, check_references
from faultleaf.intake.text import read_body
from faultleaf.intake.validate import salvage, validate

FOLDERS: Mapping[str, type[Card]] = {card_type.folder: card_type for card_type in CARD_TYPES}
SETTINGS = ("equipment", "sources", "site")
SETTINGS_FILES = tuple(f"{name}.yml" for name in SETTINGS)
PICTURE_ENDS = (".jpg", ".jpeg", ".png", ".svg")
CARD_LIKE_ENDS = (".md", ".markdown", ".mdown", ".yml", ".yaml")


@dataclass(frozen=True)
class Layer:
    """A content folder, and how its path is shown to people (never absolute)."""

    root: Path
    shown: str


@dataclass(frozen=True)
class Intake:
    """What was read: the library where there is no mistake, and the mistakes, sorted.

    `readable` holds the cards that could be read even where there are mistakes, so that more can be
    checked in the same run; its references need not lead anywhere.
    """

    library: Library | None
    mistakes: tuple[Mistake, ...]
    readable: Library = field(default_factory=Library)


@dataclass
class _Gathering:
    """What has been read so far, over all layers."""

    cards: dict[CardKey, Card] = field(default_factory=dict)
    origins: dict[CardKey, Origin] = field(default_factory=dict)
    names: dict[CardKey, str] = field(default_factory=dict)  # every id seen, and the file it stands in
    equipment: dict[str, Feature] = field(default_factory=dict)
    sources: dict[str, Source] = field(default_factory=dict)
    site: dict[str, Any] = field(default_factory=dict)
    site_origin: Origin = field(default_factory=lambda: Origin("site.yml"))  # of the layer that names a mark
    bodies: list[tuple[str, str, Body]] = field(default_factory=list)  # folder, path, text
    broken: list[tuple[Card, Origin]] = field(default_factory=list)  # what could be saved of cards with mistakes
    mistakes: list[Mistake] = field(default_factory=list)

    def ids(self, kind: str) -> set[str]:
        """The ids of this kind, those of cards that could not be read included."""
        return {name for found, name in self.names if found == kind}


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
    site, _ = validate(SiteValues, got.site, Origin("site.yml"))
    library = Library(
        dict(sorted(got.cards.items())), got.equipment, dict(sorted(got.sources.items())),
        site or SiteValues(), got.origins,
    )  # fmt: skip
    known = Known(got.names.keys(), got.ids("equipment"), got.ids("source"))
    mistakes = [
        *got.mistakes,
        *check_references(library, known, got.site_origin, got.broken),
        *_link_mistakes(got, library),
    ]
    return Intake(None if mistakes else with_waits(library), tuple(sorted(set(mistakes))), library)


def read_picture(layers: Sequence[Layer], library: Library, picture: Picture) -> bytes | None:
    """The bytes of a picture card's file, which lies beside the card; None where it cannot be read."""
    card = library.origins[(Picture.kind, picture.id)].path
    for layer in layers:
        path = (layer.root / card.removeprefix(f"{layer.shown}/")).parent / picture.file
        if card.startswith(f"{layer.shown}/") and path.is_file() and _is_inside(layer, path):
            with suppress(OSError):
                return path.read_bytes()
    return None


def fingerprint(layers: Sequence[Layer]) -> str:
    """A digest of every file in these folders: equal digests, equal libraries."""
    digest = hashlib.sha256()
    for layer in layers:
        for path in sorted(layer.root.rglob("*")):
            if path.is_file():
                digest.update(f"{path.relative_to(layer.root).as_posix()}\0{path.stat().st_size}\0".encode())
                digest.update(path.read_bytes())
    return digest.hexdigest()


def _read_kind(layer: Layer, card_type: type[Card], got: _Gathering) -> None:
    folder = layer.root / card_type.folder
    for path in sorted(folder.rglob("*.md")) if folder.is_dir() else ():
        if path.name.startswith("."):
            continue  # an editor's or a file manager's own
        shown = _shown(layer, path)
        try:
            _read_card(layer, card_type, path, shown, got)
        except Unreadable as error:
            got.names.setdefault((card_type.kind, path.stem), shown)
            got.mistakes.append(error.mistake)


def _shown(layer: Layer, path: Path) -> str:
    """The path as people read it; bytes of a name that are no text are shown as question marks."""
    below = path.relative_to(layer.root).as_posix()
    return f"{layer.shown}/{below.encode('utf-8', 'replace').decode('utf-8')}"


def _read_card(layer: Layer, card_type: type[Card], path: Path, shown: str, got: _Gathering) -> None:
    key = (card_type.kind, path.stem)
    _take_name(key, shown, got)
    _check_name(path, shown)
    parsed = parse_card(shown, _read_bytes(layer, path, shown))
    body, wrong = read_body(shown, parsed.body, parsed.body_line)
    got.mistakes += [*parsed.mistakes, *wrong]
    got.bodies.append((card_type.folder, shown, body))
    if parsed.data is None:
        return
    origin = Origin(shown, parsed.lines)
    card, mistakes = validate(card_type, parsed.data, origin, filled={"id": path.stem, "body": body})
    got.mistakes += mistakes
    if card is None:
        got.broken.append((salvage(card_type, parsed.data), origin))
    else:
        got.cards[key], got.origins[key] = card, origin
        if isinstance(card, Picture):
            got.mistakes += _picture_mistakes(layer, path.parent, card, origin)


def _take_name(key: CardKey, shown: str, got: _Gathering, line: int = 1, loc: str = "") -> None:
    if key in got.names:
        message = f"the id '{key[1]}' is taken by {got.names[key]}"
        raise Unreadable(Mistake(shown, line, loc, message, "Rename one of them.", "duplicate-id"))
    got.names[key] = shown


def _check_name(path: Path, shown: str) -> None:
    if wrong := _name_mistake(path.stem):
        message, hint = f"the file name is the card's id, and {wrong[0]}", wrong[1]
        raise Unreadable(Mistake(shown, 1, "", message, hint, "bad-id"))
    if path.stem == "index":
        message = "the id 'index' is kept for the folder's own page"
        raise Unreadable(Mistake(shown, 1, "", message, "Give the card another name.", "bad-id"))


def _name_mistake(name: str) -> tuple[str, str] | None:
    """What is wrong with an id, and a hint; None where nothing is."""
    try:
        parse_slug(name.encode("utf-8", "replace").decode("utf-8"))
    except PydanticCustomError as error:
        context = error.context or {}
        return str(context["message"]), str(context["hint"])
    return None


def _is_inside(layer: Layer, path: Path) -> bool:
    return path.resolve().is_relative_to(layer.root.resolve())


def _read_bytes(layer: Layer, path: Path, shown: str) -> bytes:
    """The file's bytes; raises Unreadable where it lies elsewhere or the system will not give it."""
    if not _is_inside(layer, path):
        hint = "Put the file itself there."
        raise Unreadable(Mistake(shown, 1, "", "the file lies outside the content folder", hint, "path-outside"))
    try:
        return path.read_bytes()
    except OSError as error:
        raise Unreadable(Mistake(shown, 1, "", f"cannot be read: {error.strerror}", "", "unreadable")) from None


def _picture_mistakes(layer: Layer, folder: Path, picture: Picture, origin: Origin) -> Iterator[Mistake]:
    path, loc, name = folder / picture.file, ("file",), quoted(picture.file)
    if "/" in picture.file or "\\" in picture.file or picture.file.startswith(".."):
        hint = "Give the bare name of a file in pictures/."
        yield origin.mistake(loc, "path-outside", f"{name} leads out of its folder", hint)
    elif picture.file not in (names := sorted(each.name for each in folder.iterdir() if each.is_file())):
        pictures = [each for each in names if each.endswith(PICTURE_ENDS)]
        hint = did_you_mean(picture.file, pictures)
        yield origin.mistake(loc, "missing-file", f"there is no file {name}", hint)
    elif not picture.file.endswith(PICTURE_ENDS):
        hint = f"Pictures end in {', '.join(PICTURE_ENDS)}."
        yield origin.mistake(loc, "not-a-picture", f"{name} is not a picture", hint)
    elif not _is_inside(layer, path):
        hint = "Put the file itself there."
        yield origin.mistake(loc, "path-outside", f"the file {name} lies outside the content folder", hint)


def _read_settings(layer: Layer, got: _Gathering) -> None:
    """Take in equipment.yml, sources.yml and site.yml of one layer, where it has them."""
    for name in SETTINGS:
        path = layer.root / f"{name}.yml"
        if not path.is_file():
            continue
        shown = _shown(layer, path)
        try:
            parsed = parse_yaml_file(shown, _read_bytes(layer, path, shown))
        except Unreadable as error:
            got.mistakes.append(error.mistake)
            continue
        got.mistakes += parsed.mistakes
        if name == "site":
            _read_site(parsed, got)
        elif name == "equipment":
            _read_entries("equipment", Feature, parsed, got, got.equipment)
        else:
            _read_entries("source", Source, parsed, got, got.sources)


def _read_site(parsed: Parsed, got: _Gathering) -> None:
    """Each layer's values are judged by themselves, so that a mistake is shown in the file that has it."""
    data = parsed.data or {}
    site, mistakes = validate(SiteValues, data, Origin(parsed.path, parsed.lines))
    got.mistakes += mistakes
    if site is not None:
        got.site.update(data)
        got.site_origin = Origin(parsed.path, parsed.lines) if site.mark else got.site_origin


def _read_entries(kind: str, model: type[Any], parsed: Parsed, got: _Gathering, into: dict[str, Any]) -> None:
    origin = Origin(parsed.path, parsed.lines)
    for name, data in (parsed.data or {}).items():
        try:
            _take_name((kind, name), parsed.path, got, origin.line_of((name,)), name)
        except Unreadable as error:
            got.mistakes.append(error.mistake)
            continue
        got.origins[(kind, name)] = origin
        if wrong := _name_mistake(name):
            got.mistakes.append(origin.mistake((name,), "bad-id", *wrong))
        if not isinstance(data, dict):
            got.mistakes.append(origin.mistake((name,), "wrong-type", "expected a mapping of fields"))
            continue
        entry, found = validate(model, data, origin, (name,), {"id": name})
        got.mistakes += found
        if entry is not None:
            into[name] = entry


def _link_mistakes(got: _Gathering, library: Library) -> Iterator[Mistake]:
    folder_of = {card_type.kind: card_type.folder for card_type in CARD_TYPES}
    files = frozenset(f"{folder_of[kind]}/{name}.md" for kind, name in got.names if kind in folder_of)
    renamed = {f"{folder_of[kind]}/{old}.md": today for (kind, old), today in library.renamed.items()}
    for folder, path, body in got.bodies:
        for link in (link for section in body.sections for link in every(section.text, "a", "img")):
            if mistake := link_mistake(path, folder, link, files, renamed):
                yield mistake


def _folder_mistakes(layer: Layer) -> Iterator[Mistake]:
    """Folders and files that look like ours under a slightly wrong name: nobody would read them."""
    for path in sorted(layer.root.iterdir()):
        if path.is_dir() and path.name not in FOLDERS:
            hint = did_you_mean(path.name, FOLDERS, " ")
            if hint.strip() and any(path.rglob("*.md")):
                message = f"{quoted(path.name)} is not a folder of cards"
                yield Mistake(_shown(layer, path), 1, "", message, hint, "unknown-folder")
        elif path.is_file() and path.suffix in (".yml", ".yaml") and path.name not in SETTINGS_FILES:
            message = f"{quoted(path.name)} is not a file of settings"
            hint = did_you_mean(path.name, SETTINGS_FILES)
            yield Mistake(_shown(layer, path), 1, "", message, hint, "unknown-file")
    for folder in FOLDERS:
        for path in sorted((layer.root / folder).rglob("*")):
            if path.suffix != ".md" and path.suffix.lower() in CARD_LIKE_ENDS and path.is_file():
                message = f"{quoted(path.name)} is not read"
                yield Mistake(_shown(layer, path), 1, "", message, "A card's file ends in '.md'.", "unknown-file")
