"""Broken cards on disk: how a case file is read, laid over the sound library, and checked.

A case is one file in `broken/`. A line `=== content/faults/x.md` begins a file of the case; a line
`=== expect` begins the exact messages. Everything in `sound/` that the case does not name stays as it is;
files below `more/` make a second layer.
"""

import shutil
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from faultleaf.intake import Layer
from faultleaf.pipeline.check import Checked, check_content

HERE = Path(__file__).parent
SOUND = HERE / "sound"
MARK = "=== "
CASES = tuple(sorted((HERE / "broken").glob("*.case")))

Change = Callable[[bytes], bytes]


@dataclass(frozen=True)
class Case:
    """Files by path, and the messages they must give, sorted."""

    files: dict[str, str]
    expected: tuple[str, ...]


def read_case(path: Path) -> Case:
    """The case that stands in a file."""
    parts: dict[str, list[str]] = {}
    for line in path.read_text(encoding="utf-8").split("\n"):
        if line.startswith(MARK):
            lines = parts.setdefault(line.removeprefix(MARK), [])
        else:
            lines.append(line)
    expected = [line for line in parts.pop("expect", []) if line]
    return Case({name: "\n".join(lines) for name, lines in parts.items()}, tuple(expected))


def lay_out(root: Path, files: dict[str, str] | dict[str, bytes], change: Change = bytes) -> list[Layer]:
    """The sound library with the files laid over it, every text of it changed; the layers of it."""
    for source in sorted(SOUND.rglob("*.*")):
        target = root / "content" / source.relative_to(SOUND)
        target.parent.mkdir(parents=True, exist_ok=True)
        raw = source.read_bytes()
        target.write_bytes(change(raw) if source.suffix in (".md", ".yml") else raw)
    for name, content in files.items():
        (root / name).parent.mkdir(parents=True, exist_ok=True)
        (root / name).write_bytes(change(content.encode("utf-8") if isinstance(content, str) else content))
    layers = [Layer(root / "content", "content")]
    return [*layers, Layer(root / "more", "more")] if (root / "more").is_dir() else layers


def check_case(root: Path, files: dict[str, str] | dict[str, bytes], change: Change = bytes) -> Checked:
    """What the check says of the sound library with these files laid over it; `root` is used anew."""
    shutil.rmtree(root, ignore_errors=True)
    return check_content(lay_out(root, files, change))


def messages(checked: Checked) -> tuple[str, ...]:
    """The mistakes as people read them."""
    return tuple(str(mistake) for mistake in checked.mistakes)
