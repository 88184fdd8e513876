"""The bike's page, what it offers the next job, and a bike that changes hands."""

from datetime import timedelta

import pytest

from shopfloor.bikes import services
from shopfloor.bikes.remembered import found_loose, marks_of, owners_of, wear_over_time
from shopfloor.bikes.visits import visits_of
from shopfloor.customers.models import Customer
from shopfloor.jobs.models import Job
from shopfloor.jobs.queries import state_of
from tests.bikes.conftest import chain, stem
from tests.factories import NOON, make_job, make_person, make_workshop

pytestmark = pytest.mark.usefixtures("noon")


# 24 half links of half an inch are 304.8 mm (ISO 9633): 305.4 mm is 0.197 % longer, by hand.
def test_a_chain_read_with_a_ruler_is_told_in_percent(past):
    past.visit(0, chain(305.4))
    past.visit(200, chain(306.0))

    (wear,) = wear_over_time(visits_of(past.first.bike))

    values = [reading.value for reading in wear.parts[0]]
    assert values == [pytest.approx(0.197, abs=0.001), pytest.approx(0.394, abs=0.001)]
    assert (wear.limit, wear.unit, wear.falls) == (0.75, "%", False)


def test_new_pads_begin_anew(past):
    pad = {"step": "measure", "item": "front-pad"}
    new = {"step": "new_pads", "item": "front-pad", "phase": "left", "value": 4.0}
    past.visit(0, pad | {"value": 2.0})
    past.visit(300, pad | {"value": 0.6}, new)
    past.visit(500, pad | {"value": 3.1})

    (wear,) = wear_over_time(visits_of(past.first.bike))

    assert [[one.value for one in part] for part in wear.parts] == [[2.0, 0.6], [4.0, 3.1]]


def test_what_was_measured_once_is_no_story(past):
    past.visit(0, chain(305.4))

    assert wear_over_time(visits_of(past.first.bike)) == []


def test_a_bolt_found_loose_again_and_again_is_told_with_its_jobs(past):
    jobs = [past.visit(days, stem(loose=True)) for days in (0, 100)]
    past.visit(200, stem(value=5))

    (row,) = found_loose(visits_of(past.first.bike))

    assert (row.label, row.looked, row.is_again) == ("Stem faceplate bolts", 3, True)
    assert [job.pk for job in row.loose] == [job.pk for job in jobs]


def test_of_two_marks_the_later_counts(past):
    past.visit(0, stem(phase="left", value=5, mark={"min": 4, "max": 5}))
    second = past.visit(100, stem(phase="left", value=7, mark={"min": 6, "max": 8}))

    (mark,) = marks_of(visits_of(past.first.bike))

    assert (mark.limit, mark.job.pk) == ("6 to 8 N·m", second.pk)


def test_a_mark_is_offered_to_the_next_job_and_applied_by_nobody(past, desk_of_otto):
    past.visit(0, stem(phase="left", value=7, mark={"min": 6, "max": 8}))
    job = past.visit(100)
    before = state_of(job)["places"]

    page = desk_of_otto.get(f"/jobs/{job.id}/").text

    assert "Known from earlier jobs" in page
    assert "6 to 8 N·m" in page
    assert state_of(job)["places"] == before


def test_a_mark_that_is_taken_stands_as_a_note_at_its_step_and_judges_nothing(past, desk_of_otto):
    past.visit(0, stem(phase="left", value=7, mark={"min": 6, "max": 8}))
    job = past.visit(100, stem(phase="left", value=7))

    desk_of_otto.post(f"/jobs/{job.id}/marks/stem/")

    (note,) = state_of(job)["notes"]
    assert note["body"]["step"] == "torque"
    assert note["body"]["text"].startswith("Stem faceplate bolts: 6 to 8 N·m was read off")
    visits = visits_of(past.first.bike)
    assert services.marks_to_offer(visits, visits[-1].job) == []
    (left,) = visits[-1].state["places"]["ask:torque:stem:left"]
    assert "mark" not in left["body"]


