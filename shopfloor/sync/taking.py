"""Taking entries from phones, once each. One that cannot be taken stops no other."""

import json
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, NamedTuple
from uuid import UUID

from django.db import transaction

from shopfloor.jobs import services as journal
from shopfloor.journal.entry import (
    DESK_KINDS,
    Entry,
    MalformedEntry,
    find_uuid,
    is_count,
    parse_entry,
    to_wire,
)
from shopfloor.sync.models import RefusedEntry
from shopfloor.words import gettext as _
from shopfloor.words import gettext_noop as __
from shopfloor.workshop import devices
from shopfloor.workshop.devices import Told
from shopfloor.workshop.instruments import count_use
from shopfloor.workshop.models import Device

RAW_KEPT = 200_000

REFUSALS = {
    "unknown-job": __("The workshop has no such job. Ask the desk; this entry is kept."),
    "unknown-person": __(
        "Nobody of this workshop wrote this. Choose who works, and write it again."
    ),
    "other-device": __("This was written by another phone. Send it from that phone."),
    "kind-not-allowed": __("Only the desk may write this."),
    "id-reused": __("Another entry has this number already. Write it again."),
}


class Placed(NamedTuple):
    """An entry and where it stood in the request."""

    at: int
    entry: Entry


class Refusal(NamedTuple):
    """An entry as it came, where it stood, and why it is not taken."""

    at: int
    raw: object
    code: str
    message: str


@dataclass(frozen=True)
class Taken:
    """
    What became of a batch: the number of each position that is stored, the refusals with their
    reason, the jobs with something new, and another name for a phone whose profile was copied.
    """

    numbers: Mapping[int, int]
    refused: Sequence[Mapping[str, Any]]
    jobs: frozenset[UUID]
    copy: tuple[Device, str] | None = None


NOTHING = Taken(numbers={}, refused=(), jobs=frozenset())


def take_entries(
    *, device: Device, raw_entries: Sequence[object], at: datetime, told: Told | None = None
) -> Taken:
    """
    Store what can be stored, and remember what the phone told. A refused entry is kept raw, once,
    with its reason. Sending the same batch again answers the same.

    A fresh entry whose number its device has used before comes from a copied profile: it is
    taken, and the phone is given a name of its own. A repeat has nothing fresh and makes no
    name; one whose answer was lost is given another when its next fresh entry clashes.
    """
    if not raw_entries:
        if told:
            devices.heard_from(device=device, told=told, at=at)
        return NOTHING
    placed, refused = _parse_all(raw_entries)
    with transaction.atomic():
        welcome, unwelcome = _sort_out(device, placed, at)
        compared = journal.compare([entry for _at, entry in welcome])
        same, reused = _tell_apart(welcome, compared)
        refused += [*unwelcome, *reused]
        if told:
            devices.heard_from(device=device, told=told, at=at)
        _keep_refused(device, refused, at)
        is_copied = any(entry.device == str(device.pk) for entry in compared.n_taken)
        copy = devices.name_copy(device=device, at=at) if is_copied else None
        count_use(workshop=device.workshop, entries=compared.fresh)
        stored = journal.store(workshop=device.workshop, entries=compared.fresh, at=at)
    held = {pk: held.seq for pk, held in compared.held.items()} | stored
    return Taken(
        numbers={place: held[entry.id] for place, entry in same},
        refused=[_told(refusal) for refusal in sorted(refused, key=lambda one: one.at)],
        jobs=frozenset(map(UUID, {entry.job for entry in compared.fresh})),
        copy=copy,
    )


def _parse_all(raw_entries: Sequence[object]) -> tuple[list[Placed], list[Refusal]]:
    placed, unreadable = [], []
    for at, raw in enumerate(raw_entries):
        try:
            placed.append(Placed(at, parse_entry(raw)))
        except MalformedEntry as error:
            unreadable.append(Refusal(at, raw, error.code, error.message))
    return placed, unreadable


