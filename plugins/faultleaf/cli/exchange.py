"""A folder built beside another and put in its place in one step of the disk, mended where that was cut off.

All of it happens in one folder with a fixed name beside the old one, so that the next run finds what a killed one
left: `new`, half built, and `old`, which waits there only between the two renames.
"""

import shutil
import signal
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any

try:
    import fcntl
except ImportError:  # on Windows two builds at once are not told apart
    fcntl = None  # type: ignore[assignment]


class Occupied(Exception):
    """Another process is at it."""


@dataclass(frozen=True)
class Place:
    """Where to build `new`, which then takes the place of `target`. `mended`: an interrupted swap was undone."""

    target: Path
    work: Path
    mended: bool

    @property
    def new(self) -> Path:
        """The folder to build in."""
        return self.work / "new"

    def swap(self) -> None:
        """Put `new` in the place of `target`; whatever goes wrong, there is a `target` in the end."""
        old = self.work / "old"
        if not self.target.exists():
            self.new.rename(self.target)
            return
        if not any(self.target.iterdir()):
            self.target.rmdir()
        else:
            self.target.rename(old)
        try:
            self.new.rename(self.target)
        except OSError:
            old.rename(self.target)
            raise


@contextmanager
def exchange(target: Path) -> Iterator[Place]:
    """A place to build a new `target`; nothing of it is left behind. Raises Occupied, or OSError."""
    work = target.parent / f".{target.name}.faultleaf"
    work.mkdir(parents=True, exist_ok=True)
    with _alone(work / "lock"), _tidy_when_ended():
        mended = _put_back(work / "old", target)
        try:
            _clear(work)
            yield Place(target, work, mended)
        finally:
            _put_back(work / "old", target)
            _clear(work)
            (work / "lock").unlink(missing_ok=True)
            with suppress(OSError):
                work.rmdir()


def _put_back(old: Path, target: Path) -> bool:
    if not old.exists() or target.exists():
        return False
    old.rename(target)
    return True


def _clear(work: Path) -> None:
    for name in ("new", "old"):
        shutil.rmtree(work / name, ignore_errors=True)


@contextmanager
def _alone(lock: Path) -> Iterator[None]:
    """Hold a lock that the system drops with the process, however that ends."""
    with lock.open("w") as file:
        if fcntl is not None:
            try:
                fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
            except BlockingIOError:
                raise Occupied from None
        yield


@contextmanager
def _tidy_when_ended() -> Iterator[None]:
    """Leave by an exception, hence tidily, when the process is asked to end."""

    def leave(number: int, _: Any) -> None:
        sys.exit(128 + number)

    before = signal.signal(signal.SIGTERM, leave)
    try:
        yield
    finally:
        signal.signal(signal.SIGTERM, before)
