"""`faultleaf build`: build the site beside the old one and swap, so that the last good site stays."""

import argparse
import os
from pathlib import Path

from faultleaf.cli.exchange import Occupied, exchange
from faultleaf.cli.project import project_of
from faultleaf.cli.speak import CommandError, say
from faultleaf.plugin.published import foreign_files
from faultleaf.plugin.run import run_mkdocs

NAMED_FILES = 3
"""Files that are not ours are named up to so many."""


def add_parser(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the sub-command."""
    parser = commands.add_parser("build", help="build the site; the last good one stays if anything is wrong")
    parser.add_argument("--config", metavar="FILE", help="the site's mkdocs.yml (default: the nearest one upwards)")
    parser.add_argument("--site-dir", metavar="FOLDER", help="where the site goes (default: as mkdocs.yml says)")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Build, swap, and say which file to open; 1 when the build failed and the old site was left."""
    project = project_of(options)
    site = _from_here(project.site) if options.site_dir is None else Path(options.site_dir)
    try:
        with exchange(site.resolve()) as place:
            if place.mended:
                say(f"A build was cut off before this one; the last good site was put back as '{site}'.")
            _refuse_what_is_not_ours(site)
            built = run_mkdocs(project.config, place.new)
            if built:
                place.swap()
    except Occupied:
        raise CommandError(f"'{site}' is being built by another command; wait for it") from None
    except OSError as error:
        raise CommandError(f"'{site}' cannot be written: {error.strerror}") from None
    if not built:
        kept = f" The last good site in '{site}' was left as it was." if site.exists() else ""
        say(f"The site was not built.{kept}", error=True)
        return 1
    say(f"The site is ready. Open {site / 'index.html'} in a browser.")
    return 0


def _refuse_what_is_not_ours(site: Path) -> None:
    """Raise CommandError where the swap would take away a file that no build of ours wrote."""
    if not site.exists():
        return
    other = "empty it or choose another folder with --site-dir"
    if os.path.ismount(site):
        raise CommandError(f"'{site}' is a mount of its own, which cannot be swapped; choose a folder in it")
    found = foreign_files(site) if site.is_dir() else None
    if found is None:
        raise CommandError(f"'{site}' is not a built site; {other}")
    if found:
        named = ", ".join(f"'{name}'" for name in found[:NAMED_FILES])
        more = f" and {len(found) - NAMED_FILES} more" if len(found) > NAMED_FILES else ""
        raise CommandError(f"'{site}' holds what no build put there: {named}{more}. Move it away, or {other}")


def _from_here(path: Path) -> Path:
    """The path as one would type it here."""
    here = Path.cwd()
    return path.relative_to(here) if path.is_relative_to(here) else path
