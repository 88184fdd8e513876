"""Every page of the bench, on a job where there is something of everything."""

import json

from playwright.sync_api import Page

from tests.e2e.shop import Shop

# Another phone disagrees about a tick and about a reading, took a photo, and Mira left hours ago
# without taking her hands off.
PREPARE = """
from datetime import timedelta
from django.utils import timezone
from shopfloor.demo.stand import Stand
from shopfloor.workshop.models import Device
job = Job.objects.filter(place="on the stand").order_by("number").first()
now = timezone.now()
ned = Person.objects.get(username="ned")
mira = Device.objects.filter(person__username="mira").first()
stands = {}
for device in Device.objects.filter(person__isnull=False).select_related("person"):
    stands.setdefault(device.person.username, Stand(device, device.person, now, n=device.last_n))
ours, theirs = stands["mira"], stands["ned"]
step = next(s for s in job.route if any(a["kind"] == "reading" for a in s["asks"]))
ask = next(a for a in step["asks"] if a["kind"] == "reading")
place = {"step": step["key"], "item": ask["item"], "phase": "found", "unit": ask["unit"]}
top = ask["scale"][1]
for stand, share in ((ours, 0.4), (theirs, 0.5)):
    stand.write(job, "reading", place | {"value": round(top * share, 2)}, now)
theirs.photo(job, "bike", now, phase="detail", step=step["key"], caption="As Ned saw it")
theirs.write(job, "note", {"text": "The bell rattles."}, now)
ours.write(job, "hands-on", {}, now - timedelta(hours=3))
for stand in (ours, theirs):
    stand.send(now)
print(json.dumps([str(job.id), step["key"], ask["item"]]))
"""


def prepare(shop: Shop) -> list[str]:
    """The job's id, and the step and the item that two phones disagree about."""
    return list(json.loads(shop.run(PREPARE)))


def fetch_now(page: Page) -> None:
    """As by the button of the page of kept things: what others wrote is here at once."""
    page.goto("/bench/kept")
    page.evaluate("() => fetch('/bench/sync', { method: 'POST' }).then((done) => done.text())")
    page.reload()


def bench_pages(page: Page, shop: Shop) -> list[str]:
    """The addresses, once the phone has the job."""
    number, step, item = prepare(shop)
    job = f"/bench/jobs/{number}"
    fetch_now(page)
    page.goto(job)
    page.locator(f"[data-conflict='ask:{step}:{item}:found']").wait_for()
    check = page.locator("li.step", has_text="second person").locator("a.step-title").first
    photo = page.locator("figure.photo a").first.get_attribute("href")
    pages = ["/bench/", job, f"{job}/steps/{step}", str(check.get_attribute("href")), str(photo)]
    page.goto(f"{job}/torque")
    pages += [str(page.locator("a.torque-next").get_attribute("href"))]
    choice = page.locator("a.cell").first.get_attribute("href")
    pages += [f"{job}/steps/{step}/asks/{item}?phase=found", str(choice)]
    pages += [f"{job}/{name}" for name in ("torque", "photos", "history", "note", "finding")]
    pages += [f"{job}/hands", f"{job}/find", f"{job}/find?q=chain", "/bench/find?q=j"]
    pages += ["/bench/scan", "/bench/kept", "/bench/walk-in", "/bench/nowhere"]
    return [*pages, f"/bench/jobs/{'0' * 8}-0000-7000-8000-{'0' * 12}"]
