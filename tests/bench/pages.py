"""Every page of a built site in Chromium, on a phone and at a desk: what breaks the laws of how pages look.

python -m tests.bench.pages [FOLDER]; FOLDER is `site` unless told. Prints what is wrong; exit code 1 where anything is.
"""

import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from tests.browser.axe import set_scheme, violations
from tests.browser.chromium import open_chromium
from tests.site.looks import DESK, ON_CHARTS, PHONE, SCREENS_OF_A_HUB, breaches, height_of, script_ms

LONGEST_MS = 16.0


@dataclass(frozen=True)
class Measured:
    """A page at one size: what is wrong with it, how long it is (px) and how long our scripts ran (ms)."""

    path: str
    width: int
    wrong: tuple[str, ...]
    height: int
    script: float


def measure_pages(root: Path) -> Iterator[Measured]:
    """Every page below `root` at both sizes but 404.html; axe looks by day on the phone, by night at the desk."""
    pages = sorted(path for path in root.rglob("*.html") if path.name != "404.html")
    for (width, height), schemes in ((PHONE, ("fl-light",)), (DESK, ("fl-dark",))):
        with open_chromium(width, height) as driver:
            for page in pages:
                script = script_ms(driver, page.as_uri())
                wrong = breaches(driver)
                long, path = height_of(driver), page.relative_to(root).as_posix()
                for scheme in schemes:
                    set_scheme(driver, scheme)
                    wrong += violations(driver, *ON_CHARTS)
                if width == PHONE[0] and is_hub(path) and long > SCREENS_OF_A_HUB * height:
                    wrong.append(f"{long} px long")
                if script > LONGEST_MS:
                    wrong.append(f"our scripts ran for {script:.1f} ms")
                yield Measured(path, width, tuple(wrong), long, script)


def is_hub(path: str) -> bool:
    """Whether the page is one to find by."""
    return path == "index.html" or (path.startswith("symptoms/") and path != "symptoms/index.html")


def main(folder: str = "site") -> int:
    """Print what is wrong, page by page, then the sums; 1 where anything is."""
    found = list(measure_pages(Path(folder).resolve()))
    for one in found:
        for line in one.wrong:
            print(f"{one.path} at {one.width}: {line[:300]}")
    hubs = {one.path: one.height for one in found if one.width == PHONE[0] and is_hub(one.path)}
    slowest = max(found, key=lambda one: one.script)
    print(f"{len(found)} pages and sizes, {sum(bool(one.wrong) for one in found)} with something wrong")
    print(f"hubs on a phone: {hubs}; slowest scripts: {slowest.path}, {slowest.script:.1f} ms")
    return int(any(one.wrong for one in found))


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:2]))
