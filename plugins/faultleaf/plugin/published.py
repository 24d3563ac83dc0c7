"""The list of a built site's files, which tells them from anybody else's."""

import os
from collections.abc import Iterator
from pathlib import Path
from typing import Final

LIST: Final = ".faultleaf-files"
"""Every file of the site but this one, a path on each line. A build puts nothing in its place that it does not name."""


def write_list(site: Path) -> None:
    """Write down what the site's folder holds."""
    (site / LIST).write_text("".join(f"{name}\n" for name in sorted(_files_in(site) - {LIST})), encoding="utf-8")


def foreign_files(site: Path) -> list[str] | None:
    """What the folder holds beside a built site, sorted; None where it is no built site. An empty folder is ours."""
    there = _files_in(site)
    try:
        listed = (site / LIST).read_text(encoding="utf-8").splitlines()
    except (OSError, UnicodeDecodeError):
        return None if there else []
    return sorted(there - {*listed, LIST})


def _files_in(site: Path) -> set[str]:
    return set(_walk(site))


def _walk(site: Path) -> Iterator[str]:
    for folder, folders, files in os.walk(site):
        links = [name for name in folders if Path(folder, name).is_symlink()]  # not followed, but not ours either
        for name in (*files, *links):
            yield Path(folder, name).relative_to(site).as_posix().encode("utf-8", "replace").decode()
