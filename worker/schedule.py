"""What runs when, as one table of intervals; what a shop can set stands in its own rows."""

import time
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Any

from celery.schedules import schedule

UPLOADS_SECONDS = 3600.0
# Whoever reads before that folds for itself; a phone that sends thousands is not disturbed.
FOLD_SECONDS = 30.0
# Whoever opens a sheet before that has it signed at once.
SHEETS_SECONDS = 30.0


def steady_clock(
    *, wall: Callable[[], datetime], monotonic: Callable[[], float] = time.monotonic
) -> Callable[[], datetime]:
    """
    A clock that starts at the wall clock's time and then only counts seconds.

    Beat compares "last run" with "now"; with the wall clock put back an hour it would stay
    silent for an hour.
    """
    started_at, started = wall(), monotonic()
    return lambda: started_at + timedelta(seconds=monotonic() - started)


def beat_schedule(*, sweep_seconds: float) -> dict[str, dict[str, Any]]:
    """Name → task and interval; a tick that waited for its successor is dropped."""
    clock = steady_clock(wall=lambda: datetime.now(UTC))
    table = [
        ("write messages that are due", "worker.tasks.write_due_messages", sweep_seconds),
        ("fold jobs that phones changed", "worker.tasks.fold_changed_jobs", FOLD_SECONDS),
        ("sign sheets that changed", "worker.tasks.sign_changed_sheets", SHEETS_SECONDS),
        ("remove photos that stopped half-way", "worker.tasks.sweep_uploads", UPLOADS_SECONDS),
    ]
    return {
        name: {
            "task": task,
            "schedule": schedule(run_every=seconds, nowfun=clock),
            "options": {"expires": max(seconds, 1.0)},
        }
        for name, task, seconds in table
    }
