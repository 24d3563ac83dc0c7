"""A folder of an author's files → a checked library, or every mistake in it."""

import hashlib
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
    Notion,
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
from faultleaf.intake.disk import Found, Layer, Unreadable, find_files, read_bytes
from faultleaf.intake.front import LARGEST_FILE, Parsed, parse_card, parse_yaml_file
from faultleaf.intake.links import link_mistake
from faultleaf.intake.measuring import with_waits
from faultleaf.intake.pictures import drawing_mistakes, picture_mistakes
from faultleaf.intake.references import Known, check_references
from faultleaf.intake.text import read_body
from faultleaf.intake.validate import salvage, validate

FOLDERS: Mapping[str, type[Card]] = {card_type.folder: card_type for card_type in CARD_TYPES}
SETTINGS = ("equipment", "sources", "callers", "site")
SETTINGS_FILES = tuple(f"{name}.yml" for name in SETTINGS)
RENAME = "Rename one of them."
RENAME_OR_REPLACE = "Rename it, or write 'supersedes: yes' in it."
SAID = ("yes", "true")
CUT_IT = "Cut it into several cards."
CARD_LIKE_ENDS = (".md", ".markdown", ".mdown", ".yml", ".yaml")


@dataclass(frozen=True)
class Intake:
    """What was read: the library where there is no mistake, and the mistakes, sorted.

    `readable` holds the cards that could be read even where there are mistakes, so that more can be
    checked in the same run; its references need not lead anywhere. `own` are the files of the last folder.
    """

    library: Library | None
    mistakes: tuple[Mistake, ...]
    readable: Library = field(default_factory=Library)
    own: frozenset[str] = frozenset()


@dataclass
class _Gathering:
    """What has been read so far, over all layers."""

    cards: dict[CardKey, Card] = field(default_factory=dict)
    origins: dict[CardKey, Origin] = field(default_factory=dict)
    names: dict[CardKey, str] = field(default_factory=dict)  # every id seen, and the file it stands in
    equipment: dict[str, Feature] = field(default_factory=dict)
    sources: dict[str, Source] = field(default_factory=dict)
    notions: dict[str, Notion] = field(default_factory=dict)
    site: dict[str, Any] = field(default_factory=dict)
    site_origin: Origin = field(default_factory=lambda: Origin("site.yml"))  # of the layer that names a mark
    bodies: list[tuple[str, str, Body]] = field(default_factory=list)  # folder, path, text
    broken: list[tuple[Card, Origin]] = field(default_factory=list)  # what could be saved of cards with mistakes
    mistakes: list[Mistake] = field(default_factory=list)
    own: set[str] = field(default_factory=set)  # files of the layer that is read now; in the end, of the last one

    def ids(self, kind: str) -> set[str]:
        """The ids of this kind, those of cards that could not be read included."""
        return {name for found, name in self.names if found == kind}


def read_library(layers: Sequence[Layer], name: str = "") -> Intake:
    """The library of these folders; a later one adds cards and overrides site values.

    `name`: the site's name, its title where no site.yml has one.

    Every mistake of every file is found in one run. Reads nothing but files below the folders.
    """
    got = _Gathering()
    for layer in layers:
        got.own = set()
        if not layer.root.is_dir():
            hint = "Check the folder's name."
            got.mistakes.append(Mistake(layer.shown, 1, "", "there is no such folder", hint, "no-folder"))
            continue
        found = find_files(layer)
        _read_settings(layer, found, got)
        for card_type in CARD_TYPES:
            _read_kind(layer, found, card_type, got)
        got.mistakes += [*found.refused.values(), *drawing_mistakes(layer, found), *_folder_mistakes(layer, found)]
    site, _ = validate(SiteValues, got.site, Origin("site.yml"))
    library = Library(
        dict(sorted(got.cards.items())), got.equipment, dict(sorted(got.sources.items())),
        _named(site or SiteValues(), name), got.origins, got.notions,
    )  # fmt: skip
    known = Known(got.names.keys(), got.ids("equipment"), got.ids("source"))
    mistakes = [
        *got.mistakes,
        *check_references(library, known, got.site_origin, got.broken),
        *_link_mistakes(got, library),
    ]
    whole = None if mistakes else with_waits(library)
    return Intake(whole, tuple(sorted(set(mistakes))), library, frozenset(got.own))


def _named(site: SiteValues, name: str) -> SiteValues:
    """The values with the site's name as its title, where no site.yml gives one."""
    title = " ".join("".join(char if char.isprintable() else " " for char in name).split())
    return site.model_copy(update={"title": title}) if title and "title" not in site.model_fields_set else site


def fingerprint(layers: Sequence[Layer]) -> str:
    """A digest of these folders: equal digests, equal libraries. Large files count by size and time of change."""
    digest = hashlib.sha256()
    for layer in layers:
        found = find_files(layer)
        for path in found.files:
            about = path.stat()
            large = about.st_size > LARGEST_FILE
            digest.update(f"{path.relative_to(layer.root).as_posix()}\0{about.st_size}\0".encode("utf-8", "replace"))
            digest.update(str(about.st_mtime_ns).encode() if large else path.read_bytes())
        for mistake in found.refused.values():
            digest.update(f"{mistake}\0".encode())
    return digest.hexdigest()


