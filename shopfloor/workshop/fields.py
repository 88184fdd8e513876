"""Form fields that read what people write: money, percent, hours."""

import re
from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from django import forms
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy

from shopfloor.words import gettext as _
from shopfloor.workshop.currency import places_of
from shopfloor.workshop.models import Workshop
from shopfloor.workshop.services import HoursNotClear, read_hours

# Above any bill of a workshop, below what a 32-bit column holds.
MAX_MINOR = 100_000_000
_AMOUNT = re.compile(r"[0-9]{1,9}(\.[0-9]{1,3})?")
_THOUSANDS = re.compile(r"[0-9]{1,3}(,[0-9]{3})+(\.[0-9]{1,3})?")


class MoneyField(forms.CharField):
    """An amount as people write it, as whole minor units; an empty text is None."""

    def __init__(self, *, currency: str = "GBP", **kwargs: Any) -> None:
        kwargs.setdefault("widget", forms.TextInput(attrs={"inputmode": "decimal"}))
        super().__init__(**kwargs)
        self.places = places_of(currency)

    def to_python(self, value: Any) -> Any:
        text = str(value or "").strip().replace(" ", "").lstrip("£€$")
        if not text:
            return None
        plain = text.replace(",", "" if _THOUSANDS.fullmatch(text) else ".")
        amount = Decimal(plain) if _AMOUNT.fullmatch(plain) else None
        minor = amount.scaleb(self.places) if amount is not None else None
        if minor is None or minor != int(minor) or minor > MAX_MINOR:
            raise forms.ValidationError(
                _("“{value}” is not an amount we can read. Write it like {example}.").format(
                    value=value, example=self._example()
                )
            )
        return int(minor)

    def prepare_value(self, value: Any) -> Any:
        if isinstance(value, int):
            return f"{Decimal(value).scaleb(-self.places):.{self.places}f}"
        return value

    def _example(self) -> str:
        return "25" if self.places == 0 else _("25 or 25.50")


class PercentField(forms.CharField):
    """A percentage as people write it, as hundredths of a percent."""

    def to_python(self, value: Any) -> Any:
        text = str(value or "").strip().rstrip("%").strip().replace(",", ".")
        is_number = re.fullmatch(r"[0-9]{1,2}(\.[0-9]{1,2})?", text)
        if text and not is_number:
            raise forms.ValidationError(
                _("“{value}” is not a percentage. Write it like 20 or 5.5.").format(value=value)
            )
        return int(Decimal(text) * 100) if text else None

    def prepare_value(self, value: Any) -> Any:
        if isinstance(value, int):
            return f"{Decimal(value) / 100:.2f}".rstrip("0").rstrip(".")
        return value


class HoursField(forms.CharField):
    """Opening hours of one day as '09:00-13:00, 13:30-17:30'; an empty text is a closed day."""

    def to_python(self, value: Any) -> Any:
        try:
            return read_hours(str(value or ""))
        except HoursNotClear as error:
            raise forms.ValidationError(str(error)) from error

    def prepare_value(self, value: Any) -> Any:
        if isinstance(value, list):
            return ", ".join(f"{start}-{end}" for start, end in value)
        return value


# Django's own sentences, said as the rest of the desk speaks.
PLAIN_WORDS = {
    "required": gettext_lazy("Fill this in."),
    "invalid_choice": gettext_lazy("Choose one of the list."),
    "max_length": gettext_lazy("Write at most %(limit_value)d letters; there are %(show_value)d."),
    "min_value": gettext_lazy("Write %(limit_value)s or more."),
    "max_value": gettext_lazy("Write %(limit_value)s or less."),
}
PLAIN_SHAPES: Mapping[type[forms.Field], Promise] = {
    forms.DateField: gettext_lazy("Write the day like 2026-12-24."),
    forms.TimeField: gettext_lazy("Write the time like 16:30."),
    forms.EmailField: gettext_lazy("Write the address like name@example.org."),
    forms.SlugField: gettext_lazy("Use letters, digits and hyphens only."),
    forms.IntegerField: gettext_lazy("Write a whole number."),
    forms.FloatField: gettext_lazy("Write a number."),
}


class PlainForm(forms.Form):
    """A form that says what to do; a field's own sentence goes before the common one."""

    def full_clean(self) -> None:
        for field in self.fields.values():
            shape = PLAIN_SHAPES.get(type(field))
            words: dict[str, Any] = PLAIN_WORDS | ({"invalid": shape} if shape else {})
            for code, sentence in words.items():
                if field.error_messages.get(code) == _usual(field).get(code):
                    field.error_messages[code] = sentence
        super().full_clean()


def _usual(field: forms.Field) -> dict[str, Any]:
    usual: dict[str, Any] = {}
    for kind in reversed(type(field).__mro__):
        usual |= getattr(kind, "default_error_messages", {})
    return usual


def money_field(shop: Workshop, **kwargs: Any) -> MoneyField:
    """A money field in the shop's currency."""
    return MoneyField(currency=shop.currency, **kwargs)


def say_errors(form: forms.Form, errors: Mapping[str, str]) -> None:
    """Put a service's sentences beside the fields they speak about."""
    for field, sentence in errors.items():
        form.add_error(field if field in form.fields else None, sentence)
