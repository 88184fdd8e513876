"""How a section tells its figures: pairs of a name and a value, in words."""

import statistics
from collections.abc import Iterator, Sequence

Figures = Iterator[tuple[str, str]]


def middle_and_p95(times: Sequence[float]) -> str:
    """Of times in milliseconds."""
    low, high = statistics.median(times), p95(times)
    return f"median {low:.0f} ms, p95 {high:.0f} ms, {len(times)} times"


def p95(times: Sequence[float]) -> float:
    """The time that one in twenty takes longer than; of fewer than twenty the longest."""
    return sorted(times)[min(int(len(times) * 0.95), len(times) - 1)]
