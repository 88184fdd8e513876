"""Wrenches, gauges and rulers: what there is, what it may still be trusted with, and its use."""

from collections import Counter
from collections.abc import Iterable, Mapping
from datetime import date
from typing import Any

from django.db.models import F

from shopfloor.journal.entry import Entry, find_uuid
from shopfloor.trade.torque import CALIBRATION_CYCLES, calibration_due
from shopfloor.workshop.models import Instrument, Workshop

TORQUE_WRENCH = "torque"


def add_instrument(*, workshop: Workshop, name: str, kind: str, **facts: Any) -> Instrument:
    """Note an instrument that readings may name."""
    return Instrument.objects.create(workshop=workshop, name=name, kind=kind, **facts)


def change_instrument(*, instrument: Instrument, facts: Mapping[str, Any]) -> None:
    """Keep new facts of an instrument; a new day of calibration counts its cycles anew."""
    fresh = facts.get("calibrated_on", instrument.calibrated_on) != instrument.calibrated_on
    changes = {**facts, "cycles": 0} if fresh else facts
    for field, value in changes.items():
        setattr(instrument, field, value)
    instrument.save(update_fields=list(changes))


def retire_instrument(*, instrument: Instrument, on: date) -> None:
    """It is not offered for readings any more; what it has measured keeps its name."""
    instrument.retired_on = on
    instrument.save(update_fields=["retired_on"])


def bring_back(*, instrument: Instrument) -> None:
    """It is offered again."""
    instrument.retired_on = None
    instrument.save(update_fields=["retired_on"])


def due_on(instrument: Instrument) -> date | None:
    """The last day it may be trusted; none where nobody said and no rule holds."""
    by_rule = None
    if instrument.kind == TORQUE_WRENCH and instrument.calibrated_on:
        by_rule = calibration_due(instrument.calibrated_on)
    known = [day for day in (instrument.due_on, by_rule) if day]
    return min(known) if known else None


def is_worn_out(instrument: Instrument) -> bool:
    """Whether a torque wrench has turned more often than it may between two calibrations."""
    return instrument.kind == TORQUE_WRENCH and instrument.cycles > CALIBRATION_CYCLES


def is_overdue(instrument: Instrument, *, on: date) -> bool:
    """Whether it cannot be trusted before it is calibrated."""
    due = due_on(instrument)
    return is_worn_out(instrument) or (due is not None and due < on)


def count_use(*, workshop: Workshop, entries: Iterable[Entry]) -> None:
    """Count the torques that fresh entries say were read with the shop's instruments."""
    used = Counter(filter(None, map(_instrument_of, entries)))
    # In one order everywhere: two phones never wait for each other.
    for pk, times in sorted(used.items()):
        tools = Instrument.objects.filter(workshop=workshop, pk=pk)
        tools.update(cycles=F("cycles") + times)


def _instrument_of(entry: Entry) -> str | None:
    if entry.kind != "reading" or entry.body.get("value") is None:
        return None
    return find_uuid(entry.body.get("instrument"))
