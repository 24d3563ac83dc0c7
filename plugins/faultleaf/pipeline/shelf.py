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
OVERLEAF = "planned/overleaf"
"""The same for the second charts of sheets, which hang on the fronts that were chosen."""
SUFFIX = ".json.gz"

_ADAPTER = TypeAdapter(Figured)


@dataclass(frozen=True)
class Store:
    """Files in a folder, which is made when the first is put there; what they hold is bytes under a key."""

    folder: Path

    def take(self, key: str) -> bytes | None:
        """What is kept under this key; None where there is nothing that can be read."""
        try:
            digest, _, content = gzip.decompress(self._path(key).read_bytes()).partition(b"\n")
        except (OSError, EOFError, zlib.error):
            return None
        return content if digest.decode("ascii", "replace") == _digest(content) else None

    def touch(self, key: str) -> None:
        """Say that a result was used now, so that it is dropped last."""
        with suppress(OSError):
            os.utime(self._path(key))

    def put(self, key: str, content: bytes) -> None:
        """Keep it, in one step of the disk. A folder that cannot be written keeps nothing."""
        with suppress(OSError):
            self.folder.mkdir(parents=True, exist_ok=True)
            with tempfile.NamedTemporaryFile(dir=self.folder, suffix=".part", delete=False) as file:
                file.write(gzip.compress(f"{_digest(content)}\n".encode() + content, mtime=0))
            os.chmod(file.name, 0o644)
            os.replace(file.name, self._path(key))

    def tidy(self, used: Collection[str], most: int) -> None:
        """Drop the files not used for longest, none under a `used` key, until at most so many stay."""
        with suppress(OSError):
            idle = [path for path in self.folder.glob(f"*{SUFFIX}") if path.name.removesuffix(SUFFIX) not in used]
            idle.sort(key=lambda path: path.stat().st_mtime, reverse=True)
            for path in idle[max(most - len(used), 0) :]:
                path.unlink()

    def _path(self, key: str) -> Path:
        return self.folder / f"{key}{SUFFIX}"


@dataclass(frozen=True)
class Shelf:
    """Plans and figures in a folder."""

    folder: Path

    @property
    def store(self) -> Store:
        """Their files."""
        return Store(self.folder)

    def take(self, key: str) -> Figured | None:
        """The result kept under this key; None where there is none that can be read."""
        with suppress(UnicodeDecodeError, json.JSONDecodeError, ValidationError):
            if (content := self.store.take(key)) is not None:
                return _ADAPTER.validate_python(json.loads(content.decode()))
        return None

    def put(self, key: str, result: Figured) -> None:
        """Keep a result."""
        self.store.put(key, json.dumps(asdict(result)).encode())

    def tidy(self, used: Collection[str], most: int | None = None) -> None:
        """Drop what was not used for longest, none under a `used` key, until at most so many (or MOST_KEPT) stay."""
        self.store.tidy(used, MOST_KEPT if most is None else most)


@dataclass(frozen=True)
class Kept:
    """Where results are looked for: in the `planned` folders of libraries, which are only read, then in `own`,
    the folder of this site's builds, which new ones are put into; None keeps nothing."""

    own: Path | None = None
    planned: tuple[Path, ...] = ()

    @property
    def folders(self) -> tuple[Path, ...]:
        """All of them, in the order in which they are looked into."""
        return (*self.planned, self.own) if self.own else self.planned

    def take(self, key: str) -> Figured | None:
        """The result kept under this key in any of them; None where there is none that can be read."""
        for shelf in map(Shelf, self.folders):
            if (found := shelf.take(key)) is not None:
                if shelf.folder == self.own:
                    shelf.store.touch(key)
                return found
        return None


NOTHING_KEPT = Kept()


def kept_of(layers: Sequence[Layer], own: Path | None = None) -> Kept:
    """Where the results of a site of these content folders are: beside the cards, and in the folder of its builds."""
    return Kept(own, tuple(layer.root / folder for layer in layers for folder in (PLANNED, OVERLEAF)))


def _digest(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()