def test_a_mark_is_not_offered_once_it_was_read_anew_or_the_job_is_over(past):
    past.visit(0, stem(phase="left", value=7, mark={"min": 6, "max": 8}))
    read = past.visit(100, stem(phase="left", value=7, mark={"min": 6, "max": 8}))

    assert services.marks_to_offer(visits_of(past.first.bike), read) == []
    with pytest.raises(services.NoSuchMark):
        services.take_mark(job=read, item="stem", by=past.otto, at=NOON)
    # Its own job is not an earlier one.
    assert services.marks_to_offer(visits_of(past.first.bike), past.first) == []


def test_a_bike_changes_hands_and_its_past_stays(past):
    past.visit(0, chain(305.4))
    bike = past.first.bike

    services.change_hands(
        bike=bike, name="Amir Teller", phone="07700 900462", by=past.otto, at=NOON
    )

    bike.refresh_from_db()
    assert bike.customer.name == "Amir Teller"
    owners = owners_of(bike, visits_of(bike))
    assert [owner.customer.name for owner in owners] == ["Jana Field", "Amir Teller"]
    assert Job.objects.get(pk=past.first.pk).customer.name == "Jana Field"


def test_a_new_owner_whose_number_is_known_is_not_made_twice(past):
    known = Customer.objects.get()
    other = make_job(workshop=past.otto.workshop).bike

    services.change_hands(
        bike=other, name="Jana Field", phone=known.phone_typed, by=past.otto, at=NOON
    )

    other.refresh_from_db()
    assert other.customer == known


@pytest.mark.parametrize(
    ("name", "phone", "told"),
    [("", "07700 900462", "Write the customer"), ("Amir", "12", "")],
)
def test_an_owner_that_cannot_be_used_is_refused_with_a_sentence(
    past, desk_of_otto, name, phone, told
):
    address = f"/bikes/{past.first.bike_id}/owner/"

    response = desk_of_otto.post(address, {"name": name, "phone": phone})

    assert response.status_code == 422
    assert told in response.text
    assert "Jana Field" in response.text


def test_the_page_tells_the_whole_story(past, desk_of_otto):
    for days, mm in ((0, 305.0), (150, 305.5), (300, 306.0), (450, 306.5)):
        past.visit(days, chain(mm), stem(loose=True))
    past.first.bike.frame_number = "FN-998877"
    past.first.bike.save()

    page = desk_of_otto.get(f"/bikes/{past.first.bike_id}/").text

    for told in ("FN-998877", "Jana Field", "The limit is reached about", "wear-interval"):
        assert told in page
    assert "loose 4 times of 4" in page
    assert page.count("wear-now") == 4
    assert "style=" not in page


def test_it_is_led_to_from_the_job_and_from_the_search(past, desk_of_otto):
    past.visit(100)
    address = f'href="/bikes/{past.first.bike_id}/"'

    assert address in desk_of_otto.get(f"/jobs/{past.first.id}/").text
    assert "here 2 times" in desk_of_otto.get(f"/jobs/{past.first.id}/").text
    assert address in desk_of_otto.get("/jobs/?find=moss").text


def test_another_workshop_sees_no_bike_of_this_one(past, client):
    address = f"/bikes/{past.first.bike_id}/"
    sam = make_person(workshop=make_workshop(name="Elsewhere"), username="sam")

    assert client.get(address).status_code == 302
    client.force_login(sam)
    assert client.get(address).status_code == 404
    assert client.post(f"{address}owner/").status_code == 404
    assert client.post(f"/jobs/{past.first.id}/marks/stem/").status_code == 404


def test_a_bike_costs_the_same_queries_however_often_it_was_here(
    past, desk_of_otto, django_assert_max_num_queries
):
    for days in range(0, 500, 50):
        past.visit(days, chain(305.0 + days / 500))
    desk_of_otto.get(f"/bikes/{past.first.bike_id}/")

    with django_assert_max_num_queries(10):
        desk_of_otto.get(f"/bikes/{past.first.bike_id}/")


def test_readings_are_told_in_order_of_time_not_of_arrival(past):
    late = NOON + timedelta(days=300)
    past.visit(300, chain(306.4))
    past.visit(0, chain(305.0))

    (wear,) = wear_over_time(visits_of(past.first.bike))

    assert [reading.at for reading in wear.parts[0]] == [NOON, late]
