"""Folders of results, each result under the digest of all that it was worked out from.

Nothing but the digest decides whether a result still holds, so that no file ever has to be declared stale.
A file begins with the digest of the rest; one that is damaged or not ours counts as not there.
"""

import gzip
import hashlib
import json
import os
import tempfile
import zlib
from collections.abc import Collection, Sequence
from contextlib import suppress
from dataclasses import asdict, dataclass
from pathlib import Path

from pydantic import TypeAdapter, ValidationError

from faultleaf.diagnosis.worth.figured import Figured
from faultleaf.intake import Layer

MOST_KEPT = 200
"""Files kept at most, those used last; a library of some twenty charts then keeps its last ten states."""

PLANNED = "planned"
"""The folder beside the cards of a library with the results of its own charts, so that nobody works them out twice."""
SUFFIX = ".json.gz"

_ADAPTER = TypeAdapter(Figured)


@dataclass(frozen=True)
class Shelf:
    """Results in a folder, which is made when the first is put there."""

    folder: Path

    def take(self, key: str) -> Figured | None:
        """The result kept under this key; None where there is none that can be read."""
        try:
            digest, _, text = gzip.decompress(self._path(key).read_bytes()).decode().partition("\n")
            if digest != _digest(text):
                return None
            return _ADAPTER.validate_python(json.loads(text))
        except (OSError, EOFError, zlib.error, UnicodeDecodeError, json.JSONDecodeError, ValidationError):
            return None

    def touch(self, key: str) -> None:
        """Say that a result was used now, so that it is dropped last."""
        with suppress(OSError):
            os.utime(self._path(key))

    def put(self, key: str, result: Figured) -> None:
        """Keep a result, in one step of the disk. A folder that cannot be written keeps nothing."""
        text = json.dumps(asdict(result))
        with suppress(OSError):
            self.folder.mkdir(parents=True, exist_ok=True)
            with tempfile.NamedTemporaryFile(dir=self.folder, suffix=".part", delete=False) as file:
                file.write(gzip.compress(f"{_digest(text)}\n{text}".encode(), mtime=0))
            os.chmod(file.name, 0o644)
            os.replace(file.name, self._path(key))

    def tidy(self, used: Collection[str], most: int | None = None) -> None:
        """Drop the files not used for longest, none under a `used` key, until at most so many (or MOST_KEPT) stay."""
        with suppress(OSError):
            idle = [path for path in self.folder.glob(f"*{SUFFIX}") if path.name.removesuffix(SUFFIX) not in used]
            idle.sort(key=lambda path: path.stat().st_mtime, reverse=True)
            for path in idle[max((MOST_KEPT if most is None else most) - len(used), 0) :]:
                path.unlink()

    def _path(self, key: str) -> Path:
        return self.folder / f"{key}{SUFFIX}"


@dataclass(frozen=True)
class Kept:
    """Where results are looked for: in the `planned` folders of libraries, which are only read, then in `own`,
    the folder of this site's builds, which new ones are put into; None keeps nothing."""

    own: Path | None = None
    planned: tuple[Path, ...] = ()

    def take(self, key: str) -> Figured | None:
        """The result kept under this key in any of them; None where there is none that can be read."""
        shelves = [Shelf(folder) for folder in (*self.planned, *([self.own] if self.own else []))]
        for shelf in shelves:
            if (found := shelf.take(key)) is not None:
                if shelf.folder == self.own:
                    shelf.touch(key)
                return found
        return None


NOTHING_KEPT = Kept()


def kept_of(layers: Sequence[Layer], own: Path | None = None) -> Kept:
    """Where the results of a site of these content folders are: beside the cards, and in the folder of its builds."""
    return Kept(own, tuple(layer.root / PLANNED for layer in layers))


def _digest(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()
