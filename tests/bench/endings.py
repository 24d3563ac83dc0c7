"""How calls end, variant by variant and cause by cause: `python -m tests.bench.endings [VARIANT] [CALLS]`.

VARIANT is a part of "symptom, variant"; all printed ones unless given. `--who` tells the rank at hand, `--content`
another folder of cards. What is printed is said in `tests/calls/endings.py`; percent of the calls with that cause.
"""

import argparse
import time
from collections.abc import Iterator
from pathlib import Path

from faultleaf.cards import Library
from faultleaf.cards.vocabulary import RANKS
from faultleaf.diagnosis import UNLISTED, Problem, compile_problem

from tests.calls.endings import ENDS, Endings, walk
from tests.cli.calls import CONTENT
from tests.library import read

CALLS, SEED = 20_000, 20261126


def variants(library: Library, part: str, who: str) -> Iterator[tuple[str, Problem]]:
    """The printed variants whose names hold this part, with the problem of a call."""
    for symptom in library.symptoms.values():
        for variant, equipment in symptom.variants.items():
            name = f"{symptom.id}, {variant}"
            if part in name:
                yield name, compile_problem(library, [symptom.id], equipment=equipment, who=who)


def print_endings(name: str, ends: Endings) -> None:
    """A line for each cause, the commonest first, and one for all that have a card."""
    heads = "".join(f"{head:>10}" for head in ENDS)
    print(f"{name}\n{'percent of its calls':<44}{'calls':>7}{heads}{'minutes':>9}")
    rows = {cause: list(places) for cause, places in ends.problem.cause_rows.items()}
    lines = {cause: ends.of(places) for cause, places in rows.items()}
    listed = [place for cause, places in rows.items() if cause != UNLISTED for place in places]
    lines["all that have a card"] = ends.of(listed)
    lines["all"] = ends.of([place for places in rows.values() for place in places])
    for cause, (share, found, minutes) in sorted(lines.items(), key=lambda line: (-line[1][0], line[0])):
        shares = "".join(f"{100 * found[end]:>10.1f}" for end in ENDS)
        print(f"  {cause:<42}{100 * share:>7.1f}{shares}{minutes:>9.0f}")


def main() -> None:
    """Print a table for each variant as soon as it is worked out."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench.endings", description="How calls end.")
    parser.add_argument("variant", nargs="?", default="")
    parser.add_argument("calls", nargs="?", type=int, default=CALLS)
    parser.add_argument("--who", choices=RANKS, default="licensed")
    parser.add_argument("--content", type=Path, default=CONTENT)
    asked = parser.parse_args()
    for name, problem in variants(read(asked.content), asked.variant, asked.who):
        began = time.monotonic()
        ends = walk(problem, asked.calls, f"{SEED}/{name}/{asked.who}")
        print_endings(f"{name}; {asked.who}; {asked.calls} calls, {ends.states} beliefs", ends)
        print(f"  ({time.monotonic() - began:.0f} s)\n", flush=True)


if __name__ == "__main__":
    main()
