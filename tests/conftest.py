"""The order of the suite."""

from pathlib import Path

import pytest

BUILDS_FIRST = Path(__file__).parent / "site/test_build.py"
"""The file that begins with building the demonstration."""


@pytest.hookimpl(trylast=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """One file begins by building the demonstration, the others that need it come last: so no worker waits for it."""
    need = {item.path for item in items if "demo" in getattr(item, "fixturenames", ())}
    items.sort(key=lambda item: 0 if item.path == BUILDS_FIRST else 2 if item.path in need else 1)
