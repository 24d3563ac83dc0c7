"""Charts laid out and sheets set by builds before, so that an edit draws anew only what it touches."""

from __future__ import annotations

import hashlib
import shutil
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cache
from importlib.metadata import version
from pathlib import Path
from typing import Final

from faultleaf import layout, sheets
from faultleaf.pipeline.fonts import FONT_FOLDER
from faultleaf.pipeline.shelf import Store

DRAWN: Final = "drawn"
"""The folder, beside the plans that builds keep."""
MOST_KEPT: Final = 3000
"""Files kept at most: a chart takes some forty."""


@dataclass(frozen=True)
class DrawnBefore:
    """A memory for `layout` and `sheets` in the folder of a site's builds; what was asked of it stays when tidied."""

    home: Path
    _used: set[str] = field(default_factory=set)

    @property
    def _store(self) -> Store:
        return Store(self.home / DRAWN / _code())

    def take(self, key: str) -> bytes | None:
        """What is kept under this key, None where there is nothing."""
        self._used.add(key)
        found = self._store.take(key)
        if found is not None:
            self._store.touch(key)
        return found

    def put(self, key: str, content: bytes) -> None:
        """Keep it."""
        self._store.put(key, content)

    def tidy(self) -> None:
        """Drop what other code drew, and what was not used for longest."""
        self._store.tidy(self._used, MOST_KEPT)
        folder = self.home / DRAWN
        for other in folder.iterdir() if folder.is_dir() else ():
            if other.name != _code():
                shutil.rmtree(other, ignore_errors=True)


@cache
def _code() -> str:
    """A digest of all that draws: the code and templates of both rooms, the fonts, and the typesetter."""
    digest = hashlib.sha256(version("typst").encode())
    for path in _drawing_files():
        digest.update(path.read_bytes())
    return digest.hexdigest()[:16]


def _drawing_files() -> Iterator[Path]:
    for folder in (Path(layout.__file__).parent, Path(sheets.__file__).parent, FONT_FOLDER):
        yield from (path for path in sorted(folder.rglob("*")) if path.is_file() and path.suffix != ".pyc")
