"""`faultleaf build`: build the site beside the old one and swap, so that the last good site stays."""

import argparse
import os
import shutil
import subprocess
import sys
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
    fresh = site.with_name(f"{site.name}.building")
    shutil.rmtree(fresh, ignore_errors=True)
    if _build(options.config, fresh) != 0:
        shutil.rmtree(fresh, ignore_errors=True)
        kept = f" The last good site in '{site}' was left as it was." if site.exists() else ""
        say(f"The site was not built.{kept}", error=True)
        return 1
    _swap(fresh, site)
    say(f"The site is ready. Open {site / 'index.html'} in a browser.")
    return 0


def _build(config: str, target: Path) -> int:
    command = [sys.executable, "-m", "mkdocs", "build", "--strict", "--config-file", config]
    environment = {**os.environ, "NO_MKDOCS_2_WARNING": "1"}
    return subprocess.run([*command, "--site-dir", str(target.resolve())], check=False, env=environment).returncode


def _is_ours(site: Path) -> bool:
    return site.is_dir() and ((site / "graph.json").is_file() or not any(site.iterdir()))


def _swap(fresh: Path, site: Path) -> None:
    old = site.with_name(f"{site.name}.old")
    shutil.rmtree(old, ignore_errors=True)
    if site.exists():
        site.rename(old)
    fresh.rename(site)
    shutil.rmtree(old, ignore_errors=True)
