"""The service sheet says everything that was measured, done, left and warned of."""

import json
from typing import Any

from shopfloor.handover import services as handover
from shopfloor.sheets.content import sheet_content
from shopfloor.workshop.templatetags.money import money
from tests.factories import NOON
from tests.routes import pad_ask
from tests.sheets.releasing import release


def _rows(content: dict[str, Any]) -> dict[str, dict[str, Any]]:
    return {row["what"]: row for part in content["measured"] for row in part["rows"]}


def _shown(row: dict[str, Any], phase: str) -> list[str]:
    return [_plain(value["shown"]) for value in row[phase]]


def _plain(text: str) -> str:
    """With common spaces: number and unit are kept together by no-break ones."""
    return text.replace("\u00a0", " ")


def test_every_reading_found_and_left_is_listed(measured):
    rows = _rows(sheet_content(job=measured.job))

    assert _shown(rows["Front pad"], "found") == ["0.4 mm"]
    assert _shown(rows["Front pad"], "left") == ["3.1 mm"]
    assert _plain(rows["Front pad"]["limit"]) == "at least 0.5 mm"
    assert rows["Front pad"]["verdict"] == "sound"


def test_a_part_that_was_found_loose_says_so(measured):
    stem = _rows(sheet_content(job=measured.job))["Stem faceplate bolts"]

    assert [value["loose"] for value in stem["found"]] == [True]
    assert _shown(stem, "left") == ["5.5 N·m"]
    assert stem["made_by"] == ["Mira, Torque wrench 2 to 24"]


def test_what_all_rows_of_a_table_share_is_said_once(measured):
    parts = {part["kind"]: part for part in sheet_content(job=measured.job)["measured"]}

    assert parts["reading"]["made_by"] == ["Mira"]
    assert all(row["made_by"] == [] for row in parts["reading"]["rows"])
    assert parts["torque"]["made_by"] == []


def test_rows_of_one_name_are_told_apart_by_their_step(bench):
    bench.job.route[0]["asks"] = [pad_ask()]
    bench.job.save()
    for step in ("identify", "measure_brakes"):
        bench.read(step, "front-pad", "found", 2, "mm")
    bench.send()

    assert set(_rows(sheet_content(job=bench.job))) == {
        "Identify: Front pad",
        "Measure brakes: Front pad",
    }


# 1 lbf·in = 0.112 985 N·m: NIST Special Publication 811 (2008), appendix B.8.
def test_a_torque_in_another_unit_has_newton_metres_beside_it(measured):
    axle = _rows(sheet_content(job=measured.job))["Rear axle nuts"]

    assert _shown(axle, "left") == ["310 lbf·in (35.03 N·m)"]
    assert axle["verdict"] == "sound"


# Half-inch pitch, ISO 9633: 24 half links of a new chain are 304.8 mm.
def test_a_chain_read_with_a_ruler_has_its_percentage_beside_it(measured):
    chain = _rows(sheet_content(job=measured.job))["Chain, longer than new"]

    assert _shown(chain, "found") == ["306.6 mm (0.59 %)"]
    assert chain["verdict"] == "watch"


def test_the_scale_shows_where_the_reading_lies(measured):
    stem = _rows(sheet_content(job=measured.job))["Stem faceplate bolts"]

    assert stem["scale"]["band"] == [44.4, 66.7]
    assert stem["scale"]["found"] == []
    assert stem["scale"]["left"] == [61.1]


def test_what_is_to_be_watched_is_listed_with_its_reason(measured):
    watch = {row["what"]: row for row in sheet_content(job=measured.job)["watch"]}

    assert set(watch) == {"Chain, longer than new", "Rear tyre"}
    assert watch["Rear tyre"]["why"] == "cracked side wall."


def test_a_reading_that_no_step_asks_for_is_not_dropped(bench):
    bench.read("old_step", "hub-gap", "found", 2, "mm")
    bench.send()

    rows = _rows(sheet_content(job=bench.job))

    assert _shown(rows["Hub gap"], "found") == ["2 mm"]


def test_two_entries_for_one_place_are_both_shown(bench):
    bench.read("measure_brakes", "front-pad", "found", 0.4, "mm")
    place = {"step": "measure_brakes", "item": "front-pad", "phase": "found"}
    bench.other.write(bench.job, "reading", place | {"value": 1.4, "unit": "mm"})
    bench.send()

    pad = _rows(sheet_content(job=bench.job))["Front pad"]

    assert sorted(_shown(pad, "found")) == ["0.4 mm", "1.4 mm"]
    assert pad["torn"]
    assert pad["verdict"] == ""


def test_declined_work_is_named_with_why_it_matters_safety_first(bench):
    bench.answer("Bell", "no", safety=False)
    bench.answer("Rear tyre", "no", safety=True)

    declined = sheet_content(job=bench.job)["declined"]

    assert [line["title"] for line in declined] == ["Rear tyre", "Bell"]
    assert "matters for safety" in declined[0]["why"]
    assert declined[0]["reason"] == "Rear tyre is worn out."


def test_agreed_work_is_listed_with_its_parts_and_price(bench):
    parts = [{"name": "Disc pads, one pair", "price_minor": 2000, "in_stock": True}]
    bench.answer("Front pads", "yes", safety=True, parts=parts)

    content = sheet_content(job=bench.job)
    (added,) = content["added"]

    # 20 min at £48.00 an hour is £16.00; with £20.00 of parts and 20 % VAT £43.20, by hand.
    assert added["price"] == "£43.20"
    assert content["job"]["total"] == money(bench.job.price_minor + 4320, "GBP")
    # £20.00 of parts are £24.00 with VAT; what is left of £43.20 is labour.
    assert added["parts"] == [{"name": "Disc pads, one pair", "price": "£24.00"}]
    assert added["labour"] == "£19.20"
    assert not added["done"]


