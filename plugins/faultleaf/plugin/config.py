"""What mkdocs.yml may say to the plugin."""

from pathlib import PurePosixPath

from mkdocs.config import config_options as option
from mkdocs.config.base import Config, ValidationError

from faultleaf.diagnosis.worth.figured import USUAL

MOST_SHAKINGS = 1000
"""More of them say nothing new and take hours."""


class _Count(option.OptionallyRequired[int]):
    """A whole number from 0 to `most`."""

    def __init__(self, most: int, default: int) -> None:
        super().__init__(default=default)
        self._most = most

    def run_validation(self, value: object) -> int:
        if isinstance(value, bool) or not isinstance(value, int) or not 0 <= value <= self._most:
            raise ValidationError(f"expected a whole number from 0 to {self._most}, found {value!r}")
        return value


class _Below(option.OptionallyRequired[str]):
    """A folder below docs_dir, "" for docs_dir itself."""

    def run_validation(self, value: object) -> str:
        path = PurePosixPath(value) if isinstance(value, str) else PurePosixPath("..")
        if path.is_absolute() or ".." in path.parts:
            raise ValidationError(f"expected a folder below docs_dir, found {value!r}")
        return "" if path == PurePosixPath() else path.as_posix()


class FaultleafConfig(Config):  # type: ignore[no-untyped-call]  # MkDocs types it only in part
    """Options of the plugin."""

    # What the site's own cards stand on, the base first: installed libraries by name, folders relative to mkdocs.yml.
    library = option.ListOfItems(option.Type(str), default=[])
    # Folder of the cards below docs_dir, for a site that is more than its cards; their pages go to the same place.
    cards = _Below(default="")
    # Folder of results kept from build to build, relative to mkdocs.yml; empty keeps none.
    cache = option.Type(str, default=".cache/faultleaf")
    # How often all numbers are shaken, to see whether the first step stays; 0 for a quicker build.
    shakings = _Count(MOST_SHAKINGS, default=USUAL.shakings)
