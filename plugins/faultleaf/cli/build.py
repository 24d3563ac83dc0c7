"""`faultleaf build`: build the site beside the old one and swap, so that the last good site stays."""

import argparse
import os
import subprocess
import sys
import tempfile
from pathlib import Path

from faultleaf.cli.speak import CommandError, say


def add_parser(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the sub-command."""
    parser = commands.add_parser("build", help="build the site; the last good one stays if anything is wrong")
    parser.add_argument("--config", default="mkdocs.yml", metavar="FILE", help="the site's mkdocs.yml")
    parser.add_argument("--site-dir", default="site", metavar="FOLDER", help="where the finished site goes")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Build, swap, and say which file to open; 1 when the build failed and the old site was left."""
    site = Path(options.site_dir)
    if not Path(options.config).is_file():
        raise CommandError(f"there is no file '{options.config}'")
    if site.exists() and not _is_ours(site):
        raise CommandError(f"'{site}' is not a built site; empty it or choose another folder with --site-dir")
    try:
        built = _build_beside(options.config, site.resolve())
    except OSError as error:
        raise CommandError(f"'{site}' cannot be written: {error.strerror}") from None
    if not built:
        kept = f" The last good site in '{site}' was left as it was." if site.exists() else ""
        say(f"The site was not built.{kept}", error=True)
        return 1
    say(f"The site is ready. Open {site / 'index.html'} in a browser.")
    return 0


def _build_beside(config: str, site: Path) -> bool:
    """Build in a folder of our own beside the site, so that moving it into place is one step of the disk."""
    site.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(prefix=f".{site.name}-", dir=site.parent, ignore_cleanup_errors=True) as beside:
        fresh, old = Path(beside, "new"), Path(beside, "old")
        if _build(config, fresh) != 0:
            return False
        _swap(fresh, site, old)
    return True


def _build(config: str, target: Path) -> int:
    command = [sys.executable, "-m", "mkdocs", "build", "--strict", "--config-file", config]
    environment = {**os.environ, "NO_MKDOCS_2_WARNING": "1"}
    return subprocess.run([*command, "--site-dir", str(target)], check=False, env=environment).returncode


def _is_ours(site: Path) -> bool:
    return site.is_dir() and ((site / "graph.json").is_file() or not any(site.iterdir()))


def _swap(fresh: Path, site: Path, old: Path) -> None:
    if not site.exists():
        fresh.rename(site)
        return
    site.rename(old)
    try:
        fresh.rename(site)
    except OSError:
        old.rename(site)  # the last good site stays whatever happens
        raise
