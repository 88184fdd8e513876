"""
How long did each person have hands on the bike?

Statistics only: nothing is decided by a phone's clock, so a clock that was wrong costs a number
and not a job.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from shopfloor.journal.bodies import uuid_in
from shopfloor.journal.entry import Entry
from shopfloor.journal.instants import instant_ms
from shopfloor.journal.live import live_heads
from shopfloor.journal.state import Head

MINUTE_MS = 60_000
# Nobody works longer on one bike without a break: somebody forgot to take the hands off.
LONGEST_MS = 12 * 60 * MINUTE_MS


@dataclass(frozen=True, kw_only=True)
class Stint:
    """One person at one bike from hands on to hands off, in milliseconds since 1970."""

    by: str
    from_ms: int
    to_ms: int


@dataclass(frozen=True, kw_only=True)
class Worked:
    """
    minutes   by person; time on two phones at once is counted once
    stints    the pairs that are counted, by start
    doubtful  pairs left out: off before on, or longer than twelve hours
    """

    minutes: dict[str, float]
    stints: tuple[Stint, ...]
    doubtful: int


def worked(entries: Iterable[Entry]) -> Worked:
    """The time worked on one job, from the pairs that are closed and not taken back."""
    pairs = _pairs(live_heads(entries))
    good = [one for one in pairs if 0 <= one.to_ms - one.from_ms <= LONGEST_MS]
    stints = sorted(good, key=lambda one: (one.from_ms, one.to_ms, one.by))
    people = sorted({one.by for one in stints})
    return Worked(
        minutes={by: _union_ms([s for s in stints if s.by == by]) / MINUTE_MS for by in people},
        stints=tuple(stints),
        doubtful=len(pairs) - len(good),
    )


def _pairs(heads: Sequence[Head]) -> list[Stint]:
    """Each hands-on with the earliest of its hands-off; the second phone was late to say so."""
    ends: dict[str, int] = {}
    for head in heads:
        if head["kind"] == "hands-off":
            on = uuid_in(head["body"], "on")
            ends[on] = min(_end_ms(head), ends.get(on, _end_ms(head)))
    return [
        Stint(by=head["by"], from_ms=_ms(head), to_ms=ends[head["id"]])
        for head in heads
        if head["kind"] == "hands-on" and head["id"] in ends
    ]


def _end_ms(head: Head) -> int:
    """When the work ended: said later it names the time, which cannot lie after the saying."""
    until = head["body"].get("until")
    return _ms(head) if until is None else min(_ms(head), instant_ms(until) or 0)


def _ms(head: Head) -> int:
    return instant_ms(head["at"]) or 0


def _union_ms(stints: Iterable[Stint]) -> int:
    """The time covered by stints in order of their start, overlaps counted once."""
    total, until = 0, 0
    for stint in stints:
        start = max(stint.from_ms, until)
        if stint.to_ms > start:
            total += stint.to_ms - start
            until = stint.to_ms
    return total
