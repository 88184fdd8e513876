"""
Builds the demo shop through the same services that people use, as a story of the last weeks
that ends now.
"""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from django.conf import settings

from shopfloor.approvals import answering
from shopfloor.approvals import services as approvals
from shopfloor.approvals.models import Offer
from shopfloor.bikes import services as bikes
from shopfloor.demo.readings import bad_reading, past_readings
from shopfloor.demo.stand import Stand, second_check, torques_found, walk
from shopfloor.handover import services as handover
from shopfloor.intake.services import Intake, take_in
from shopfloor.jobs.models import Job
from shopfloor.jobs.queries import progress_of, state_of
from shopfloor.outbox import services as outbox
from shopfloor.outbox.models import Message
from shopfloor.sheets.services import keep_version
from shopfloor.workshop import enrolment
from shopfloor.workshop import services as workshops
from shopfloor.workshop.instruments import add_instrument
from shopfloor.workshop.models import Person, Workshop
from shopfloor.workshop.queries import calendar_of

PASSWORD = "stand-and-spanner"  # noqa: S105  the demo's, printed at its start
FIXTURES = settings.ROOT / "fixtures" / "demo"


@dataclass
class Shop:
    """The demo shop while it is being built."""

    workshop: Workshop
    people: dict[str, Person]
    stands: dict[str, Stand]
    now: datetime

    def opening(self, days_ago: int) -> datetime:
        """The moment the shop opened, so many open days ago; today is 0, if it has opened yet."""
        calendar = calendar_of(self.workshop, on=self.now.date())
        zone = ZoneInfo(self.workshop.timezone)
        day, left = self.now.astimezone(zone).date(), days_ago
        while True:
            opens = calendar.next_opening(_midnight(day, zone))
            if opens.astimezone(zone).date() == day and opens < self.now:
                if left == 0:
                    return opens
                left -= 1
            day -= timedelta(days=1)


def _midnight(day: date, zone: ZoneInfo) -> datetime:
    return datetime.combine(day, time.min, tzinfo=zone)


def seed_demo(*, now: datetime) -> Workshop:
    """The whole demo, as of `now`."""
    shop = _open_shop(now)
    jobs = tomllib.loads((FIXTURES / "jobs.toml").read_text(encoding="utf-8"))
    for facts in jobs["jobs"]:
        if "earlier" in facts:
            facts["bike_id"] = _earlier_visits(shop, facts)
    for position, row in enumerate(jobs["history"][0]["bikes"]):
        _past_job(shop, position, row)
    for facts in sorted(jobs["jobs"], key=lambda facts: -facts["days_ago"]):
        _open_job(shop, facts)
    outbox.write_due_messages(at=now)
    return shop.workshop


def demo_name() -> str:
    """What the demo shop is called."""
    return str(_shop_facts()["name"])


def _shop_facts() -> dict[str, Any]:
    return tomllib.loads((FIXTURES / "shop.toml").read_text(encoding="utf-8"))


def _open_shop(now: datetime) -> Shop:
    facts = _shop_facts()
    people, instruments = facts.pop("people"), facts.pop("instruments")
    workshop = workshops.open_workshop(**facts)
    persons = {
        p["username"]: workshops.add_person(workshop=workshop, password=PASSWORD, **p)
        for p in people
    }
    for instrument in instruments:
        done = now.date() - timedelta(days=165)
        add_instrument(workshop=workshop, calibrated_on=done, **instrument)
    stands = {}
    for name in ("mira", "ned"):
        device, _token = enrolment.enrol_own(
            person=persons[name], name=f"{persons[name].name}'s phone", at=now
        )
        stands[name] = Stand(device=device, by=persons[name], now=now)
    return Shop(workshop, persons, stands, now)


def _intake(facts: Mapping[str, Any]) -> Intake:
    return Intake(
        customer_name=facts["customer"],
        phone=facts["phone"],
        email="",
        bike_words=facts["bike"],
        frame_number=facts.get("frame_number", ""),
        traits=facts["traits"],
        service=facts["service"],
        says=facts.get("says", ""),
        go_ahead_minor=facts.get("go_ahead_minor", 0),
        price_minor=facts["price_minor"],
        bike_id=facts.get("bike_id", ""),
    )


def _take_in(shop: Shop, facts: Mapping[str, Any], at: datetime) -> Job:
    price = shop.workshop.service_prices[facts["service"]]
    intake = _intake({**facts, "price_minor": price})
    return take_in(workshop=shop.workshop, intake=intake, by=shop.people["otto"], at=at)


def _past_job(shop: Shop, position: int, row: list[str]) -> None:
    """A job that was done and collected some weeks ago."""
    bike, customer, phone, service, kind = row
    facts = {
        "customer": customer,
        "phone": phone,
        "bike": bike,
        "service": service,
        "traits": {"kind": kind},
    }
    days_ago = 40 - 2 * position
    opened = shop.opening(days_ago)
    job = _take_in(shop, facts, opened)
    names = ("mira", "ned") if position % 2 else ("ned", "mira")
    is_late = position % 5 == 3
    start = shop.opening(days_ago - 1 if is_late else days_ago)
    _finish(shop, job, names, start, "safe")
    collected = shop.opening(days_ago - 2 - position % 2) + timedelta(hours=2)
    handover.collect_job(job=job, by=shop.people["otto"], at=min(collected, shop.now))


