"""The demonstration site, built once for the whole suite: its sheets are the shipped ones with longer notices."""

from tests.site.conftest import builds, site

__all__ = ["builds", "site"]
