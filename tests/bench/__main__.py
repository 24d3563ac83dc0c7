"""Everything that `make bench` runs; exit code 1 where a count finds a difference."""

import sys

from tests.bench.clicked import measure_clicks, print_clicks, too_far
from tests.bench.counts import differing_calls
from tests.bench.engine import differing_answers, measure_browser
from tests.bench.families import print_table
from tests.bench.ledger import measure_ledger
from tests.bench.played import measure_calls, print_calls
from tests.bench.printing import measure_printing
from tests.bench.scale import measure_checks
from tests.bench.timings import measure_cards, measure_ranking, measure_step
from tests.bench.to_the_end import far_off, measure_ends, print_ends, unlike_in_both

SETS = 2000
ANSWERS = 1000
SEED = 20261125


def main() -> int:
    """Print the tables; 1 where the command and pyAgrum, Chromium and Python, or calls and their exact cost differ."""
    print_table()
    wrong = differing_calls(SETS, SEED)
    print(f"{'what':<78} {'ours':>10} {'reference':>10} {'ratio':>7}")
    timings = (*measure_ranking(), measure_step(), measure_cards(), *measure_printing(), *measure_browser())
    for row in timings:
        print(f"{row.what:<78} {row.ours_ms:>7.2f} ms {row.reference_ms:>7.2f} ms {row.ratio:>7.2f}")
    print(f"{f'posteriors unlike pyAgrum by over 1e-9, of {SETS} calls':<78} {len(wrong):>10}")
    for call, found in wrong[:10]:
        print(f"  {call}: {'; '.join(found[:3])}")
    unlike = differing_answers(ANSWERS, SEED)
    print(f"{f'answers of Chromium unlike Python, of {ANSWERS} calls and {ANSWERS} problems':<78} {len(unlike):>10}")
    for name, found in unlike[:10]:
        print(f"  {name}: {'; '.join(found[:3])}")
    too_long = measure_checks()
    rows = list(measure_calls())
    print_calls(rows)
    ends = list(measure_ends())
    print_ends(ends)
    apart = list(unlike_in_both())
    print(f"{'calls worked in Chromium unlike in Python, to their end':<78} {len(apart):>10}")
    for line in apart[:10]:
        print(f"  {line}")
    clicks = list(measure_clicks())
    print_clicks(clicks)
    ledger = measure_ledger()
    print(f"water ledger: {ledger.named:.0%} named, {ledger.right:.1%} of them right, {ledger.covered:.1%} covered")
    wrong_calls = apart or too_long or far_off(ends) or too_far(clicks) or any(row.off for row in rows)
    wrong_calls = wrong_calls or ledger.right < 0.9 or not 0.87 <= ledger.covered <= 0.93
    return 1 if wrong or unlike or wrong_calls else 0


if __name__ == "__main__":
    sys.exit(main())
