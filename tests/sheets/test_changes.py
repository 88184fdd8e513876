"""What is another in a new version is named, part by part."""

import copy

import pytest

from shopfloor.sheets.changes import changes
from shopfloor.sheets.content import sheet_content


@pytest.fixture
def content(measured):
    measured.answer("Bell", "no", safety=False)
    measured.phone.write(measured.job, "note", {"text": "Rack rattles."})
    measured.send()
    return sheet_content(job=measured.job)


def _altered(content, alter):
    after = copy.deepcopy(content)
    alter(after)
    return [sentence.replace("\u00a0", " ") for sentence in changes(content, after)]


def test_a_value_is_named_with_what_it_was(content):
    def alter(after):
        after["measured"][1]["rows"][0]["left"][0]["shown"] = "6 N·m"

    assert _altered(content, alter) == [
        "Changed: Stem faceplate bolts: found loose, left at 6 N·m, sound"
        " (was found loose, left at 5.5 N·m, sound)."
    ]


def test_what_came_and_what_went_is_named(content):
    def alter(after):
        after["declined"].clear()
        after["notes"].append({"text": "Rack bolt glued."})

    assert _altered(content, alter) == [
        "No longer on the sheet: Bell.",
        "New: Note: Rack bolt glued.",
    ]


def test_a_bike_that_must_not_be_ridden_any_more_says_so_first(content):
    def alter(after):
        after["not_to_ride"] = True
        after["job"]["total"] = "£12.00"

    first, second = _altered(content, alter)

    assert first == "Now released as: Do not ride this bike."
    assert second == "New: With added work: £12.00."


def test_what_no_list_names_is_not_silent(content):
    def alter(after):
        after["cautions"].clear()

    assert _altered(content, alter) == ["Details of the record."]
