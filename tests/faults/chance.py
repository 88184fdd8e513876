"""Every random bit of a process out of one seed, so that a run can be repeated to the letter."""

import os
import random

import uuid6


class Bits:
    """Stands in for the system's source of randomness."""

    def __init__(self) -> None:
        self._source = random.Random(0)

    def start(self, seed: str) -> None:
        """From here on the bits follow from this seed."""
        self._source = random.Random(seed)
        # It keeps the last moment it saw, so that ids grow even when the clock does not.
        uuid6._last_v7_timestamp = None

    def __call__(self, count: int) -> bytes:
        return self._source.randbytes(count)


def take_over() -> Bits:
    """Make os.urandom, secrets and uuid draw from here."""
    bits = Bits()
    os.urandom = bits
    # The random module has kept its own name for it; secrets draws through that.
    random._urandom = bits  # type: ignore[attr-defined]
    return bits