def test_a_finding_nobody_decided_is_not_silent(bench):
    body = {"title": "Loose mudguard", "reason": "Stay broken", "minutes": 10, "parts": []}
    bench.phone.write(bench.job, "finding", body | {"safety": False})
    bench.send()

    (finding,) = sheet_content(job=bench.job)["findings"]

    assert finding["title"] == "Loose mudguard"


def test_work_is_told_with_the_names_of_those_who_did_it(bench):
    bench.phone.tick(bench.job, "final_check")
    bench.send()

    content = sheet_content(job=bench.job)

    assert content["work"] == [{"area": "At the end", "text": "the whole bike checked"}]
    assert content["worked"] == ["Mira"]
    assert "Measure brakes" in content["open"]


def test_work_that_cost_nothing_is_told_as_a_gift(bench):
    parts = [{"name": "Valve cap", "price_minor": 0, "in_stock": True}]
    bench.answer("Mudguard stay straightened", "yes", safety=False, minutes=0, parts=parts)

    content = sheet_content(job=bench.job)

    assert [work["title"] for work in content["gifts"]] == ["Mudguard stay straightened"]
    assert content["added"] == []
    assert content["job"]["total"] == ""


def test_what_was_looked_at_and_is_sound_is_told_in_a_word(bench):
    place = {"step": "measure_brakes", "item": "rear-tyre", "phase": "found"}
    bench.phone.write(bench.job, "choice", place | {"value": "good"})
    bench.send()

    (looked,) = sheet_content(job=bench.job)["measured"]

    assert looked["sound"] == ["Rear tyre: even, no cuts"]
    assert looked["rows"] == []


def test_a_range_says_where_it_is_from_and_the_mark_on_the_part_comes_first(bench):
    bench.read("torque_run", "stem-faceplate", "left", 5, "N·m")
    bench.read("torque_run", "rear-axle", "left", 33, "N·m", mark={"min": 32, "max": 36})
    bench.send()

    rows = _rows(sheet_content(job=bench.job))

    assert rows["Stem faceplate bolts"]["source"] == "from memory, nobody looked it up"
    assert rows["Rear axle nuts"]["source"] == "marked on the part"
    assert _plain(rows["Rear axle nuts"]["limit"]) == "32 to 36 N·m, as marked"


def test_the_second_person_is_named(bench):
    bench.other.write(bench.job, "check", {"step": "second_person", "outcome": "agreed"})
    bench.send()

    (check,) = sheet_content(job=bench.job)["checks"]

    assert (check["by"], check["agreed"]) == ("Lene", True)


def test_before_and_after_stand_side_by_side_once_they_arrived(bench):
    bench.photograph("after", "clean")
    bench.photograph("before", "dirty")
    bench.photograph("detail", "pad")
    bench.photograph("before", "from the left")
    bench.phone.write(bench.job, "photo", {"sha256": "0" * 64, "phase": "before"})
    bench.send()

    content = sheet_content(job=bench.job)

    (pair,) = content["pairs"]
    assert [pair[one]["caption"] for one in ("before", "after")] == [
        "Before: dirty",
        "After: clean",
    ]
    assert [photo["caption"] for photo in content["photos"]] == [
        "Before: from the left",
        "Detail: pad",
    ]


def test_a_picture_that_answers_two_asks_is_shown_once(bench):
    bench.photograph("before", "dirty")
    bench.photograph("before", "dirty")
    bench.send()

    assert len(sheet_content(job=bench.job)["photos"]) == 1


def test_what_arrives_after_the_release_is_flagged(bench):
    bench.phone.tick(bench.job, "identify")
    bench.send()
    release(bench)
    bench.read("torque_run", "rear-axle", "left", 33, "N·m")
    bench.send()

    content = sheet_content(job=bench.job)

    assert [_plain(entry["what"]) for entry in content["late"]] == [
        "Torque run: rear axle, left 33 N·m"
    ]
    assert _rows(content)["Rear axle nuts"]["left"][0]["late"]


def test_a_bike_that_must_not_be_ridden_says_so_and_gives_no_riding_advice(bench):
    release(bench, mode="not-to-ride", reason="The steerer is cracked.")

    content = sheet_content(job=bench.job)

    assert content["not_to_ride"]
    assert content["warning"] == "The steerer is cracked."
    assert [caution["title"] for caution in content["cautions"]] == ["Battery", "What comes first"]


def test_a_disc_braked_bike_gets_the_note_on_bedding_in(bench):
    titles = [caution["title"] for caution in sheet_content(job=bench.job)["cautions"]]

    assert "Bed in the disc brakes before you rely on them" in titles
    assert "After the first ride" in titles


def test_an_open_job_has_no_final_sheet(bench):
    assert not sheet_content(job=bench.job)["final"]


def test_taking_a_release_back_makes_the_sheet_open_again(bench):
    release(bench)
    handover.take_back(job=bench.job, by=bench.otto, at=NOON, reason="")

    assert not sheet_content(job=bench.job)["final"]


def test_the_owner_is_nowhere_on_the_sheet(measured):
    measured.job.bike.frame_number = "FN-998877"
    measured.job.bike.save()

    told = json.dumps(sheet_content(job=measured.job))

    for secret in ("Jana", "Field", measured.job.customer.phone_typed, "FN-998877"):
        assert secret not in told
