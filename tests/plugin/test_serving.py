"""plugin/serving.py, alone and under `mkdocs serve`: a mistake is shown over the last good site, and nothing hangs."""

import os
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from urllib.error import HTTPError, URLError
from urllib.request import urlopen

import pytest
from bs4 import BeautifulSoup
from faultleaf.plugin.serving import guarded, show_trouble

from tests.library import Entries
from tests.plugin.sites import CONFIG, make_site

CARDS: Entries = {"symptoms/overfills": {"title": "It overfills"}, "tests/hold": {}}
PATIENCE = 40.0
"""Seconds to wait for a page; a server that hangs would use them up."""


def test_trouble_is_shown_once_and_escaped(tmp_path: Path) -> None:
    page = tmp_path / "faults/valve.html"
    page.parent.mkdir()
    page.write_text('<html><body class="a" data-x="b"><p>good</p></body></html>', encoding="utf-8")
    for lines in (["one", "two"], ["a.md:1: <script>x()</script>"]):
        show_trouble(tmp_path, lines)
        soup = BeautifulSoup(page.read_text(encoding="utf-8"), "html.parser")
        assert [item.text for item in soup.select("body > .fl-trouble li")] == lines
        assert soup.p is not None
        assert soup.select("body.a > p")[-1].text == "good"
        assert not soup.select("script")
    assert "1 mistake: nothing was built" in (tmp_path / "index.html").read_text(encoding="utf-8")


@pytest.mark.parametrize("error", [ValueError("odd \x1b[2J"), SystemExit("no config"), OSError(28, "No space left")])
def test_no_error_gets_through(error: BaseException, tmp_path: Path) -> None:
    def fail() -> None:
        raise error

    guarded(fail, tmp_path, list)()
    text = (tmp_path / "index.html").read_text(encoding="utf-8")
    assert "1 mistake" in text
    assert "\x1b" not in text
    done: list[bool] = []
    guarded(lambda: done.append(True), tmp_path, lambda: ["never shown"])()
    assert done == [True]


@pytest.fixture
def served(tmp_path: Path) -> Iterator[str]:
    """A tiny site under `mkdocs serve`; its address."""
    make_site(tmp_path, CARDS, f"{CONFIG}strict: true\n")
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    command = [sys.executable, "-m", "mkdocs", "serve", "--dev-addr", f"127.0.0.1:{port}"]
    environment = {**os.environ, "NO_MKDOCS_2_WARNING": "1"}
    with subprocess.Popen(command, cwd=tmp_path, env=environment, stderr=subprocess.DEVNULL) as server:
        yield f"http://127.0.0.1:{port}/"
        server.terminate()


def wait_for(address: str, words: str) -> str:
    """The page at the address, as soon as it holds the words."""
    end = time.monotonic() + PATIENCE
    text = ""
    while words not in text:
        assert time.monotonic() < end, f"'{words}' does not come up in: {text[:500]}"
        try:
            with urlopen(address, timeout=PATIENCE) as answer:
                text = answer.read().decode()
        except (HTTPError, URLError):
            text = ""
        time.sleep(0.1)
    return text


def test_server_reloads_shows_a_mistake_and_goes_on(served: str, tmp_path: Path) -> None:
    page = f"{served}symptoms/overfills.html"
    text = wait_for(page, "It overfills")
    assert "connect-src" in text  # so that the page may ask for news …
    assert "script-src 'self' 'unsafe-inline'" in text  # … by the script that MkDocs adds
    assert "livereload(" in text
    card = tmp_path / "content/symptoms/overfills.md"
    good = card.read_text(encoding="utf-8")
    card.write_text(good.replace("title:", "tilte:"), encoding="utf-8")
    text = wait_for(page, "mistakes: nothing was built")
    assert "content/symptoms/overfills.md:2: tilte: " in text
    assert "It overfills" in text  # the last good site, below
    assert "livereload(" in text
    assert "nothing was built" in wait_for(served, "nothing was built")
    card.write_text(good.replace("It overfills", "It floods"), encoding="utf-8")
    assert "nothing was built" not in wait_for(page, "It floods")
