"""Calculations of opening times, holidays and turnaround, by the names of their cases."""

from collections.abc import Mapping
from datetime import UTC, date, datetime, time
from typing import Any, Final

from shopfloor.planning import bank_holidays, quiet
from shopfloor.planning.opening import Calendar
from shopfloor.planning.turnaround import Wait, turnaround

Inputs = Mapping[str, Any]


def _instant(text: str) -> datetime:
    at = datetime.fromisoformat(text)
    if at.tzinfo is None:
        raise ValueError(f"{text} has no offset: write it as 2026-03-02T10:00+00:00")
    return at


def _words(at: datetime) -> str:
    return at.isoformat(timespec="auto" if at.second or at.microsecond else "minutes")


def _calendar(given: Inputs) -> Calendar:
    told = given["calendar"]
    overrides = told.get("overrides", {})
    return Calendar(
        tz=told["tz"],
        weekly=told["weekly"],
        closed=frozenset(date.fromisoformat(day) for day in told.get("closed", ())),
        overrides={date.fromisoformat(day): spans for day, spans in overrides.items()},
        blocked=[(_instant(start), _instant(end)) for start, end in told.get("blocked", ())],
    )


def _turnaround(given: Inputs) -> Any:
    waits = [
        Wait(wait["kind"], _instant(wait["start"]), _instant(wait["end"]))
        for wait in given.get("waits", ())
    ]
    return turnaround(
        _calendar(given),
        received=_instant(given["received"]),
        ready=_instant(given["ready"]),
        waits=waits,
    )._asdict()


def _earliest_send(given: Inputs) -> Any:
    send_at = quiet.earliest_send(
        _instant(given["now"]),
        tz=given["tz"],
        start=time.fromisoformat(given["start"]),
        end=time.fromisoformat(given["end"]),
        closed_weekdays=given.get("closed_weekdays", ()),
        closed_dates={date.fromisoformat(day) for day in given.get("closed_dates", ())},
    )
    return {"send_at": send_at.astimezone(UTC).isoformat().replace("+00:00", "Z")}


PLANNING: Final = {
    "is-holiday": lambda given: bank_holidays.is_bank_holiday(
        given["region"], date.fromisoformat(given["date"])
    ),
    "open-time-add": lambda given: _words(
        _calendar(given).open_time_add(_instant(given["at"]), given["open_minutes"])
    ),
    "open-time-between": lambda given: _calendar(given).open_time_between(
        _instant(given["at"]), _instant(given["until"])
    ),
    "next-opening": lambda given: _words(_calendar(given).next_opening(_instant(given["at"]))),
    "turnaround": _turnaround,
    "earliest-send": _earliest_send,
}
