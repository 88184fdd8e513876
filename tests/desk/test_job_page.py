"""What the page of a job tells, and the search that leads to it."""

import io
from hashlib import sha256

from django.test import Client
from django.urls import reverse
from PIL import Image

from shopfloor.jobs import photos
from shopfloor.jobs.models import Job
from shopfloor.promises.models import Promise
from shopfloor.workshop.models import Person
from tests.factories import NOON, take_in
from tests.phone import Phone


def page(desk: Client, job: Job) -> str:
    answer = desk.get(reverse("job", args=[job.id]))
    assert answer.status_code == 200
    return answer.text


def test_the_facts_stand_on_the_page(desk: Client, job: Job) -> None:
    text = page(desk, job)

    for fact in ("moss-green city bike", "Jana Field", "07700 900123", "£95.00", "£20.00 left"):
        assert fact in text
    assert "Nobody has touched it yet." in text
    assert "is a safety step and not done" in text


def test_a_reading_shows_with_limit_verdict_and_name(desk: Client, job: Job, phone: Phone) -> None:
    ask = next(
        (step, ask)
        for step in job.route
        for ask in step["asks"]
        if ask["kind"] == "reading" and ask["rule"] and ask["rule"]["type"] == "maximum"
    )
    place = {"step": ask[0]["key"], "item": ask[1]["item"], "phase": ask[1]["phases"][0]}
    worn = ask[1]["rule"]["renew"] * 1.5
    phone.write(job, "reading", place | {"value": worn, "unit": ask[1]["unit"]})
    phone.sync()

    text = page(desk, job)

    assert ask[1]["label"] in text
    assert f"below {ask[1]['rule']['renew']:g}" in text
    assert 'class="chip renew"' in text
    assert "Mira" in text


def test_two_values_are_both_shown_to_be_settled(
    desk: Client, job: Job, phone: Phone, otto: Person
) -> None:
    step = job.route[0]["key"]
    phone.write(job, "tick", {"step": step, "outcome": "done"})
    phone.write(job, "tick", {"step": step, "outcome": "open"}, by=str(otto.id))
    phone.sync()

    text = page(desk, job)

    assert "Two entries differ" in text
    assert "Otto, " in text


def test_notes_and_a_photo_that_is_still_on_its_phone_are_told(
    desk: Client, job: Job, phone: Phone
) -> None:
    phone.write(job, "note", {"text": "Customer's own <pedals>"})
    phone.write(job, "photo", {"sha256": "a" * 64, "phase": "before", "caption": "As it came"})
    phone.sync()

    text = page(desk, job)

    assert "own &lt;pedals&gt;" in text
    assert "Still on the phone that took it" in text


def test_hands_that_came_off_before_it_was_said_tell_both_times(
    desk: Client, job: Job, phone: Phone
) -> None:
    on = phone.write(job, "hands-on", {})
    phone.write(job, "hands-off", {"on": on["id"], "until": "2026-03-02T10:50:00Z"})
    phone.sync()

    assert "Hands off, at Mon 2 March, 10:50." in page(desk, job)


def test_a_photo_that_has_arrived_is_shown_small_and_leads_to_the_whole(
    desk: Client, job: Job, phone: Phone
) -> None:
    buffer = io.BytesIO()
    Image.new("RGB", (40, 30)).save(buffer, "PNG")
    name = sha256(buffer.getvalue()).hexdigest()
    photos.store_photo(workshop=job.workshop, name=name, data=buffer.getvalue(), at=NOON)
    phone.write(job, "photo", {"sha256": name, "phase": "detail", "caption": "Bare wire"})
    phone.sync()

    address = f"/api/photos/{name}"
    assert f'<a href="{address}"><img src="{address}?size=small" alt="Bare wire"' in page(desk, job)


def test_an_entry_after_the_release_is_flagged(desk: Client, job: Job, phone: Phone) -> None:
    desk.post(
        reverse("job-release", args=[job.id]),
        {"mode": "not-to-ride", "reason": "The fork is cracked; Jana was told."},
    )
    phone.write(job, "note", {"text": "One more thing"})
    phone.sync()

    text = page(desk, job)

    assert "not to ride" in text
    assert "After the release:</strong> Note: One more thing" in text


def test_an_entry_of_a_newer_app_does_not_break_the_page(
    desk: Client, job: Job, phone: Phone
) -> None:
    phone.write(job, "sketch", {"lines": [1, 2, 3]})
    phone.sync()

    assert "a kind this version does not know: sketch" in page(desk, job)