def _read_kind(layer: Layer, found: Found, card_type: type[Card], got: _Gathering) -> None:
    for path in found.below(layer.root / card_type.folder, ".md"):
        shown = layer.show(path)
        if path in found.refused:
            got.names.setdefault((card_type.kind, path.stem), shown)
            continue
        try:
            _read_card(layer, found, card_type, path, got)
        except Unreadable as error:
            got.names.setdefault((card_type.kind, path.stem), shown)
            got.mistakes.append(error.mistake)


def _read_card(layer: Layer, found: Found, card_type: type[Card], path: Path, got: _Gathering) -> None:
    key, shown = (card_type.kind, path.stem), layer.show(path)
    _check_name(path, shown)
    parsed = parse_card(shown, read_bytes(layer, path, LARGEST_FILE, CUT_IT))
    if (parsed.data or {}).get("supersedes") in SAID:
        _make_room(key, parsed, got)
    _take_name(key, shown, got, hint=RENAME if got.names.get(key) in got.own else RENAME_OR_REPLACE)
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
            got.mistakes += picture_mistakes(found, path.parent, card, origin)


def _make_room(key: CardKey, parsed: Parsed, got: _Gathering) -> None:
    """Put aside the card of a library below that this one says it supersedes."""
    there = got.names.get(key)
    if there is None:
        origin = Origin(parsed.path, parsed.lines)
        got.mistakes.append(
            origin.mistake(("supersedes",), "nothing-superseded", f"no library has a {key[0]} '{key[1]}'")
        )
    elif there not in got.own:
        del got.names[key]
        got.cards.pop(key, None)
        got.origins.pop(key, None)
        got.bodies = [entry for entry in got.bodies if entry[1] != there]
        got.broken = [entry for entry in got.broken if entry[1].path != there]


def _take_name(key: CardKey, shown: str, got: _Gathering, line: int = 1, loc: str = "", hint: str = RENAME) -> None:
    if key in got.names:
        message = f"the id '{key[1]}' is taken by {got.names[key]}"
        raise Unreadable(Mistake(shown, line, loc, message, hint, "duplicate-id"))
    got.names[key] = shown
    got.own.add(shown)


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


def _read_settings(layer: Layer, found: Found, got: _Gathering) -> None:
    """Take in equipment.yml, sources.yml, callers.yml and site.yml of one layer, where it has them."""
    for name in SETTINGS:
        path = layer.root / f"{name}.yml"
        if path not in found.files:
            continue
        shown = layer.show(path)
        try:
            parsed = parse_yaml_file(shown, read_bytes(layer, path, LARGEST_FILE, CUT_IT))
        except Unreadable as error:
            got.mistakes.append(error.mistake)
            continue
        got.mistakes += parsed.mistakes
        if name == "site":
            _read_site(parsed, got)
        elif name == "equipment":
            _read_entries("equipment", Feature, parsed, got, got.equipment)
        elif name == "callers":
            _read_entries("notion", Notion, parsed, got, got.notions)
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


def _folder_mistakes(layer: Layer, found: Found) -> Iterator[Mistake]:
    """Folders and files that look like ours under a slightly wrong name or shape: nobody would read them."""
    below = {path: path.relative_to(layer.root).parts for path in found.files}
    for name in sorted({parts[0] for path, parts in below.items() if len(parts) > 1 and path.suffix == ".md"}):
        hint = "" if name in FOLDERS else did_you_mean(name, FOLDERS, " ").strip()
        if hint:
            message = f"{quoted(name)} is not a folder of cards"
            yield Mistake(layer.show(layer.root / name), 1, "", message, hint, "unknown-folder")
    for folder in found.folders:
        top, *rest = folder.relative_to(layer.root).parts
        if (top in SETTINGS_FILES and not rest) or (top in FOLDERS and folder.suffix == ".md"):
            message = "this is a folder, and a file is expected"
            yield Mistake(layer.show(folder), 1, "", message, "Rename it.", "unknown-folder")
    for path, parts in below.items():
        if len(parts) == 1 and path.suffix in (".yml", ".yaml") and path.name not in SETTINGS_FILES:
            message = f"{quoted(path.name)} is not a file of settings"
            hint = did_you_mean(path.name, SETTINGS_FILES)
            yield Mistake(layer.show(path), 1, "", message, hint, "unknown-file")
        elif len(parts) > 1 and parts[0] in FOLDERS and path.suffix != ".md" and path.suffix.lower() in CARD_LIKE_ENDS:
            message = f"{quoted(path.name)} is not read"
            yield Mistake(layer.show(path), 1, "", message, "A card's file ends in '.md'.", "unknown-file")
