"""For each cause how often the first, the second or a later repair cured, or none, and what its calls took."""

from collections import Counter
from collections.abc import Iterable
from statistics import fmean

from tests.calls.played import DrawnCall, PlayedCall

PLACES = ("1", "2", "later", "never")
HEADS = ("first", "second", "later", "never", "minutes")


def print_causes(title: str, calls: Iterable[tuple[DrawnCall, PlayedCall]]) -> None:
    """A line for each cause, the commonest first."""
    places, minutes = dict[str, Counter[str]](), dict[str, list[float]]()
    for call, done in calls:
        places.setdefault(call.fault, Counter())[_place(done)] += 1
        minutes.setdefault(call.fault, []).append(done.minutes)
    heads = "".join(f"{head:>8}" for head in HEADS)
    print(f"{title:<44}{'calls':>7}{heads}   (percent: the repair that cured)")
    for fault, found in sorted(places.items(), key=lambda each: (-each[1].total(), each[0])):
        shares = "".join(f"{100 * found[place] / found.total():>8.0f}" for place in PLACES)
        print(f"  {fault:<42}{found.total():>7}{shares}{fmean(minutes[fault]):>8.0f}")


def _place(done: PlayedCall) -> str:
    tried = len(done.repairs)
    return "never" if done.handed_on else str(tried) if tried < 3 else "later"
