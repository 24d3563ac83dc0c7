"""Files in the folder of cards that a browser would run: published only where mkdocs.yml names them."""

from collections.abc import Iterator
from pathlib import Path
from typing import Final

from mkdocs.config.defaults import MkDocsConfig

from faultleaf.cards import Mistake
from faultleaf.cards.mistakes import quoted
from faultleaf.intake import Layer
from faultleaf.intake.disk import find_files

RUN_BY_BROWSERS: Final = (
    ".htm", ".html", ".js", ".mht", ".mhtml", ".mjs", ".shtml", ".svgz", ".swf", ".wasm", ".xht", ".xhtml", ".xml",
    ".xsl", ".xslt",
)  # fmt: skip


def stray_mistakes(own: Layer, config: MkDocsConfig) -> tuple[Mistake, ...]:
    """A mistake for each such file that neither `extra_javascript` nor `extra_templates` names."""
    named = {str(script) for script in (*config.extra_javascript, *config.extra_templates)}
    return tuple(_strays(own, Path(config.docs_dir).resolve(), named))


def _strays(own: Layer, docs: Path, named: set[str]) -> Iterator[Mistake]:
    for path in find_files(own).files:
        if path.suffix.lower() in RUN_BY_BROWSERS and path.relative_to(docs).as_posix() not in named:
            message = f"a browser would run {quoted(path.name)}"
            hint = "Take it away, or name it in mkdocs.yml under 'extra_javascript'."
            yield Mistake(own.show(path), 1, "", message, hint, "stray-script")
