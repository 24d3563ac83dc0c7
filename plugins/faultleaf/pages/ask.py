"""“What would you do next?” in words: what is known, what is offered, and the answer with its reason."""

from dataclasses import dataclass

from faultleaf.cards import Library
from faultleaf.diagnosis import STILL_THERE, UNLISTED
from faultleaf.pages.common import Link, link_to
from faultleaf.pages.worked import Asked
from faultleaf.words import capital, minutes_text, outcome_words, share_text, step_words

NOT_NAMED = "something that no card describes"


@dataclass(frozen=True)
class AskView:
    """One question. `worse` are the steps offered beside the best one, each with how much more it takes."""

    symptom: Link
    variant: str
    found: tuple[tuple[str, str], ...]
    offered: tuple[str, ...]
    best: str
    because: str
    worse: tuple[tuple[str, str], ...]
    likely: tuple[tuple[str, str], ...]


def ask_view(library: Library, asked: Asked) -> AskView:
    """The question in words. What is offered stands in the order of its letters, which tells nothing."""
    worse = tuple((_step(library, name), minutes_text(round(more))) for name, more in asked.others)
    best = _step(library, asked.best)
    return AskView(
        link_to(library.symptoms[asked.symptom]),
        asked.variant,
        tuple((_step(library, step), _seen(library, step, outcome)) for step, outcome in asked.found),
        tuple(sorted([best, *(title for title, _ in worse)])),
        best,
        _because(library, asked),
        worse,
        tuple((_cause(library, name), share_text(share)) for name, share in asked.likely),
    )


def _step(library: Library, step: str) -> str:
    """A step's title; a repair says which fault it is for, since titles of repairs alone are alike."""
    if found := library.find_repair(step):
        fault, repair = found
        return f"{repair.title} ({fault.title.lower()})"
    return capital(step_words(library, step))


def _seen(library: Library, step: str, outcome: str) -> str:
    return "done, still there" if outcome == STILL_THERE else outcome_words(library, step, outcome)


def _cause(library: Library, name: str) -> str:
    return NOT_NAMED if name == UNLISTED else library.faults[name].title


def _because(library: Library, asked: Asked) -> str:
    """Why the best step is it: which causes it parts, or how many calls it ends."""
    if asked.mends:
        return "Every later reading relies on what it mends; nothing is worth doing before."
    if library.find_repair(asked.best):
        return f"{share_text(asked.removes)} of such calls end with it, and no further test saves more than it takes."
    parted = [(name, seen) for name, seen in asked.splits if name != UNLISTED]
    other = next(((name, seen) for name, seen in parted[1:] if seen != parted[0][1]), None)
    if other is None:
        return "It tells the most for its minutes."
    (one, one_seen), (two, two_seen) = parted[0], other
    return (
        f"It parts “{_cause(library, one)}” ({_seen(library, asked.best, one_seen)}) "
        f"from “{_cause(library, two)}” ({_seen(library, asked.best, two_seen)})."
    )
