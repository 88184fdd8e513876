"""Pricing findings at the desk, asking, and writing an answer down."""

import re

from django.test import Client
from django.urls import reverse

from shopfloor.approvals.models import Offer, OfferLine
from shopfloor.jobs.models import Job
from shopfloor.workshop.models import Person
from tests.phone import Phone


def offer_form(finding: str, **facts: str) -> dict[str, str]:
    usual = {
        "chosen": "on",
        "title": "Renew the lamp cable",
        "reason": "The cable is bare at the stay.",
        "minutes": "20",
        "part_0": "Lamp cable",
        "price_0": "6.00",
    }
    return {f"{finding}-{name}": value for name, value in (usual | facts).items()}


def make(desk: Client, job: Job, form: dict[str, str]) -> int:
    return desk.post(reverse("job-offers", args=[job.id]), form).status_code


def answer_form(offer: Offer, decision: str = "yes", **facts: str) -> dict[str, str]:
    usual = {"channel": "telephone", "words": "Jana herself", "version": str(offer.version)}
    lines = {f"line_{line.id}": decision for line in offer.lines.all() if decision}
    return {f"{offer.id}-{name}": value for name, value in (usual | lines | facts).items()}


def test_a_finding_shows_with_its_price_and_the_new_day(
    desk: Client, job: Job, finding: str
) -> None:
    text = desk.get(reverse("job", args=[job.id])).text

    # 20 minutes at £48 an hour and £6: £22 and 20 % VAT
    assert "£26.40" in text
    assert "Parts take two open days" in text
    assert "is asked by text" in text


def test_the_photo_taken_on_the_form_of_a_finding_goes_to_the_customer(
    desk: Client, job: Job, mira: Person, otto: Person, phone: Phone
) -> None:
    def photo(letter: str, **facts: str) -> None:
        phone.write(job, "photo", {"sha256": letter * 64, "phase": "detail"}, **facts)

    photo("a", at="2026-03-02T09:00:00.000Z")
    photo("b", at="2026-03-02T11:50:00.000Z", by=str(otto.id))
    photo("c", at="2026-03-02T11:51:00.000Z")
    body = {"title": "Bell", "reason": "Broken.", "minutes": 5, "parts": [], "safety": False}
    bell = phone.write(job, "finding", body, at="2026-03-02T11:52:00.000Z")
    tyre = phone.write(job, "finding", body | {"title": "T"}, at="2026-03-02T11:53:00.000Z")
    phone.sync()

    for entry in (bell, tyre):
        make(desk, job, offer_form(str(entry["id"]), price_0="90"))

    photos = dict(OfferLine.objects.values_list("finding", "photo"))
    assert {str(key): value for key, value in photos.items()} == {
        bell["id"]: "c" * 64,
        tyre["id"]: "",
    }


def test_the_price_follows_the_form(desk: Client, job: Job, finding: str) -> None:
    address = reverse("job-offers-price", args=[job.id])

    cheap = desk.post(address, offer_form(finding, minutes="10", price_0="0")).text
    none = desk.post(address, offer_form(finding) | {f"{finding}-chosen": ""}).text

    # 10 minutes at £48 an hour: £8 and 20 % VAT, within the £20 that were agreed
    assert "£9.60" in cheap
    assert "Within the agreed limit" in cheap
    assert "Nothing is chosen." in none


def test_a_form_that_cannot_be_read_is_not_priced(desk: Client, job: Job, finding: str) -> None:
    text = desk.post(
        reverse("job-offers-price", args=[job.id]), offer_form(finding, minutes="soon")
    ).text

    assert "1 finding cannot be read yet" in text


def test_an_offer_goes_to_the_outbox(desk: Client, job: Job, finding: str) -> None:
    assert make(desk, job, offer_form(finding)) == 302

    offer = Offer.objects.get(job=job)
    job.refresh_from_db()
    assert offer.lines.get().gross_minor == 2640
    assert offer.lines.get().parts == [
        {"name": "Lamp cable", "price_minor": 600, "in_stock": False}
    ]
    assert job.place == "asking"
    assert job.messages.get().purpose == "offer"


def test_within_the_limit_it_is_done_and_told(desk: Client, job: Job, finding: str) -> None:
    make(desk, job, offer_form(finding, price_0="0", minutes="10"))

    text = desk.get(reverse("job", args=[job.id])).text

    assert Offer.objects.get(job=job).told
    assert "Done within the agreed limit" in text
    assert "£10.40 left of £20.00" in text


