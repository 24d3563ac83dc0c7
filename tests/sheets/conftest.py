"""The demonstration site, built once for the whole suite: its sheets are the shipped ones with longer notices."""

from tests.site.conftest import demo, home, site, worked

__all__ = ["demo", "home", "site", "worked"]
