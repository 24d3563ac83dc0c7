"""A folder of results, each under the digest of all that it was worked out from.

Nothing but the digest decides whether a result still holds, so that no file ever has to be declared stale.
A file begins with the digest of the rest; one that is damaged or not ours counts as not there.
"""

import hashlib
import json
import os
import tempfile
from collections.abc import Collection
from contextlib import suppress
from dataclasses import asdict, dataclass
from pathlib import Path

from pydantic import TypeAdapter, ValidationError

from faultleaf.diagnosis.worth import Figured

MOST_KEPT = 200
"""Files kept at most, those used last; a library of some twenty charts then keeps its last ten states."""

_ADAPTER = TypeAdapter(Figured)


@dataclass(frozen=True)
class Shelf:
    """Results in a folder, which is made when the first is put there."""

    folder: Path

    def take(self, key: str) -> Figured | None:
        """The result kept under this key; None where there is none that can be read."""
        try:
            digest, _, text = self._path(key).read_text(encoding="utf-8").partition("\n")
            if digest != _digest(text):
                return None
            os.utime(self._path(key))  # used now, so dropped last
            return _ADAPTER.validate_python(json.loads(text))
        except (OSError, UnicodeDecodeError, json.JSONDecodeError, ValidationError):
            return None

    def put(self, key: str, result: Figured) -> None:
        """Keep a result, in one step of the disk. A folder that cannot be written keeps nothing."""
        text = json.dumps(asdict(result))
        with suppress(OSError):
            self.folder.mkdir(parents=True, exist_ok=True)
            with tempfile.NamedTemporaryFile(
                "w", encoding="utf-8", dir=self.folder, suffix=".part", delete=False
            ) as file:
                file.write(f"{_digest(text)}\n{text}")
            os.replace(file.name, self._path(key))

    def tidy(self, used: Collection[str]) -> None:
        """Drop the files not used for longest, those under a `used` key never, until few enough are left."""
        with suppress(OSError):
            idle = [path for path in self.folder.glob("*.json") if path.stem not in used]
            idle.sort(key=lambda path: path.stat().st_mtime, reverse=True)
            for path in idle[max(MOST_KEPT - len(used), 0) :]:
                path.unlink()

    def _path(self, key: str) -> Path:
        return self.folder / f"{key}.json"


def _digest(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()
