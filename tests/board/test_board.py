"""The board: every open job under its day, drawn from few queries, asked for every few seconds."""

from datetime import date, datetime, timedelta

import pytest
import time_machine
from django.test import Client
from django.urls import reverse

from shopfloor.board.queries import Band, board
from shopfloor.jobs.models import Job
from shopfloor.workshop.models import Person
from shopfloor.workshop.services import close_on
from tests.factories import NOON, make_job, make_person, take_in
from tests.phone import enrol_phone

FRIDAY = NOON + timedelta(days=4, hours=4)


def live(desk: Client, tag: str = ""):
    return desk.get(reverse("board-live"), headers={"If-None-Match": tag} if tag else {})


def bands(otto: Person, at: datetime = NOON) -> dict[date, Band]:
    return {band.on: band for band in board(workshop=otto.workshop, at=at).bands}


def job_with(otto: Person, promised_at: datetime | None, minutes: int = 60, **facts: object) -> Job:
    """A job whose row says this much, as if its entries had been folded to it."""
    job = make_job(workshop=otto.workshop)
    job.promised_at = promised_at
    job.summary = {"minutes_left": minutes, "minutes_total": 90, "stage": "brakes", "waits": []}
    job.summary |= facts
    job.save()
    return job


def test_a_job_stands_under_its_promised_day(desk: Client, otto: Person) -> None:
    job = take_in(by=otto)

    text = desk.get(reverse("board")).text

    assert job.promised_at is not None
    assert f"{job.promised_at:%A %-d %B}" in text
    assert f'href="/jobs/{job.id}/"' in text
    assert "next: Take in" in text


def test_a_day_tells_what_is_promised_of_what_it_can_carry(otto: Person) -> None:
    job_with(otto, FRIDAY, minutes=60)
    job_with(otto, FRIDAY, minutes=45)

    friday = bands(otto)[FRIDAY.date()]

    # 09:00-13:00 and 13:30-17:30, and one who works: the usual hours
    assert (friday.promised, friday.capacity, friday.over) == (105, 480, 0)
    assert [row.minutes_left for row in friday.rows] == [60, 45]


def test_two_mechanics_carry_twice_as_much(otto: Person) -> None:
    for name in ("mira", "ned"):
        make_person(workshop=otto.workshop, username=name, role="mechanic")

    assert bands(otto)[FRIDAY.date()].capacity == 960


def test_of_today_only_the_hours_that_are_left_count(otto: Person) -> None:
    today = bands(otto)[NOON.date()]

    # From noon: one hour to lunch and four after it
    assert today.capacity == 300


def test_a_day_that_holds_too_much_says_by_how_much(desk: Client, otto: Person) -> None:
    job_with(otto, FRIDAY, minutes=500)

    assert "20 min too much" in desk.get(reverse("board")).text
    assert bands(otto)[FRIDAY.date()].bar == {"fits": 96, "over": 4, "full": 96}


def test_closed_days_are_shown_as_closed_with_their_name(desk: Client, otto: Person) -> None:
    close_on(workshop=otto.workshop, on=date(2026, 3, 5), reason="Stock-taking")

    text = desk.get(reverse("board")).text

    assert "closed, Stock-taking" in text
    assert "Saturday 7 March" in text


def test_a_bank_holiday_is_closed_and_named(otto: Person) -> None:
    # Good Friday 2026 is 3 April: https://www.gov.uk/bank-holidays
    friday = bands(otto, at=datetime.fromisoformat("2026-03-30T12:00+00:00"))[date(2026, 4, 3)]

    assert (friday.is_open, friday.name) == (False, "Good Friday")


def test_late_jobs_stand_first_and_under_no_day(otto: Person) -> None:
    late = job_with(otto, NOON - timedelta(minutes=1))
    job_with(otto, FRIDAY)

    found = board(workshop=otto.workshop, at=NOON)

    assert [row.job for row in found.late] == [late]
    assert found.late_minutes == 60
    assert found.bands[0].rows == []


