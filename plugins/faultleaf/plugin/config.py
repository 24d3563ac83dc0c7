"""What mkdocs.yml may say to the plugin."""

from mkdocs.config import config_options as option
from mkdocs.config.base import Config

from faultleaf.diagnosis.worth.figured import USUAL


class FaultleafConfig(Config):  # type: ignore[no-untyped-call]  # MkDocs types it only in part
    """Options of the plugin."""

    # Content folders below docs_dir's own, the base first; relative to mkdocs.yml.
    library = option.ListOfItems(option.Type(str), default=[])
    # Folder of results kept from build to build, relative to mkdocs.yml; empty keeps none.
    cache = option.Type(str, default=".cache/faultleaf")
    # How often all numbers are shaken, to see whether the first step stays; 0 for a quicker build.
    shakings = option.Type(int, default=USUAL.shakings)
