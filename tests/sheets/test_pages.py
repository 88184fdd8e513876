"""The sheet on the web and as a PDF, behind a customer's link and at the desk."""

import io
from datetime import timedelta

import pytest
from PIL import Image
from pypdf import PdfReader

from shopfloor.demo.stand import Stand, walk
from shopfloor.sheets.content import sheet_content
from shopfloor.sheets.render import sheet_pdf
from shopfloor.trade.traits import fill_defaults
from tests.factories import NOON, make_person, make_workshop, take_in

pytestmark = pytest.mark.usefixtures("_built")


def _text(pdf: bytes) -> str:
    text = " ".join(page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages)
    return text.replace("\u00a0", " ")


def test_the_pdf_has_every_value_of_the_job(measured):
    text = _text(sheet_pdf(content=sheet_content(job=measured.job), workshop=measured.job.workshop))

    for value in ("0.4 mm", "3.1 mm", "306.6 mm", "5.5 N·m", "310 lbf·in", "cracked side wall"):
        assert value in text


# Tagged PDF: ISO 32000-1, 14.7 and 14.8; PDF/UA-1 identification: ISO 14289-1, clause 5.
def test_the_pdf_can_be_followed_by_a_screen_reader(measured):
    pdf = sheet_pdf(content=sheet_content(job=measured.job), workshop=measured.job.workshop)
    catalogue = PdfReader(io.BytesIO(pdf)).trailer["/Root"]

    assert catalogue["/MarkInfo"]["/Marked"]
    assert "/StructTreeRoot" in catalogue
    assert catalogue["/Lang"] == "en-GB"
    assert b"<pdfuaid:part>1</pdfuaid:part>" in catalogue["/Metadata"].get_data()


def test_a_picture_letter_in_a_note_costs_nobody_the_pdf(measured):
    content = sheet_content(job=measured.job)
    content["job"]["says"] = "It squeaks 🚲 漢"
    pdf = sheet_pdf(content=content, workshop=measured.job.workshop)

    assert "5.5 N·m" in _text(pdf)


def test_a_photo_in_the_pdf_has_its_words(bench):
    bench.photograph("before", "chain side")
    bench.send()

    pdf = sheet_pdf(content=sheet_content(job=bench.job), workshop=bench.job.workshop)

    assert "Before: chain side" in _text(pdf)
    assert len(PdfReader(io.BytesIO(pdf)).pages[-1].images) == 1


@pytest.mark.parametrize("kind", ["city", "road"])
def test_an_ordinary_service_fits_on_one_page(bench, kind):
    job = take_in(by=bench.otto, traits=fill_defaults({"kind": kind}))
    stand = Stand(device=bench.phone.device, by=bench.phone.person, now=NOON + timedelta(days=2))
    for phase in ("before", "after"):
        stand.photo(job, "bike", NOON, phase=phase)
    walk(stand, job, steps=999, start=NOON)

    pdf = sheet_pdf(content=sheet_content(job=job), workshop=job.workshop)

    (page,) = PdfReader(io.BytesIO(pdf)).pages
    assert len(page.images) == 2


def test_the_customers_page_runs_no_script_and_shows_the_readings(client, link):
    response = client.get(link)
    page = response.content.decode()

    assert response.status_code == 200
    assert "<script" not in page
    assert "style=" not in page
    assert "306.6\u00a0mm (0.59\u00a0%)" in page
    assert "script-src" not in response["Content-Security-Policy"]


def test_the_link_gives_the_pdf_under_a_name_of_its_own(client, link, measured):
    response = client.get(f"{link}sheet.pdf")

    assert response["Content-Type"] == "application/pdf"
    assert f"service-sheet-{measured.job.tag}.pdf" in response["Content-Disposition"]


def test_an_unknown_link_opens_nothing(client, db):
    for address in ("/s/unknown/", "/s/unknown/sheet.pdf", f"/s/unknown/photos/{'0' * 64}/"):
        response = client.get(address)

        assert response.status_code == 404
        assert b"This link opens nothing here" in response.content


def test_the_link_shows_the_photos_of_its_own_job_only(client, link, measured):
    name = measured.photograph("before", "dirty")
    measured.send()

    assert client.get(f"{link}photos/{name}/")["Content-Type"] == "image/jpeg"
    assert client.get(f"{link}photos/{'0' * 64}/").status_code == 404


@pytest.mark.parametrize("whose", ["customer", "desk"])
def test_a_list_shows_small_photos_that_lead_to_the_whole(client, link, measured, whose):
    name = measured.photograph("before", "dirty", size=(1200, 900))
    measured.send()
    page, photo = link, f"{link}photos/{name}/"
    if whose == "desk":
        client.force_login(measured.otto)
        page, photo = f"/jobs/{measured.job.id}/sheet/", f"/api/photos/{name}"

    assert f'<a href="{photo}"><img src="{photo}?size=small"' in client.get(page).text

    for address, width in ((f"{photo}?size=small", 320), (photo, 1200)):
        image = Image.open(io.BytesIO(client.get(address).content))
        assert image.width == width


def test_the_desk_sees_the_sheet_and_strangers_do_not(client, measured):
    address = f"/jobs/{measured.job.id}/sheet/"
    sam = make_person(workshop=make_workshop(name="Elsewhere"), username="sam")

    assert client.get(address).status_code == 302
    client.force_login(sam)
    assert client.get(address).status_code == 404
    assert client.get(f"{address[:-1]}.pdf").status_code == 404
    client.force_login(measured.otto)
    assert client.get(address).status_code == 200
