"""What the board costs the server when the shop is full."""

import json

from tests.bench.figures import Figures
from tests.bench.stage import Stage

MEASURE = """
import copy, statistics, time, uuid
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext, override_settings
from shopfloor.jobs.models import Job, StoredEntry
from shopfloor.workshop.models import Person, Workshop

shop = Workshop.objects.get()
models = list(Job.objects.of(shop).open())
rows, entries, seq, number = [], [], shop.last_seq, shop.last_job_number
while len(models) + len(rows) < 200:
    old = models[len(rows) % len(models)]
    job = copy.copy(old)
    number += 1
    job.pk, job.number, job._state = uuid.uuid4(), number, copy.copy(old._state)
    rows.append(job)
    for entry in StoredEntry.objects.filter(job_id=old.pk).order_by("seq"):
        seq += 1
        entry.pk, entry.job_id, entry.seq = uuid.uuid4(), job.pk, seq
        entries.append(entry)
Job.objects.bulk_create(rows)
StoredEntry.objects.bulk_create(entries)
Workshop.objects.filter(pk=shop.pk).update(last_seq=seq, last_job_number=number)
client = Client(headers={"host": "localhost"})
client.force_login(Person.objects.get(username="otto"))
client.get("/board/")
times = []
for _ in range(15):
    with CaptureQueriesContext(connection) as queries:
        started = time.perf_counter()
        answer = client.get("/board/")
        times.append((time.perf_counter() - started) * 1000)
assert answer.status_code == 200, answer.status_code
print(json.dumps([
    Job.objects.of(shop).open().count(), StoredEntry.objects.count(),
    statistics.median(times), sorted(times)[-2], len(queries), len(answer.content),
]))
"""


def figures(stage: Stage) -> Figures:
    """The demo's open jobs repeated up to 200, with their journals; then the page, 15 times."""
    jobs, entries, median, worst, queries, size = json.loads(
        stage.shop().run(MEASURE).splitlines()[-1]
    )
    yield "open jobs, entries in all", f"{jobs}, {entries}"
    yield "server time, median and second worst of 15", f"{median:.0f} ms, {worst:.0f} ms"
    yield "database queries", str(queries)
    yield "page", f"{size / 1000:.0f} kB unpacked"
