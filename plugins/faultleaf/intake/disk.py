"""A content folder as the disk has it: the files that may be read, and what no folder of cards may hold.

The folder may have come by mail. Nothing in it may lead out of it, make a reader wait, or be read before its size is
known; whatever is refused is a mistake with its path.
"""

import os
import stat
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from faultleaf.cards.mistakes import Mistake

DEEPEST_FOLDER: Final = 12
LARGEST_PICTURE: Final = 10 * 1024 * 1024
"""Bytes. A photograph of a phone fits; more would be a burden to everybody who opens the page."""
_KINDS: Final = (
    (stat.S_ISFIFO, "a pipe"), (stat.S_ISSOCK, "a socket"), (stat.S_ISBLK, "a disk"), (stat.S_ISCHR, "a device"),
)  # fmt: skip


@dataclass(frozen=True)
class Layer:
    """A content folder, and how its path is shown to people (never absolute)."""

    root: Path
    shown: str

    def show(self, path: Path) -> str:
        """The path as people read it; bytes of a name that are no text are shown as question marks."""
        below = path.relative_to(self.root).as_posix()
        return f"{self.shown}/{below.encode('utf-8', 'replace').decode('utf-8')}"


class Unreadable(Exception):
    """The file cannot be taken in; carries the mistake that says why."""

    def __init__(self, mistake: Mistake) -> None:
        super().__init__(str(mistake))
        self.mistake = mistake


@dataclass(frozen=True)
class Found:
    """The files and folders in a folder, sorted, those hidden left out; and what was refused, with the reason."""

    files: tuple[Path, ...]
    folders: tuple[Path, ...]
    refused: Mapping[Path, Mistake]

    def below(self, folder: Path, ends: str) -> list[Path]:
        """The files with this ending in a folder and those below it, refused ones among them."""
        paths = [*self.files, *self.refused]
        return sorted(path for path in paths if path.name.endswith(ends) and folder in path.parents)


def find_files(layer: Layer) -> Found:
    """Everything in the folder. Reads no file; no link to a folder is followed."""
    files: list[Path] = []
    refused: dict[Path, Mistake] = {}
    home = layer.root.resolve()
    folders: list[Path] = []
    waiting = [(layer.root, 0)]
    while waiting:
        folder, depth = waiting.pop()
        for path in _entries(layer, folder, refused):
            try:
                kind = _kind(layer, path, home, depth)
            except Unreadable as error:
                refused[path] = error.mistake
                continue
            if kind == "folder":
                folders.append(path)
                waiting.append((path, depth + 1))
            else:
                files.append(path)
    return Found(tuple(sorted(files)), tuple(sorted(folders)), refused)


def read_bytes(layer: Layer, path: Path, most: int, hint: str) -> bytes:
    """The file's bytes; raises Unreadable where it is larger than `most` or the system will not give it."""
    try:
        size = path.stat().st_size
        if size > most:
            message = f"the file has {size:,} bytes, more than {most:,}"
            raise Unreadable(Mistake(layer.show(path), 1, "", message, hint, "file-too-large"))
        return path.read_bytes()
    except OSError as error:
        raise _unreadable(layer, path, f"cannot be read: {error.strerror}") from None


def _entries(layer: Layer, folder: Path, refused: dict[Path, Mistake]) -> Iterator[Path]:
    try:
        with os.scandir(folder) as found:
            names = sorted(entry.name for entry in found if not entry.name.startswith("."))
    except OSError as error:
        refused[folder] = _unreadable(layer, folder, f"the folder cannot be read: {error.strerror}").mistake
        return
    yield from (folder / name for name in names)


def _kind(layer: Layer, path: Path, home: Path, depth: int) -> str:
    """ "file" or "folder"; raises Unreadable for what may not be taken in."""
    try:
        is_link = path.is_symlink()
        target = path.resolve(strict=True)
        mode = target.stat().st_mode
    except (OSError, RuntimeError):  # RuntimeError: a link that leads to itself, before Python 3.13
        raise _unreadable(layer, path, "the link leads nowhere" if path.is_symlink() else "cannot be read") from None
    if not target.is_relative_to(home):
        message, hint = "the file lies outside the content folder", "Put the file itself there."
        raise Unreadable(Mistake(layer.show(path), 1, "", message, hint, "path-outside"))
    if stat.S_ISDIR(mode):
        if is_link:
            raise _unreadable(layer, path, "a link to a folder is not followed", "Put the folder itself there.")
        if depth >= DEEPEST_FOLDER:
            message = f"folders are nested more than {DEEPEST_FOLDER} deep"
            raise Unreadable(Mistake(layer.show(path), 1, "", message, "Move its files up.", "too-deep"))
        return "folder"
    if not stat.S_ISREG(mode):
        what = next((name for test, name in _KINDS if test(mode)), "something else")
        raise _unreadable(layer, path, f"this is no file but {what}", "Take it away.")
    if not os.access(path, os.R_OK):
        raise _unreadable(layer, path, "cannot be read: Permission denied")
    return "file"


def _unreadable(layer: Layer, path: Path, message: str, hint: str = "") -> Unreadable:
    return Unreadable(Mistake(layer.show(path), 1, "", message, hint, "unreadable"))
