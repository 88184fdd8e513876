"""The public page on which anybody verifies a sheet, and the versions behind a customer's link."""

import io
import re
import subprocess
from hashlib import sha256

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from pypdf import PdfReader, PdfWriter

from shopfloor.sheets import keys
from shopfloor.sheets.check_views import COMMAND
from shopfloor.sheets.codes import grouped
from shopfloor.sheets.models import SheetVersion
from shopfloor.sheets.services import keep_version
from tests.factories import NOON
from tests.sheets.releasing import release

pytestmark = pytest.mark.usefixtures("_built", "noon")


@pytest.fixture
def version(measured):
    release(measured)
    return keep_version(job=measured.job, at=NOON)


def _second(measured):
    measured.read("measure_brakes", "chain", "left", 305.0, "mm")
    measured.send()
    return keep_version(job=measured.job, at=NOON)


def _sent(pdf: bytes) -> SimpleUploadedFile:
    return SimpleUploadedFile("sheet.pdf", pdf, content_type="application/pdf")


def test_the_page_says_what_was_signed_and_nothing_private(client, version, measured):
    page = client.get(f"/v/{version.code}/").text

    assert "The Repair Room signed this sheet" in page
    for told in (measured.job.tag, "moss-green city bike", grouped(version.code)):
        assert told in page
    assert version.content_sha256 in page
    for secret in ("Jana", "Field", measured.job.customer.phone_typed, "306.6", "5.5"):
        assert secret not in page


def test_it_runs_no_script_and_is_neither_kept_nor_listed(client, version):
    response = client.get(f"/v/{version.code}/")

    assert "<script" not in response.text
    assert "script-src" not in response["Content-Security-Policy"]
    assert response["X-Robots-Tag"] == "noindex, nofollow"


@pytest.mark.parametrize("what", ["code", "content_sha256"])
def test_a_code_or_digest_typed_by_hand_leads_there(client, version, what):
    typed = getattr(version, what)
    spaced = " ".join(typed[start : start + 4] for start in range(0, len(typed), 4))

    for text in (typed, typed.lower(), typed.upper(), spaced):
        assert client.post("/v/", {"code": text})["Location"] == f"/v/{version.code}/"


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ("", "Type the code"),
        ("ABCD-EFGH-JKMN-P0R1", "No sheet has this code"),
        ("J-0001", "This is no code of a sheet"),
    ],
)
def test_what_leads_nowhere_is_told_with_what_to_do(client, db, typed, told):
    response = client.post("/v/", {"code": typed})

    assert response.status_code == 422
    assert told in response.text
    assert client.get("/v/ABCDEFGHJKMNP0R1/").status_code == 404


def test_the_pdf_that_was_handed_out_is_known_again(client, version, link):
    pdf = client.get(f"{link}sheet.pdf").content

    assert client.post("/v/", {"file": _sent(pdf)})["Location"] == f"/v/{version.code}/"
    page = client.post(f"/v/{version.code}/", {"file": _sent(pdf)}).text
    assert "this file is this sheet, byte for byte" in page


def test_the_same_version_is_the_same_file_whenever_it_is_made(client, version, link):
    first, again = (client.get(f"{link}sheet.pdf").content for _ in range(2))

    assert sha256(first).digest() == sha256(again).digest()
    assert version.files.count() == 1


def test_an_altered_pdf_is_not_this_sheet(client, version, link):
    pdf = client.get(f"{link}sheet.pdf").content
    writer = PdfWriter(clone_from=io.BytesIO(pdf))
    saved = io.BytesIO()
    writer.write(saved)

    for other in (pdf + b" ", saved.getvalue()):
        page = client.post(f"/v/{version.code}/", {"file": _sent(other)}).text
        assert "This file is none that was handed out here" in page
        assert "byte for byte" not in page


def test_the_pdf_of_another_version_is_told_apart(client, version, measured, link):
    pdf = client.get(f"{link}1.pdf").content
    second = _second(measured)

    page = client.post(f"/v/{second.code}/", {"file": _sent(pdf)}).text

    assert f"This file is version 1 of the sheet {measured.job.tag}, not this one." in page
    assert f"/v/{version.code}/" in page


def test_an_old_version_stays_readable_and_says_that_there_is_a_newer_one(
    client, version, measured, link
):
    second = _second(measured)

    old, new = client.get(f"{link}1/").text, client.get(link).text

    assert "There is a newer version" in old
    assert f'href="{link}2/"' in old
    assert "305\u00a0mm" not in old
    assert "What changed since the version before" in new
    assert "305\u00a0mm" in new
    assert "There is a newer version" in client.get(f"/v/{version.code}/").text
    assert "There is a newer version" not in client.get(f"/v/{second.code}/").text


def test_the_signed_data_has_the_digest_that_was_signed(client, version, link):
    data = client.get(f"{link}1.json").content

    assert sha256(data).hexdigest() == version.content_sha256


def test_a_version_that_is_none_opens_nothing(client, version, link):
    assert client.get(f"{link}7/").status_code == 404
    assert client.get(f"{link}7.pdf").status_code == 404


def test_a_replaced_key_is_named_and_still_good(client, version):
    keys.new_key(workshop=version.job.workshop, at=NOON)

    page = client.get(f"/v/{version.code}/").text

    assert "The signature is good" in page
    assert "An earlier key of the workshop, replaced on 2 March 2026" in page


def test_a_database_that_was_tampered_with_is_not_vouched_for(client, version):
    altered = version.statement.replace("moss-green", "rose-red")
    SheetVersion.objects.update(statement=altered)

    page = client.get(f"/v/{version.code}/").text

    assert "This sheet does not verify" in page
    assert "The signature is good" not in page


# Second implementation: OpenSSL, with the three files as anybody gets them from the page.
def test_openssl_verifies_what_the_page_hands_out(client, version, tmp_path):
    for what in ("statement", "signature", "key"):
        response = client.get(reverse(f"sheet-check-{what}", args=[version.code]))
        name = response["Content-Disposition"].split('"')[1]
        (tmp_path / name).write_bytes(response.content)
    assert COMMAND in client.get(f"/v/{version.code}/").text
    command = COMMAND.split()

    good = subprocess.run(command, cwd=tmp_path, capture_output=True, text=True, check=False)
    statement = (tmp_path / "statement.json").read_text()
    (tmp_path / "statement.json").write_text(statement.replace("moss", "rose"))
    bad = subprocess.run(command, cwd=tmp_path, capture_output=True, text=True, check=False)

    assert (good.returncode, bad.returncode) == (0, 1)
    assert "Verified Successfully" in good.stdout


def test_page_and_paper_carry_the_code_and_the_address(client, version, link):
    page, pdf = client.get(link).text, client.get(f"{link}sheet.pdf").content
    text = re.sub(r"\s+", " ", PdfReader(io.BytesIO(pdf)).pages[0].extract_text())

    for told in (grouped(version.code), "Version 1"):
        assert told in page
        assert told in text
    assert f"http://localhost:8000/v/{version.code}/" in page
    assert b"pdfuaid:part>1<" in PdfReader(io.BytesIO(pdf)).trailer["/Root"]["/Metadata"].get_data()


def test_the_desk_reads_versions_and_strangers_do_not(client, version, measured):
    address = f"/jobs/{measured.job.id}/sheet/1"

    for end in ("/", ".pdf", ".json"):
        assert client.get(address + end).status_code == 302
    client.force_login(measured.otto)
    for end in ("/", ".pdf", ".json"):
        assert client.get(address + end).status_code == 200
