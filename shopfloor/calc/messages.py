"""Calculations of texts and telephone numbers, by the names of their cases."""

from collections.abc import Mapping
from typing import Any, Final

from shopfloor.outbox import phone, segments

Inputs = Mapping[str, Any]


def _phone_number(given: Inputs) -> Any:
    decision = phone.decide_phone(given["text"], given["default_region"])
    result: dict[str, Any] = {"decision": decision.decision, "e164": decision.e164}
    number = phone.read_number(given["text"], given["default_region"])
    if number is not None:
        valid, kind = phone.number_kind(number)
        result["metadata_dependent"] = {"valid": valid, "type": kind}
    return result


MESSAGES: Final = {
    "sms-segments": lambda given: segments.sms_segments(given["text"])._asdict(),
    "sms-link": lambda given: segments.sms_link(given["to"], given["body"])._asdict(),
    "phone-number": _phone_number,
}
