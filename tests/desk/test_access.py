"""Nothing of a workshop is reachable from another one, and nothing of the desk without a name."""

import re
import uuid
from datetime import date

import pytest
from django.test import Client
from django.urls import URLPattern, reverse
from django.utils import timezone

from shopfloor.approvals.models import Offer
from shopfloor.approvals.services import Wanted, make_offer
from shopfloor.config.urls import urlpatterns
from shopfloor.jobs.models import Job
from shopfloor.workshop.enrolment import make_code
from shopfloor.workshop.instruments import add_instrument
from shopfloor.workshop.models import EnrolCode, Person
from tests.factories import make_message
from tests.phone import Phone

# Where anybody may knock: each of these guards itself by a link, a token or a password.
OPEN = {
    "home",
    "sign-in",
    "sign-out",
    "healthz",
    "bench",
    "bench-page",
    "bench-worker",
    "api-sync",
    "api-routes",
    "api-catalogue",
    "api-walk-in",
    "api-devices",
    "api-photo",
    # What was signed may be verified by anybody who has the code that is printed on the sheet.
    "sheet-check",
    "sheet-check-code",
    "sheet-check-statement",
    "sheet-check-signature",
    "sheet-check-key",
}
# Pages without an id in them: they show the workshop of whoever asks.
OWN = {
    "board",
    "board-live",
    "jobs",
    "book-in",
    "book-in-customer",
    "book-in-bike",
    "book-in-ready",
    "calculators",
    "calculator",
    "outbox",
    "workshop",
    "phones",
    "workshop-closures",
    "workshop-people",
    "workshop-instruments",
}
DESK = [
    pattern
    for pattern in urlpatterns
    if isinstance(pattern, URLPattern)
    and pattern.name not in OPEN
    and not str(pattern.name).startswith("customer-")
]


def ids(pattern: URLPattern, job: Job, offer: Offer, phone: Phone) -> dict[str, object]:
    """An existing thing of Otto's workshop for every name in an address."""
    shop = job.workshop
    known = {
        "job_id": job.id,
        "offer_id": offer.id,
        "finding": offer.lines.get().finding,
        "message_id": make_message(job=job, state="to-send", body="Hello").id,
        "person_id": phone.person.id,
        "instrument_id": add_instrument(workshop=shop, name="Ruler", kind="ruler", unit="mm").id,
        "device_id": phone.device.id,
        "code_id": _code(phone).id,
        "on": date(2026, 3, 9),
        "name": "pert",
        "bike_id": job.bike_id,
        "number": 1,
        "item": "stem-faceplate",
    }
    return {name: known[name] for name in pattern.pattern.converters}


def _code(phone: Phone) -> EnrolCode:
    otto = phone.device.workshop.people.get(role="manager")
    shop = phone.device.workshop
    return make_code(workshop=shop, name="Stand 1", replaces=None, by=otto, at=timezone.now())


@pytest.fixture
def offer(job: Job, otto: Person, finding: str) -> Offer:
    wanted = Wanted(
        finding=finding, title="Lamp", reason="Bare", minutes=20, parts=[], safety=False
    )
    return make_offer(job=job, wanted=[wanted], by=otto, at=job.opened_at)


@pytest.mark.parametrize("pattern", DESK, ids=lambda pattern: pattern.name)
def test_nobody_gets_in_without_a_name(
    pattern: URLPattern, job: Job, offer: Offer, phone: Phone
) -> None:
    address = reverse(str(pattern.name), kwargs=ids(pattern, job, offer, phone))

    for response in (Client().get(address), Client().post(address)):
        assert response.status_code in (302, 405)
        if response.status_code == 302:
            assert response["Location"].startswith("/sign-in/?next=")


@pytest.mark.parametrize(
    "pattern",
    [p for p in DESK if p.name not in OWN and p.name != "workshop-reopen"],
    ids=lambda pattern: pattern.name,
)
def test_another_workshops_id_is_unknown_here(
    pattern: URLPattern, job: Job, offer: Offer, phone: Phone, sam: Person
) -> None:
    elsewhere = Client()
    elsewhere.force_login(sam)
    entries = job.entries.count()

    kwargs = ids(pattern, job, offer, phone)
    address = reverse(str(pattern.name), kwargs=kwargs)
    answers = [elsewhere.get(address).status_code, elsewhere.post(address).status_code]

    assert 404 in answers
    assert set(answers) <= {404, 405}
    assert job.entries.count() == entries


def test_an_id_that_never_was_gets_the_same_answer(desk: Client, job: Job, sam: Person) -> None:
    elsewhere = Client()
    elsewhere.force_login(sam)

    foreign = elsewhere.get(reverse("job", args=[job.id]))
    unknown = elsewhere.get(reverse("job", args=[uuid.uuid4()]))

    token = re.compile(r"[A-Za-z0-9]{64}")
    assert foreign.status_code == unknown.status_code == 404
    assert token.sub("", foreign.text) == token.sub("", unknown.text)
    assert "There is no such page" in foreign.text


def test_lists_show_only_the_own_workshop(job: Job, sam: Person) -> None:
    elsewhere = Client()
    elsewhere.force_login(sam)

    for name in ("board", "jobs", "outbox"):
        assert "moss-green" not in elsewhere.get(reverse(name)).text


def test_a_telephone_number_of_another_workshop_is_not_known(job: Job, sam: Person) -> None:
    elsewhere = Client()
    elsewhere.force_login(sam)

    answer = elsewhere.post(reverse("book-in-customer"), {"phone": "07700 900123"})

    assert "Jana" not in answer.text


def test_a_bike_of_another_workshop_is_not_filled_in(job: Job, sam: Person) -> None:
    elsewhere = Client()
    elsewhere.force_login(sam)

    answer = elsewhere.post(
        reverse("book-in-bike"), {"bike_id": str(job.bike_id), "bike_shown": "new"}
    )

    assert "moss-green" not in answer.text


def test_a_mechanic_is_told_who_may_change_the_workshop(mira: Person) -> None:
    client = Client()
    client.force_login(mira)

    answer = client.get(reverse("workshop"))

    assert answer.status_code == 403
    assert "Ask Otto" in answer.text


def test_somebody_who_has_left_is_signed_out(desk: Client, otto: Person) -> None:
    Person.objects.filter(pk=otto.pk).update(is_active=False)

    assert desk.get(reverse("board")).status_code == 302
