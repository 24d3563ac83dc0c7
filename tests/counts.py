"""How much is tried: a part in the suite; everything with FAULTLEAF_COUNTS=all in the environment (`make bench`)."""

import os
from collections.abc import Iterable
from typing import Final, TypeVar

EVERYTHING: Final = os.environ.get("FAULTLEAF_COUNTS") == "all"

T = TypeVar("T")


def one_in(step: int, cases: Iterable[T]) -> list[T]:
    """Every so-manieth of the cases, the first among them; all of them in the bench.

    >>> len(one_in(3, range(10))) in (4, 10)
    True
    """
    return list(cases)[:: 1 if EVERYTHING else step]
