"""
Which entries of a job still stand?

Taken as a set: no order of arrival, no repeat and no clock can change the answer.
See also frontend/src/journal/live.ts.
"""

from collections.abc import Iterable

from shopfloor.journal.bodies import is_readable, is_redacted, redact, uuid_in
from shopfloor.journal.entry import DESK_KINDS, KNOWN_VERSION, Entry, to_wire
from shopfloor.journal.state import Head
from shopfloor.journal.values import canonical_json, code_units


def live_heads(entries: Iterable[Entry]) -> list[Head]:
    """Every entry that can be read and is not superseded, redacted where asked, by id."""
    unique = unique_entries(entries)
    gone = superseded_ids(unique)
    blanked = _redacted_ids(unique)
    return [
        head
        for entry in unique.values()
        if entry.id not in gone and (head := _read(entry, blanked=entry.id in blanked))
    ]


def unique_entries(entries: Iterable[Entry]) -> dict[str, Entry]:
    """
    One entry for each id, by id.

    Two entries of one id with different content should not exist; the server refuses the second.
    Should they meet all the same, every phone must keep the same one: the lower canonical text.
    """
    kept: dict[str, Entry] = {}
    for entry in entries:
        other = kept.get(entry.id)
        if other is None or (other is not entry and _text(entry) < _text(other)):
            kept[entry.id] = entry
    return dict(sorted(kept.items()))


def superseded_ids(entries: dict[str, Entry]) -> set[str]:
    """
    The ids that another entry replaces.

    What cannot be read still replaces: a newer app's entry must not leave the older value standing.
    Two guards: only the desk replaces what the desk wrote, and a void takes back own entries only.
    """
    return {
        target
        for entry in entries.values()
        for target in entry.supersedes
        if target in entries and _may_replace(entry, entries[target])
    }


def _may_replace(entry: Entry, target: Entry) -> bool:
    if target.kind in DESK_KINDS:
        return entry.kind in DESK_KINDS
    return entry.kind != "void" or entry.by == target.by


def _redacted_ids(entries: dict[str, Entry]) -> set[str]:
    """A redaction cannot be taken back: it counts even when superseded."""
    return {
        uuid_in(entry.body, "entry")
        for entry in entries.values()
        if entry.kind == "redacted" and _is_understood(entry)
    }


def _read(entry: Entry, *, blanked: bool) -> Head | None:
    blank = blanked or is_redacted(entry.body)
    body = redact(entry.kind, entry.body) if blank else entry.body
    if entry.v != KNOWN_VERSION or not is_readable(entry.kind, body):
        return None
    return {"id": entry.id, "by": entry.by, "at": entry.at, "kind": entry.kind, "body": body}


def _is_understood(entry: Entry) -> bool:
    return entry.v == KNOWN_VERSION and is_readable(entry.kind, entry.body)


def _text(entry: Entry) -> bytes:
    return code_units(canonical_json(to_wire(entry)))
