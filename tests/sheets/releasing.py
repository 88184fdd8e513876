"""Letting a bike go in a test that is not about whether it may."""

from datetime import datetime
from typing import Any

from shopfloor.jobs import services as journal
from tests.factories import NOON


def release(bench: Any, *, mode: str = "safe", reason: str = "", at: datetime = NOON) -> None:
    """As the desk writes it."""
    body = {"mode": mode, "reason": reason}
    journal.write_entry(job=bench.job, kind="released", body=body, by=bench.otto, at=at)
    bench.job.refresh_from_db()