def _earlier_visits(shop: Shop, facts: Mapping[str, Any]) -> str:
    """A bike that was here before, with somebody else at first; answers its id."""
    bike_id = ""
    for visit in facts["earlier"]:
        told = {**facts, **visit, "service": "standard", "says": "", "bike_id": bike_id}
        at = shop.opening(visit["days_ago"])
        job = _take_in(shop, told, at)
        worked = _work(shop.stands["mira"], job, at)
        past_readings(shop.stands["mira"], job, visit, worked)
        _let_go(shop, job, shop.stands["ned"], worked, "safe")
        collected = min(worked + timedelta(hours=2), shop.now)
        handover.collect_job(job=job, by=shop.people["otto"], at=collected)
        bike_id = str(job.bike_id)
        if told["customer"] != facts["customer"]:
            owner = {"name": facts["customer"], "phone": facts["phone"]}
            bikes.change_hands(bike=job.bike, by=shop.people["otto"], at=collected, **owner)
    return bike_id


def _finish(shop: Shop, job: Job, names: tuple[str, str], start: datetime, mode: str) -> None:
    """Walk the whole route, have it checked by the other person, release it."""
    worker, checker = (shop.stands[name] for name in names)
    _let_go(shop, job, checker, _work(worker, job, start), mode)


def _work(worker: Stand, job: Job, start: datetime) -> datetime:
    """Walk the whole route, with a photo before and one after; answers when it was done."""
    worker.photo(job, "bike", start, phase="before", caption="As it came in")
    torques_found(worker, job, start)
    at = walk(worker, job, steps=999, start=start)
    worker.photo(job, "bike", at, phase="after", caption="Ready")
    worker.send(at)
    return at


def _let_go(shop: Shop, job: Job, checker: Stand, at: datetime, mode: str) -> None:
    second_check(checker, job, at)
    released = min(at + timedelta(minutes=10), shop.now)
    handover.release_job(job=job, mode=mode, reason="", by=shop.people["otto"], at=released)
    job.refresh_from_db()
    keep_version(job=job, at=released)
    if released < shop.opening(0):
        _send_from_phone(shop, job)


def _open_job(shop: Shop, facts: Mapping[str, Any]) -> None:
    opened = shop.opening(facts["days_ago"])
    job = _take_in(shop, facts, opened)
    stand = shop.stands[facts["by"]]
    start = min(opened + timedelta(hours=1), shop.now)
    if facts["walk"]:
        stand.photo(job, "bike", start, phase="before", caption="As it came in")
        walk(stand, job, steps=min(facts["walk"], 30), start=start)
    if facts.get("findings"):
        _find_and_offer(shop, job, stand, facts)
    if facts.get("release"):
        job.refresh_from_db()
        names = (facts["by"], facts["checked_by"])
        _finish(shop, job, names, shop.opening(facts["finished_days_ago"]), facts["release"])


def _find_and_offer(shop: Shop, job: Job, stand: Stand, facts: Mapping[str, Any]) -> None:
    at = min(shop.opening(facts["found_days_ago"]) + timedelta(hours=1), shop.now)
    wanted = []
    for finding in facts["findings"]:
        bad_reading(job, stand, finding, at)
        photo = ""
        if finding.get("photo"):
            photo = stand.photo(job, finding["photo"], at, phase="detail", caption=finding["title"])
        kept = ("title", "reason", "minutes", "parts", "safety", "task", "step", "item")
        body = {name: finding[name] for name in kept if name in finding}
        finding_id = stand.write(job, "finding", body, at)
        wanted.append(
            approvals.Wanted(
                finding=finding_id,
                title=finding["title"],
                reason=finding["reason"],
                minutes=finding["minutes"],
                parts=finding["parts"],
                safety=finding["safety"],
                task=finding.get("task", ""),
                photo=photo,
            )
        )
    stand.send(at)
    offer = approvals.make_offer(job=job, wanted=wanted, by=shop.people["otto"], at=at)
    _customer_answers(shop, offer, facts["findings"], at)


def _customer_answers(
    shop: Shop, offer: Offer, findings: list[Mapping[str, Any]], at: datetime
) -> None:
    answers = [finding.get("answer") for finding in findings]
    if offer.told or not all(answers):
        return
    _send_from_phone(shop, offer.job)
    lines = list(offer.lines.all())
    answering.answer_offer(
        offer=offer,
        version=offer.version,
        decisions={str(line.id): str(a) for line, a in zip(lines, answers, strict=True)},
        channel="link",
        words=offer.job.customer.first_name,
        at=min(at + timedelta(hours=3), shop.now),
    )


def _send_from_phone(shop: Shop, job: Job) -> None:
    """Otto sends a job's texts from the shop's phone as soon as they are written."""
    for message in Message.objects.filter(job=job, state="due"):
        sent = min(message.not_before + timedelta(minutes=2), shop.now)
        outbox.write_due_messages(at=sent)
        outbox.mark_sent(message=message, by=shop.people["otto"], at=sent)


def what_to_try(workshop: Workshop) -> list[str]:
    """A few sentences for the terminal, true of the shop as it now stands."""
    waiting = Message.objects.of(workshop).filter(state="to-send").count()
    working = Job.objects.of(workshop).filter(place="on the stand").first()
    lines = [
        f"Outbox: {waiting} texts to customers wait to be sent; follow the link in one of them.",
        "Book in: take in a bike and watch the ready day while you choose.",
    ]
    if working:
        left = progress_of(working, state_of(working))["minutes_left"]
        lines.insert(
            0, f"Bench: open {working.tag}, stop the server, and go on working ({left} min left)."
        )
    return lines
