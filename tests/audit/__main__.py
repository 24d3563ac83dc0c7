"""Everything that `make audit` runs: outside checkers over the whole site, too slow for the suite.

Exit code 1 where one finds something.
"""

import sys
from collections.abc import Iterator
from pathlib import Path

from faultleaf.intake import Layer
from faultleaf.pipeline.check import check_content
from faultleaf.pipeline.fonts import FONT_FOLDER, load_metrics
from faultleaf.pipeline.sheets import Wish, print_sheet
from faultleaf.pipeline.shelf import kept_of
from faultleaf.sheets import PAPERS, Maker, Press

from tests.audit.html_pages import audit_html
from tests.audit.printed_files import audit_pdf

ROOT = Path(__file__).parents[2]
SITE, CONTENT, CACHE = ROOT / "site", ROOT / "content", ROOT / ".cache/faultleaf"


def main() -> int:
    """Print every finding and what was looked at."""
    pages = sorted(SITE.rglob("*.html"))
    sheets = {path.relative_to(SITE).as_posix(): path.read_bytes() for path in sorted(SITE.rglob("*.pdf"))}
    if not pages or not sheets:
        print("Build the site first: make site")
        return 1
    sheets |= large_print()
    found = [line for path in pages for line in audit_html(path.relative_to(SITE).as_posix(), path.read_text("utf-8"))]
    found += [line for name, pdf in sheets.items() for line in audit_pdf(name, pdf)]
    print("\n".join(found) or "nothing found")
    print(f"{len(pages)} pages, {len(sheets)} files to print looked at; {len(found)} findings")
    return 1 if found else 0


def large_print() -> dict[str, bytes]:
    """The large-print edition of every variant on both papers, by name: the site does not hold them."""
    return dict(_large_print())


def _large_print() -> Iterator[tuple[str, bytes]]:
    library = check_content([Layer(CONTENT, "content")]).library
    assert library is not None
    kept = kept_of([Layer(CONTENT, "content")], CACHE)
    maker = Maker(Press(FONT_FOLDER), load_metrics())
    for symptom in library.symptoms.values():
        for variant in symptom.variants:
            for paper in PAPERS:
                pdf = print_sheet(library, symptom, variant, Wish(paper=paper, large=True), maker, kept)
                yield f"large: {symptom.id}, {variant}, {paper}", pdf


if __name__ == "__main__":
    sys.exit(main())