def test_an_entry_of_the_wrong_shape_does_not_break_the_page(
    desk: Client, job: Job, phone: Phone
) -> None:
    place = {"step": "measure_chain", "item": "chain", "phase": "found"}
    phone.write(job, "reading", place | {"value": "much", "unit": "%"})
    phone.write(job, "finding", {"title": "Bell", "reason": "Gone", "minutes": 5, "parts": [7]})
    phone.sync()

    assert page(desk, job).count("An entry that cannot be read") == 2


def test_the_page_costs_a_fixed_number_of_queries(
    desk: Client, job: Job, phone: Phone, django_assert_max_num_queries
) -> None:
    for step in job.route[:20]:
        phone.tick(job, step["key"])
    phone.sync()

    with django_assert_max_num_queries(40):
        page(desk, job)


def test_the_tag_has_a_code_that_is_a_picture(desk: Client, job: Job) -> None:
    tag = desk.get(reverse("job-tag", args=[job.id])).text
    code = desk.get(reverse("job-tag-code", args=[job.id]))

    assert "Jana" in tag
    assert "Field" not in tag
    assert code["Content-Type"] == "image/svg+xml"
    assert code.text.startswith('<svg xmlns="http://www.w3.org/2000/svg"')


def test_a_promise_moves_with_its_reason_and_the_customer_is_told(desk: Client, job: Job) -> None:
    form = {"on": "2026-03-06", "time": "16:30", "why": "The hub came late", "tell": "on"}

    answer = desk.post(reverse("job-promise", args=[job.id]), form)

    job.refresh_from_db()
    assert answer.status_code == 302
    assert job.promised_at is not None
    assert job.promised_at.isoformat() == "2026-03-06T16:30:00+00:00"
    assert job.messages.get().purpose == "moved"
    assert "The hub came late" in page(desk, job)


def test_a_promise_in_the_past_is_refused_and_what_was_typed_kept(desk: Client, job: Job) -> None:
    form = {"on": "2026-02-27", "time": "16:30", "why": "The hub came late"}

    answer = desk.post(reverse("job-promise", args=[job.id]), form)

    assert answer.status_code == 422
    assert "That time has passed" in answer.text
    assert 'value="The hub came late"' in answer.text
    assert Promise.objects.filter(job=job).count() == 1


def test_a_mechanic_is_told_that_a_manager_moves_promises(job: Job, mira: Person) -> None:
    client = Client()
    client.force_login(mira)
    form = {"on": "2026-03-06", "time": "16:30", "why": "The hub came late"}

    answer = client.post(reverse("job-promise", args=[job.id]), form)

    assert answer.status_code == 422
    assert "Only a manager may change a promise" in answer.text


def test_a_mechanic_is_offered_only_what_a_mechanic_may_do(
    job: Job, mira: Person, finding: str
) -> None:
    client = Client()
    client.force_login(mira)

    text = client.get(reverse("job", args=[job.id])).text

    assert "A manager prices this and asks Jana." in text
    for words in ("Move the promise", "Cancel this job", "Hand it back not to ride"):
        assert words not in text


def test_the_search_finds_by_number_name_telephone_and_words(
    desk: Client, job: Job, otto: Person
) -> None:
    take_in(by=otto, phone="07700 900456", customer_name="Piet Okafor", bike_words="red tandem")

    for text in ("J-0001", "1", "jana", "07700 900123", "900123", "moss green", "field moss"):
        found = desk.get(reverse("jobs"), {"find": text.replace("moss green", "moss")})
        assert found["Location"] == reverse("job", args=[job.id]), text


def test_a_search_for_nothing_that_exists_says_so(desk: Client, job: Job) -> None:
    assert "No job goes with “unicycle”" in desk.get(reverse("jobs"), {"find": "unicycle"}).text


def test_every_kind_of_entry_has_its_sentence() -> None:
    from shopfloor.desk.words import Names, sentence
    from shopfloor.journal.entry import BENCH_KINDS, DESK_KINDS

    names = Names(people={}, desk="", steps={}, asks={}, findings={}, currency="GBP")

    for kind in BENCH_KINDS | DESK_KINDS:
        assert "does not know" not in sentence(kind, {}, names)
        assert sentence(kind, {"redacted": True}, names) == "Blanked on request."
