"""MkDocs run in this very process, so that it ends when its caller does."""

import os
from pathlib import Path

import click


def run_mkdocs(config: Path, target: Path) -> bool:
    """Whether MkDocs built the site into the folder; what is wrong was said on stderr. Warnings count as wrong."""
    os.environ.setdefault("NO_MKDOCS_2_WARNING", "1")  # read when the theme is loaded
    from mkdocs.__main__ import cli  # noqa: PLC0415

    try:
        cli.main(
            ["build", "--strict", "--config-file", str(config), "--site-dir", str(target)],
            prog_name="mkdocs", standalone_mode=False,
        )  # fmt: skip
    except click.ClickException as error:
        error.show()
        return False
    except click.exceptions.Exit as ended:
        return ended.exit_code == 0
    return True
