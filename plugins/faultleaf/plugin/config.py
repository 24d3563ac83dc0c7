"""What mkdocs.yml may say to the plugin."""

from mkdocs.config import config_options as option
from mkdocs.config.base import Config


class FaultleafConfig(Config):  # type: ignore[no-untyped-call]  # MkDocs types it only in part
    """Options of the plugin."""

    # Content folders below docs_dir's own, the base first; relative to mkdocs.yml.
    library = option.ListOfItems(option.Type(str), default=[])
