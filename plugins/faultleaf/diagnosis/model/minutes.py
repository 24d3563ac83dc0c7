"""What steps cost in minutes: by hand, making safe, waiting, coming back, proving (MODEL.md, rule 6)."""

import math
from collections.abc import Iterable

from faultleaf.cards import Fault, Library, Proof, Repair, Test

WAITED_OUT = 30.0
"""Minutes of waiting that are spent on the spot; anything longer is one return visit (rule 6)."""


def hands_on_minutes(library: Library, card: Test) -> float:
    """What a test takes beside its wait: by hand, and making safe."""
    return card.takes + _setup(library, card.cautions)


def work_of_test(library: Library, card: Test) -> float:
    """The minutes at the boiler: hands-on ones, and a wait that is stood through."""
    return hands_on_minutes(library, card) + (card.wait if card.wait <= WAITED_OUT else 0.0)


def work_of_repair(library: Library, fault: Fault, card: Repair) -> float:
    """The minutes of work in a repair that cured, with all looks of its proof."""
    return _before_proof(library, fault, card) + library.proofs[card.proof].takes


def minutes_of_test(library: Library, card: Test) -> float:
    """The whole cost of a test in minutes (rule 6); what the owner reads and telephones is no return visit."""
    late = card.wait > WAITED_OUT and card.read_by is not None and card.read_by != card.who
    wait = library.site.telephone_call if late else _visit(library, card.wait)
    return hands_on_minutes(library, card) + wait


def minutes_of_repair(library: Library, fault: Fault, card: Repair) -> float:
    """The whole cost of a fault's repair that cured, in minutes, its proof included (rule 6)."""
    proof = library.proofs[card.proof]
    return _before_proof(library, fault, card) + proof.takes + _visit(library, proof.over)


def minutes_of_failed(library: Library, fault: Fault, card: Repair) -> float:
    """The same of a repair that did not cure: its proof ends at the look that shows it (rule 6)."""
    proof: Proof = library.proofs[card.proof]
    looks = min(card.fails_at, len(proof.looks))
    waited = _visit(library, proof.looks[looks - 1].after)
    return _before_proof(library, fault, card) + proof.takes * looks / len(proof.looks) + waited


def _before_proof(library: Library, fault: Fault, card: Repair) -> float:
    return card.takes + _setup(library, (*fault.cautions, *card.cautions))


def _setup(library: Library, cautions: Iterable[str]) -> float:
    """Minutes of making safe: every caution once."""
    return math.fsum(library.cautions[name].setup for name in dict.fromkeys(cautions))


def _visit(library: Library, wait: float) -> float:
    """Minutes that a wait costs: itself while one stays, else one return visit."""
    return wait if wait <= WAITED_OUT else library.site.return_visit