def test_no_job_is_left_out_however_far_its_day(otto: Person) -> None:
    far = job_with(otto, NOON + timedelta(days=200))
    never = job_with(otto, None)

    found = board(workshop=otto.workshop, at=NOON)

    assert [row.job for row in found.later] == [far]
    assert [row.job for row in found.unpromised] == [never]


def test_a_wait_is_told_with_what_and_how_long(desk: Client, otto: Person) -> None:
    since = (NOON - timedelta(hours=3)).isoformat()
    job_with(otto, FRIDAY, waits=[{"on": "customer", "for": "Bearings", "since": since}])

    assert "waits 3 h for the customer: Bearings" in desk.get(reverse("board")).text


def test_who_has_hands_on_a_bike_is_told(desk: Client, otto: Person) -> None:
    job = take_in(by=otto)
    phone = enrol_phone(
        person=make_person(workshop=otto.workshop, username="mira", role="mechanic")
    )
    phone.write(job, "hands-on", {})
    phone.sync()

    text = desk.get(reverse("board")).text

    assert "Mira" in text
    assert "on the stand" in text


def test_a_ready_bike_waits_with_its_days(desk: Client, otto: Person) -> None:
    job = job_with(otto, NOON)
    Job.objects.filter(pk=job.pk).update(place="ready", released_at=NOON - timedelta(days=5))

    text = desk.get(reverse("board")).text

    assert "5 days" in text
    assert "Ready, to be collected" in text


@pytest.mark.parametrize("place", ["collected", "cancelled"])
def test_a_closed_job_leaves_the_board(desk: Client, otto: Person, place: str) -> None:
    job = job_with(otto, FRIDAY)
    Job.objects.filter(pk=job.pk).update(place=place)

    assert job.tag not in desk.get(reverse("board")).text


def test_the_headline_says_what_could_be_promised_now(desk: Client, otto: Person) -> None:
    assert "A standard service taken in now" in desk.get(reverse("board")).text
    assert board(workshop=otto.workshop, at=NOON).headline is not None


def test_a_shop_without_hours_still_has_a_board(desk: Client, otto: Person) -> None:
    otto.workshop.weekly_hours = {}
    otto.workshop.save()

    assert "No day can be promised" in desk.get(reverse("board")).text


def test_nothing_new_is_told_without_looking_at_a_job(
    desk: Client, otto: Person, django_assert_num_queries
) -> None:
    take_in(by=otto)
    tag = live(desk)["ETag"]

    # Session, person, workshop
    with django_assert_num_queries(3):
        answer = live(desk, tag)

    assert answer.status_code == 304
    assert answer.content == b""


def test_the_page_itself_says_what_to_ask_with(desk: Client, otto: Person) -> None:
    answer = desk.get(reverse("board"))

    tag = answer["ETag"].replace('"', r"\"")
    assert f"""hx-headers='{{"If-None-Match": "{tag}"}}'""" in answer.text


def test_an_entry_changes_the_tag(desk: Client, otto: Person) -> None:
    tag = live(desk)["ETag"]

    take_in(by=otto)

    assert live(desk, tag).status_code == 200


def test_the_minute_changes_the_tag(desk: Client, otto: Person) -> None:
    tag = live(desk)["ETag"]

    with time_machine.travel(NOON + timedelta(minutes=1), tick=False):
        assert live(desk, tag).status_code == 200


def test_a_tag_weakened_by_compression_still_matches(desk: Client, otto: Person) -> None:
    assert live(desk, f"W/{live(desk)['ETag']}").status_code == 304


def test_a_wall_screen_that_was_signed_out_is_led_to_the_sign_in(desk: Client) -> None:
    asked = {"HX-Request": "true", "HX-Current-URL": "http://testserver/board/"}

    answer = Client().get(reverse("board-live"), headers=asked)

    assert answer.status_code == 204
    assert answer["HX-Redirect"] == "/sign-in/?next=/board/"


def test_two_hundred_jobs_cost_no_more_queries(
    desk: Client, otto: Person, django_assert_max_num_queries
) -> None:
    for position in range(200):
        job_with(otto, NOON + timedelta(hours=position))

    with django_assert_max_num_queries(14):
        answer = desk.get(reverse("board"))

    assert answer.text.count('class="day-row board-row') == 200
