"""One Chromium with the engine, the record's scripts and the shipped library's data loaded."""

from tests.browser.engine.conftest import engine, library

__all__ = ["engine", "library"]
