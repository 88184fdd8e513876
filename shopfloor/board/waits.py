"""
In which stretches could the shop not go on with a job, by its desk entries?

Pure: kinds, bodies and instants in, stretches out. Desk entries carry the server's clock.
"""

from collections.abc import Iterable, Mapping
from datetime import datetime
from typing import Any, NamedTuple

from shopfloor.planning.turnaround import Wait

KINDS = ("finding", "asked", "answer", "withdrawn", "parts-in")


class Said(NamedTuple):
    """One entry as far as waits are concerned."""

    id: str
    kind: str
    body: Mapping[str, Any]
    at: datetime
    supersedes: tuple[str, ...] = ()


def waits_of(entries: Iterable[Said], *, until: datetime) -> list[Wait]:
    """Waits for the customer's answer and for parts; one that never ended ends at `until`."""
    told = sorted(entries, key=lambda entry: (entry.at, entry.id))
    return [*_for_answers(told, until), *_for_parts(told, until)]


def _for_answers(told: list[Said], until: datetime) -> Iterable[Wait]:
    for asked in told:
        if asked.kind == "asked" and asked.body.get("told") is not True:
            ends = [later.at for later in told if _ends(later, asked)]
            yield Wait("customer", asked.at, min(ends, default=until))


def _ends(later: Said, asked: Said) -> bool:
    """An answer to the offer, or anything that replaces the question."""
    answers = later.kind == "answer" and later.body.get("offer") == asked.body.get("offer")
    return answers or asked.id in later.supersedes


def _for_parts(told: list[Said], until: datetime) -> Iterable[Wait]:
    missing = {
        entry.id
        for entry in told
        if entry.kind == "finding"
        and any(part.get("in_stock") is False for part in entry.body.get("parts") or ())
    }
    arrived = {str(e.body.get("finding")): e.at for e in told if e.kind == "parts-in"}
    for answer in told:
        lines = answer.body.get("lines") or () if answer.kind == "answer" else ()
        for line in lines:
            finding = str(line.get("finding"))
            if line.get("decision") == "yes" and finding in missing:
                yield Wait("parts", answer.at, arrived.get(finding, until))
