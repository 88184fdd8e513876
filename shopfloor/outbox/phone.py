"""
Whether a number somebody typed can get a text, and how it is kept.

Unusual is not wrong: only what cannot be a number at all is refused.
"""

from typing import Final, NamedTuple

import phonenumbers
from phonenumbers import PhoneNumber, PhoneNumberType, ValidationResult

from shopfloor.words import gettext as _

TAKES_TEXTS: Final = (PhoneNumberType.MOBILE, PhoneNumberType.FIXED_LINE_OR_MOBILE)


class PhoneDecision(NamedTuple):
    """accept, warn or reject; the number in E.164; a sentence for the person who typed it."""

    decision: str
    e164: str | None
    sentence: str


def decide_phone(text: str, region: str) -> PhoneDecision:
    """
    text    as typed, in whatever form
    region  the shop's country, for numbers without a country code

    Rejected is what cannot be read or has an impossible length; a landline, an extension or a
    number the tables do not know is kept with a warning.
    """
    number = read_number(text, region)
    if number is None or not _is_possible(number):
        return PhoneDecision(
            "reject",
            None,
            _("“{text}” is no complete telephone number: check the digits.").format(
                text=text.strip()
            ),
        )
    e164 = phonenumbers.format_number(number, phonenumbers.PhoneNumberFormat.E164)
    if number.extension:
        return PhoneDecision(
            "warn", e164, _("Texts do not reach an extension: ask for a mobile number as well.")
        )
    if not phonenumbers.is_valid_number(number):
        return PhoneDecision(
            "warn", e164, _("This number is not known to be in use: read it back to the customer.")
        )
    if phonenumbers.number_type(number) not in TAKES_TEXTS:
        return PhoneDecision(
            "warn", e164, _("This does not look like a mobile: a text may not arrive.")
        )
    return PhoneDecision("accept", e164, "")


def read_number(text: str, region: str) -> PhoneNumber | None:
    """The number as the tables read it, or None."""
    try:
        return phonenumbers.parse(text, region.upper())
    except phonenumbers.NumberParseException:
        return None


def _is_possible(number: PhoneNumber) -> bool:
    reason = phonenumbers.is_possible_number_with_reason(number)
    return bool(reason == ValidationResult.IS_POSSIBLE)


def number_kind(number: PhoneNumber) -> tuple[bool, str]:
    """Whether the tables call a number valid, and of which type; changes with their version."""
    kind = PhoneNumberType.to_string(phonenumbers.number_type(number))
    return phonenumbers.is_valid_number(number), str(kind)
