"""Wrenches and gauges: until when they may be trusted, how often they were used, retiring them."""

from datetime import date, timedelta

import pytest
import time_machine
from django.test import Client
from django.urls import reverse

from shopfloor.jobs.models import Job
from shopfloor.sync.services import workshop_info
from shopfloor.workshop.instruments import add_instrument, change_instrument, due_on, is_overdue
from shopfloor.workshop.models import Instrument, Person
from tests.factories import make_job, make_workshop
from tests.phone import Phone, enrol_phone
from tests.routes import short_route

pytestmark = pytest.mark.django_db
CALIBRATED = date(2025, 3, 2)


@pytest.fixture
def wrench(otto: Person) -> Instrument:
    facts = {"unit": "N·m", "range_min": 2, "range_max": 14, "class_pct": 6}
    return add_instrument(
        workshop=otto.workshop,
        name="Small wrench",
        kind="torque",
        calibrated_on=CALIBRATED,
        **facts,
    )


@pytest.fixture
def phone(otto: Person) -> Phone:
    return enrol_phone(person=otto)


@pytest.fixture
def job(otto: Person) -> Job:
    return make_job(workshop=otto.workshop, route=short_route())


def set_torque(phone: Phone, job: Job, tool: Instrument, value: float | None = 5) -> None:
    body = {"step": "stem", "item": "stem", "phase": "left", "value": value, "unit": "N·m"}
    loose = {"loose": True} if value is None else {}
    phone.write(job, "reading", body | loose | {"instrument": str(tool.id).upper()})


def test_a_wrench_is_due_after_twelve_months_or_five_thousand_uses(wrench: Instrument) -> None:
    """ISO 6789, from memory: 12 months or 5000 cycles, whichever comes first."""
    assert due_on(wrench) == date(2026, 3, 2)
    assert [is_overdue(wrench, on=date(2026, 3, day)) for day in (2, 3)] == [False, True]

    wrench.cycles = 5000
    assert not is_overdue(wrench, on=CALIBRATED)
    wrench.cycles = 5001
    assert is_overdue(wrench, on=CALIBRATED)


def test_an_earlier_day_that_somebody_set_holds(wrench: Instrument) -> None:
    change_instrument(instrument=wrench, facts={"due_on": date(2025, 9, 1)})

    assert due_on(wrench) == date(2025, 9, 1)


def test_a_ruler_has_no_rule_of_its_own(otto: Person) -> None:
    facts = {"kind": "ruler", "unit": "mm", "calibrated_on": CALIBRATED}
    ruler = add_instrument(workshop=otto.workshop, name="Ruler", **facts)
    ruler.cycles = 9000

    assert due_on(ruler) is None
    assert not is_overdue(ruler, on=date(2040, 1, 1))


def test_torques_are_counted_once_until_the_next_calibration(
    phone: Phone, job: Job, wrench: Instrument
) -> None:
    set_torque(phone, job, wrench)
    set_torque(phone, job, wrench, 6)
    set_torque(phone, job, wrench, None)
    phone.sync()
    phone.sync()
    wrench.refresh_from_db()
    assert wrench.cycles == 2

    change_instrument(instrument=wrench, facts={"name": "Old wrench"})
    assert wrench.cycles == 2
    change_instrument(instrument=wrench, facts={"calibrated_on": CALIBRATED + timedelta(days=9)})
    wrench.refresh_from_db()
    assert wrench.cycles == 0


def test_what_another_shop_owns_is_not_counted(phone: Phone, job: Job) -> None:
    elsewhere = make_workshop()
    theirs = add_instrument(workshop=elsewhere, name="Theirs", kind="torque", unit="N·m")
    set_torque(phone, job, theirs)
    phone.sync()

    theirs.refresh_from_db()
    assert theirs.cycles == 0


def test_a_phone_hears_of_what_may_still_be_trusted(otto: Person, wrench: Instrument) -> None:
    Instrument.objects.update(cycles=5001)

    [told] = workshop_info(otto.workshop)["instruments"]
    assert told | {"id": ""} == {
        "id": "",
        "name": "Small wrench",
        "kind": "torque",
        "unit": "N·m",
        "range_min": 2,
        "range_max": 14,
        "class_pct": 6,
        "resolution": None,
        "due_on": "2026-03-02",
        "worn_out": True,
    }


def test_a_use_more_is_no_news_for_phones(phone: Phone, job: Job, wrench: Instrument) -> None:
    before = workshop_info(job.workshop)
    set_torque(phone, job, wrench)
    phone.sync()

    assert workshop_info(job.workshop) == before


@time_machine.travel("2026-03-09T10:00:00Z", tick=False)
def test_a_retired_instrument_is_not_offered_until_it_is_brought_back(
    desk: Client, otto: Person, wrench: Instrument
) -> None:
    address = reverse("workshop-retire", args=[wrench.id])
    assert "– overdue" in desk.get(reverse("workshop")).text

    page = desk.post(address, follow=True).text
    assert "Small wrench is not offered at the stand any more." in page
    assert "– overdue" not in page
    assert workshop_info(otto.workshop)["instruments"] == []

    assert "can be named in readings now" in desk.post(address, {"back": "1"}, follow=True).text
    assert len(workshop_info(otto.workshop)["instruments"]) == 1


def test_due_before_it_was_calibrated_is_refused(desk: Client, wrench: Instrument) -> None:
    prefix = str(wrench.id)[:8]
    form = {"name": "W", "kind": "torque", "unit": "N·m", "calibrated_on": "2026-03-02"}
    sent = {f"{prefix}-{name}": value for name, value in (form | {"due_on": "2026-03-01"}).items()}

    answer = desk.post(reverse("workshop-instrument", args=[wrench.id]), sent)

    assert answer.status_code == 422
    assert "cannot be due before it was calibrated" in answer.text
