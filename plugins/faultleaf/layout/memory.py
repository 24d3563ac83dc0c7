"""What was worked out once and is not worked out again: results under a digest of what was asked."""

from __future__ import annotations

from collections.abc import Callable
from hashlib import sha256
from typing import Protocol


class Memory(Protocol):
    """Results by a key. All of them must come from the same code and the same fonts: keys do not tell these."""

    def take(self, key: str) -> bytes | None:
        """What is kept under this key, None where there is nothing."""
        ...

    def put(self, key: str, content: bytes) -> None:
        """Keep it."""
        ...


def remembered(memory: Memory | None, asked: str, work: Callable[[], bytes]) -> bytes:
    """What the memory keeps of this question, which says all that the answer hangs on; else what the work gives."""
    if memory is None:
        return work()
    key = sha256(asked.encode()).hexdigest()
    known = memory.take(key)
    if known is None:
        known = work()
        memory.put(key, known)
    return known
