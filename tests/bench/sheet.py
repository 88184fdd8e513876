"""What a service sheet costs: its content, its signature, its PDF, and the page of its bike."""

import json

from tests.bench.figures import Figures
from tests.bench.stage import Stage

MEASURE = """
import io, statistics, time
from django.test import Client
from django.utils import timezone
from pypdf import PdfReader
from shopfloor.customers.models import Bike
from shopfloor.jobs.models import Job
from shopfloor.sheets import keys
from shopfloor.sheets.content import sheet_content
from shopfloor.sheets.proof import content_of, proof_of
from shopfloor.sheets.render import sheet_pdf
from shopfloor.sheets.services import keep_version
from shopfloor.sheets.verifying import verify
from shopfloor.workshop.models import Person

def timed(do, times=15):
    do()
    spent = []
    for _ in range(times):
        started = time.perf_counter()
        do()
        spent.append((time.perf_counter() - started) * 1000)
    return statistics.median(spent)

found = {}
released = Job.objects.exclude(released_at=None).select_related("workshop", "bike", "customer")
for service in ("safety", "standard", "full"):
    job = released.filter(service=service).order_by("number").last()
    version = keep_version(job=job, at=timezone.now())
    content, proof = content_of(version), proof_of(version, job.workshop.timezone)
    make = lambda: sheet_pdf(content=content, workshop=job.workshop, proof=proof)
    pdf = make()
    found[service] = {
        "content_ms": timed(lambda: sheet_content(job=job)),
        "pdf_ms": timed(make),
        "pdf_kb": len(pdf) / 1000,
        "pages": len(PdfReader(io.BytesIO(pdf)).pages),
    }
found["sign_ms"] = timed(lambda: keys.sign(key=version.key, text=version.statement))
found["verify_ms"] = timed(lambda: verify(version))
bike = max(Bike.objects.all(), key=lambda one: one.jobs.count())
client = Client(headers={"host": "localhost"})
client.force_login(Person.objects.get(username="otto"))
found["visits"] = bike.jobs.count()
found["bike_ms"] = timed(lambda: client.get(f"/bikes/{bike.pk}/"))
print(json.dumps(found))
"""


def figures(stage: Stage) -> Figures:
    """Medians of fifteen, in the demo shop; the first of each does not count."""
    found = json.loads(stage.shop().run(MEASURE).splitlines()[-1])
    for service in ("safety", "standard", "full"):
        one = found[service]
        pages = f"{one['pages']} page" + "s" * (one["pages"] > 1)
        yield f"{service}: PDF", f"{one['pdf_ms']:.0f} ms {one['pdf_kb']:.0f} kB, {pages}"
        yield f"{service}: content from the journal", f"{one['content_ms']:.0f} ms"
    yield "sign, key derived", f"{found['sign_ms']:.2f} ms"
    yield "verify, with its queries", f"{found['verify_ms']:.1f} ms"
    yield f"page of a bike with {found['visits']} visits", f"{found['bike_ms']:.0f} ms"
