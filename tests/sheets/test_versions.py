"""A released bike's sheet is signed; what changes afterwards makes a version that names it."""

import json
from datetime import timedelta
from hashlib import sha256

import pytest
import rfc8785
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.serialization import load_pem_public_key
from django.utils import translation

from shopfloor.handover import services as handover
from shopfloor.jobs import services as journal
from shopfloor.sheets import keys
from shopfloor.sheets.models import IssuedFile, SheetKey, SheetVersion
from shopfloor.sheets.services import keep_changed, keep_version
from shopfloor.sheets.verifying import verify
from tests.factories import NOON, make_workshop
from tests.sheets.releasing import release

LATER = NOON + timedelta(hours=1)


def _signed(bench, at=NOON):
    version = keep_version(job=bench.job, at=at)
    assert version
    return version


def test_a_bike_that_is_not_released_has_no_version(measured):
    assert keep_version(job=measured.job, at=NOON) is None


def test_a_release_is_signed_once(measured):
    release(measured)

    first, again = _signed(measured), _signed(measured, LATER)

    assert (first.number, first.pk) == (1, again.pk)
    assert SheetVersion.objects.count() == 1


# Second implementation: the bytes from RFC 8785's own library, the key read back from its PEM.
def test_the_published_key_verifies_what_was_signed(measured):
    release(measured)
    version = _signed(measured)
    public = load_pem_public_key(keys.public_pem(version.key).encode())
    signature = bytes.fromhex(version.signature_hex)

    public.verify(signature, rfc8785.dumps(json.loads(version.statement)))
    with pytest.raises(InvalidSignature):
        public.verify(signature, version.statement.replace(measured.job.tag, "J-9999").encode())


def test_the_statement_names_the_content_and_nothing_private(measured):
    release(measured)
    version = _signed(measured)
    statement = json.loads(version.statement)

    assert statement["content_sha256"] == sha256(version.content.encode()).hexdigest()
    assert (statement["job"], statement["version"]) == (measured.job.tag, 1)
    assert statement["bike"] == "moss-green city bike, 8-speed hub"
    for secret in ("Jana", "Field", measured.job.customer.phone_typed, "306.6"):
        assert secret not in version.statement


def test_a_late_entry_makes_a_version_that_names_it(measured):
    release(measured)
    first = _signed(measured)
    measured.read("measure_brakes", "chain", "left", 305.0, "mm")
    measured.send()

    second = _signed(measured, LATER)

    assert second.number == 2
    (change,) = second.changes
    assert change.replace("\u00a0", " ").startswith(
        "Changed: Chain, longer than new: found 306.6 mm (0.59 %), left 305 mm (0.07 %)"
    )
    assert json.loads(second.statement)["before_sha256"] == first.content_sha256
    assert "305" not in SheetVersion.objects.get(number=1).content


def test_what_does_not_touch_the_sheet_makes_no_version(measured):
    release(measured)
    first = _signed(measured)
    handover.collect_job(job=measured.job, by=measured.otto, at=LATER)
    measured.job.refresh_from_db()

    assert _signed(measured, LATER).pk == first.pk


def test_a_shop_that_moves_house_has_altered_no_sheet(measured):
    release(measured)
    first = _signed(measured)
    measured.job.workshop.address = "4 Other Lane"
    measured.job.workshop.save()
    handover.collect_job(job=measured.job, by=measured.otto, at=LATER)
    measured.job.refresh_from_db()

    assert _signed(measured, LATER).pk == first.pk


def test_a_bike_that_went_back_to_the_stand_is_signed_anew_when_it_leaves(measured):
    release(measured)
    first = _signed(measured)
    handover.take_back(job=measured.job, by=measured.otto, at=LATER, reason="")
    measured.job.refresh_from_db()
    assert keep_version(job=measured.job, at=LATER) is None
    first.job.refresh_from_db()
    assert verify(first).is_taken_back

    release(measured, at=LATER + timedelta(hours=1))
    second = _signed(measured, LATER + timedelta(hours=1))

    assert second.number == 2
    assert second.changes == ["Changed: Ready: 2 March 2026, 14:00 (was 2 March 2026, 12:00)."]
    assert not verify(first).is_newest


def test_the_language_of_a_reader_alters_nothing(measured):
    release(measured)
    with translation.override("de"):
        first = _signed(measured)

    assert '"area":"' not in first.content or "Looked over" in first.content
    assert json.loads(first.content)["job"]["service"] == "Standard service"


def test_what_was_blanked_in_the_journal_is_in_no_version_any_more(measured):
    note = measured.phone.write(measured.job, "note", {"text": "Jana's keys are in the bag."})
    measured.send()
    release(measured)
    first = _signed(measured)
    assert "keys" in first.content

    body = {"entry": note["id"], "reason": "asked"}
    journal.write_entry(job=measured.job, kind="redacted", body=body, by=measured.otto, at=LATER)
    measured.job.refresh_from_db()
    second = _signed(measured, LATER)

    first.refresh_from_db()
    assert (first.content, second.number) == ("", 2)
    assert second.changes == ["Something was blanked on request."]
    assert "keys" not in second.content + second.statement
    assert verify(first).is_genuine


def test_a_replaced_key_stays_good_for_what_it_signed(measured):
    release(measured)
    first = _signed(measured)

    keys.new_key(workshop=measured.job.workshop, at=LATER)
    measured.read("measure_brakes", "chain", "left", 305.0, "mm")
    measured.send()
    second = _signed(measured, LATER)

    assert first.key_id != second.key_id
    assert verify(first).is_genuine
    assert verify(second).is_genuine


def test_no_private_key_is_stored_and_another_secret_of_the_server_makes_another_key(
    measured, settings
):
    key = keys.current_key(workshop=measured.job.workshop, at=NOON)
    assert keys.current_key(workshop=measured.job.workshop, at=LATER).pk == key.pk

    settings.SECRET_KEY_FALLBACKS = [settings.SECRET_KEY]
    settings.SECRET_KEY = "another secret of the server, long enough"
    assert keys.current_key(workshop=measured.job.workshop, at=LATER).pk == key.pk

    settings.SECRET_KEY_FALLBACKS = []
    other = keys.current_key(workshop=measured.job.workshop, at=LATER)
    assert other.pk != key.pk
    assert SheetKey.objects.get(pk=key.pk).retired_at == LATER
    assert {field.name for field in SheetKey._meta.fields} == {
        "id",
        "workshop",
        "public_hex",
        "made_at",
        "retired_at",
    }


@pytest.mark.parametrize("field", ["content", "statement", "signature_hex"])
def test_what_was_altered_in_the_database_does_not_verify(measured, field):
    release(measured)
    version = _signed(measured)
    text = getattr(version, field)
    altered = text.replace("moss", "rose") if "moss" in text else "00" + text[2:]

    setattr(version, field, altered)

    assert not verify(version).is_genuine


def test_the_sweep_signs_what_was_released_and_looks_at_nothing_twice(
    measured, django_assert_num_queries
):
    release(measured)

    for _shop in range(3):
        make_workshop()

    assert keep_changed(at=NOON) == 1
    assert SheetVersion.objects.get().job_id == measured.job.id
    with django_assert_num_queries(1):
        assert keep_changed(at=LATER) == 0


def test_after_a_restore_the_sweep_begins_anew(measured):
    release(measured)
    keep_changed(at=NOON)
    SheetVersion.objects.all().delete()
    IssuedFile.objects.all().delete()
    type(measured.job.workshop).objects.update(last_seq=measured.job.changed_seq - 1)

    assert keep_changed(at=LATER) == 1