def test_what_cannot_be_read_is_said_beside_its_field_and_kept(
    desk: Client, job: Job, finding: str
) -> None:
    form = offer_form(finding, price_0="six pounds", reason="My own words", part_1="Tie")

    answer = desk.post(reverse("job-offers", args=[job.id]), form)

    assert answer.status_code == 422
    assert "“six pounds” is not an amount we can read. Write it like 25 or 25.50." in answer.text
    assert 'value="six pounds"' in answer.text
    assert "My own words" in answer.text
    assert "Give the part a price; 0 if it costs nothing." in answer.text
    assert not Offer.objects.exists()


def test_an_offer_of_nothing_is_refused(desk: Client, job: Job, finding: str) -> None:
    answer = desk.post(reverse("job-offers", args=[job.id]), {f"{finding}-chosen": ""})

    assert answer.status_code == 422
    assert "Choose findings" in answer.text


def test_a_mechanic_cannot_price_work(job: Job, finding: str, mira: Person) -> None:
    client = Client()
    client.force_login(mira)

    answer = client.post(reverse("job-offers", args=[job.id]), offer_form(finding))

    assert answer.status_code == 422
    assert "Only a manager may price work" in answer.text
    assert not Offer.objects.exists()


def test_an_answer_by_telephone_is_written_down_line_by_line(
    desk: Client, job: Job, finding: str, otto: Person
) -> None:
    make(desk, job, offer_form(finding))
    offer = Offer.objects.get(job=job)

    desk.post(reverse("offer-answer", args=[offer.id]), answer_form(offer))

    offer.refresh_from_db()
    job.refresh_from_db()
    assert (offer.state, offer.channel) == ("answered", "telephone")
    assert offer.answered_by_words == "Jana herself"
    assert job.place == "parts"
    text = desk.get(reverse("job", args=[job.id])).text
    assert "by telephone (Jana herself)" in text
    assert "Added to the steps: Renew the lamp cable." in text


def test_an_answer_with_a_line_left_open_keeps_the_rest(
    desk: Client, job: Job, finding: str
) -> None:
    make(desk, job, offer_form(finding))
    offer = Offer.objects.get(job=job)

    answer = desk.post(
        reverse("offer-answer", args=[offer.id]), answer_form(offer, decision="", words="Her son")
    )

    assert answer.status_code == 422
    assert "Say yes or no to this line." in answer.text
    assert 'value="Her son"' in answer.text
    assert Offer.objects.get(job=job).state == "open"


def test_a_refused_answer_shows_the_job_as_it_stands(
    desk: Client, job: Job, finding: str, phone: Phone
) -> None:
    make(desk, job, offer_form(finding))
    offer = Offer.objects.get(job=job)
    phone.write(job, "void", {"reason": "Wrong bike"}, supersedes=[finding])
    phone.sync(more=True)

    answer = desk.post(reverse("offer-answer", args=[offer.id]), answer_form(offer, decision=""))

    shown = answer.context["job"]
    assert shown.folded_seq == shown.changed_seq == Job.objects.get().changed_seq
    assert [wait["for"] for wait in shown.summary["waits"]] == ["a finding"]


def test_the_second_of_two_answers_is_told(desk: Client, job: Job, finding: str) -> None:
    make(desk, job, offer_form(finding))
    offer = Offer.objects.get(job=job)
    form = answer_form(offer, decision="no")
    desk.post(reverse("offer-answer", args=[offer.id]), form)

    answer = desk.post(reverse("offer-answer", args=[offer.id]), answer_form(offer))

    assert answer.status_code == 422
    assert "answered already" in answer.text
    assert offer.lines.get().decision == "no"


def test_a_question_taken_back_can_be_asked_anew(desk: Client, job: Job, finding: str) -> None:
    make(desk, job, offer_form(finding))
    offer = Offer.objects.get(job=job)

    desk.post(reverse("offer-withdrawal", args=[offer.id]))

    job.refresh_from_db()
    assert job.place == "on the stand"
    assert make(desk, job, offer_form(finding)) == 302


def test_parts_that_came_in_free_the_job(desk: Client, job: Job, finding: str) -> None:
    make(desk, job, offer_form(finding))
    offer = Offer.objects.get(job=job)
    desk.post(reverse("offer-answer", args=[offer.id]), answer_form(offer))
    address = reverse("job-parts", args=[job.id, finding])

    first, second = desk.post(address), desk.post(address)

    job.refresh_from_db()
    assert (first.status_code, second.status_code) == (302, 404)
    assert job.place == "on the stand"


def test_the_link_leads_to_the_customers_page(desk: Client, job: Job, finding: str) -> None:
    make(desk, job, offer_form(finding))
    text = desk.get(reverse("job", args=[job.id])).text

    link = re.search(r'href="(/a/[^"]+)"', text)

    assert link is not None
    assert "Renew the lamp cable" in Client().get(link[1]).text
