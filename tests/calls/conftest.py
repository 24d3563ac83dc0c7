"""The engine's page, as the tests of the engine open it."""

from tests.browser.engine.conftest import engine, library

__all__ = ["engine", "library"]
