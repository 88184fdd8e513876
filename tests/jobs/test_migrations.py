"""A shop that has worked for a while keeps its jobs and its journal when the server is updated."""

from collections.abc import Iterator
from typing import Any

import pytest
from django.db import connection
from django.db.migrations.executor import MigrationExecutor

from shopfloor.jobs.models import Job, StoredEntry
from shopfloor.jobs.routes import route_sha
from shopfloor.workshop.models import Workshop
from tests.factories import NOON, make_job, make_workshop
from tests.routes import short_route

BEFORE = [("jobs", "0001_initial")]
KEPT = ("id", "workshop_id", "job_id", "device_id", "n", "kind", "seq", "received_at")


@pytest.fixture
def old() -> Iterator[Any]:
    """The apps as they were at first; afterwards everything is brought up to date again."""
    latest = MigrationExecutor(connection).loader.graph.leaf_nodes()
    executor = MigrationExecutor(connection)
    executor.migrate(BEFORE)
    yield executor.loader.project_state(BEFORE).apps
    MigrationExecutor(connection).migrate(latest)


@pytest.mark.django_db(transaction=True)
def test_jobs_and_entries_of_the_first_version_come_along(request: pytest.FixtureRequest) -> None:
    workshop = make_workshop()
    new = make_job(workshop=workshop, route=short_route())
    entry = StoredEntry.objects.get()
    facts = {name: getattr(entry, name) for name in KEPT}
    wire = entry.wire | {"body": {"text": "Größe “ü” \\ 1.0", "n": 1.5, "none": None}}
    entry.delete()

    apps = request.getfixturevalue("old")
    apps.get_model("jobs", "StoredEntry").objects.create(wire=wire, **facts)
    MigrationExecutor(connection).migrate([("jobs", "0004_entry_as_text")])

    job = Job.objects.get()
    assert (job.route, job.route_sha) == (new.route, route_sha(short_route()))
    assert job.folded_seq == job.changed_seq == 1
    kept = StoredEntry.objects.get()
    assert kept.wire == wire
    assert {name: getattr(kept, name) for name in KEPT} == facts
    assert Workshop.objects.get().last_seq == 1
    assert kept.received_at == NOON