def _sort_out(
    device: Device, placed: Sequence[Placed], at: datetime
) -> tuple[list[Placed], list[Refusal]]:
    """Lock the jobs, and tell which entries this phone may bring."""
    jobs = journal.lock_jobs(workshop=device.workshop, ids={one.entry.job for one in placed})
    people = {str(pk) for pk in device.workshop.people.values_list("id", flat=True)}
    sound, unwelcome = [], []
    for one in placed:
        code = _problem(one.entry, jobs=jobs, people=people)
        if code:
            unwelcome.append(_refusal(one, code))
        else:
            sound.append(one)
    named = {one.entry.device for one in sound}
    foreign = named - _writers(device, named, at)
    unwelcome += [_refusal(one, "other-device") for one in sound if one.entry.device in foreign]
    return [one for one in sound if one.entry.device not in foreign], unwelcome


def _problem(entry: Entry, *, jobs: set[str], people: set[str]) -> str | None:
    if entry.job not in jobs:
        return "unknown-job"
    if entry.by not in people:
        return "unknown-person"
    return "kind-not-allowed" if entry.kind in DESK_KINDS else None


def _writers(device: Device, named: set[str], at: datetime) -> frozenset[str]:
    """
    Whose entries this phone may bring, of those named: its own, those of a phone it has been, and
    those of phones that were signed out since. After a new sign-in the same phone has a new name,
    and what it kept from before must not be lost. A phone that nobody knows is made known.
    """
    others = named - {str(device.pk)}
    if not others:
        return frozenset(named)
    known = {str(row.pk): row for row in Device.objects.filter(id__in=others)}
    strays = others - known.keys()
    devices.adopt_devices(workshop=device.workshop, ids=strays, at=at)
    may = {pk for pk, row in known.items() if devices.may_bring(device, row)}
    return frozenset({str(device.pk), *strays, *may})


def _tell_apart(
    welcome: Sequence[Placed], compared: journal.Compared
) -> tuple[list[Placed], list[Refusal]]:
    """An id that stands for something else already is refused."""
    fresh = {entry.id: entry for entry in compared.fresh}
    same, reused = [], []
    for one in welcome:
        held = compared.held.get(one.entry.id)
        is_same = held.wire == to_wire(one.entry) if held else fresh[one.entry.id] == one.entry
        if is_same:
            same.append(one)
        else:
            reused.append(_refusal(one, "id-reused"))
    return same, reused


def _refusal(one: Placed, code: str) -> Refusal:
    return Refusal(one.at, to_wire(one.entry), code, _(REFUSALS[code]))


def _keep_refused(device: Device, refused: Sequence[Refusal], at: datetime) -> None:
    """Each raw, once; two syncs at once may leave two rows, and a third must not break on them."""
    if not refused:
        return
    ids = {_id_of(refusal.raw) for refusal in refused}
    rows = RefusedEntry.objects.filter(device=device, entry_id__in=ids)
    known = set(rows.values_list("entry_id", "code", "raw"))
    fresh = {
        (_id_of(refusal.raw), refusal.code, _raw_text(refusal.raw)): refusal.message
        for refusal in refused
    }
    RefusedEntry.objects.bulk_create(
        RefusedEntry(
            device=device, entry_id=pk, code=code, raw=raw, message=message, received_at=at
        )
        for (pk, code, raw), message in fresh.items()
        if (pk, code, raw) not in known
    )
    devices.note_refused(device=device, numbers=_numbers(refused))


def _told(refusal: Refusal) -> dict[str, Any]:
    return {
        "at": refusal.at,
        "id": _id_of(refusal.raw),
        "code": refusal.code,
        "message": refusal.message,
    }


def _id_of(raw: object) -> str:
    return _storable(str(raw.get("id", "")))[:64] if isinstance(raw, dict) else ""


def _raw_text(raw: object) -> str:
    return _storable(json.dumps(raw, ensure_ascii=False))[:RAW_KEPT]


def _numbers(refusals: Iterable[Refusal]) -> dict[str, set[int]]:
    """The numbers of what is refused by the name of their device, where they can be read."""
    numbers: dict[str, set[int]] = defaultdict(set)
    for raw in (refusal.raw for refusal in refusals if isinstance(refusal.raw, dict)):
        name = find_uuid(raw.get("device"))
        if name and is_count(raw.get("n")):
            numbers[name].add(int(raw["n"]))
    return numbers


def _storable(text: str) -> str:
    """Half a surrogate pair and a null character as escapes: no database takes them."""
    return text.encode("utf-8", "backslashreplace").decode().replace("\x00", "\\u0000")
