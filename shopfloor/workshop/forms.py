"""What a manager can change about the workshop, and the sentences for what cannot be read."""

from collections.abc import Iterator
from typing import Any
from zoneinfo import available_timezones

from django import forms
from django.contrib.auth.password_validation import validate_password
from django.utils.translation import gettext_lazy as _

from shopfloor.planning.bank_holidays import REGIONS
from shopfloor.planning.opening import DAYS
from shopfloor.trade.route import SERVICES
from shopfloor.workshop.fields import HoursField, PercentField, PlainForm, money_field
from shopfloor.workshop.models import (
    INSTRUMENT_KINDS,
    Device,
    DeviceKind,
    Instrument,
    Role,
    Workshop,
)

DAY_NAMES = (
    _("Monday"),
    _("Tuesday"),
    _("Wednesday"),
    _("Thursday"),
    _("Friday"),
    _("Saturday"),
    _("Sunday"),
)
PARTICULARS = (
    "name",
    "phone",
    "email",
    "address",
    "region",
    "timezone",
    "quiet_start",
    "quiet_end",
    "labour_rate_minor",
    "vat_rate_bp",
)
DAY_INPUT = {"type": "date"}
CLOCK_INPUT = {"type": "time"}


def _zones() -> list[tuple[str, str]]:
    return [(zone, zone.replace("_", " ")) for zone in sorted(available_timezones()) if "/" in zone]


def _regions() -> list[tuple[str, str]]:
    return sorted((key, str(_(name))) for key, name in REGIONS.items())


def _new_password() -> forms.PasswordInput:
    return forms.PasswordInput(attrs={"autocomplete": "new-password"})


class SettingsForm(PlainForm):
    """Particulars, hours and prices. Raises nothing; errors stand beside the fields."""

    name = forms.CharField(label=_("Name of the workshop"), max_length=80)
    phone = forms.CharField(label=_("Telephone"), max_length=32, required=False)
    email = forms.EmailField(label=_("Email"), required=False)
    address = forms.CharField(label=_("Address"), max_length=200, required=False)
    region = forms.ChoiceField(label=_("Bank holidays of"), choices=_regions)
    timezone = forms.ChoiceField(label=_("Time zone"), choices=_zones)
    quiet_start = forms.TimeField(
        label=_("Texts to customers from"),
        widget=forms.TimeInput(attrs=CLOCK_INPUT, format="%H:%M"),
    )
    quiet_end = forms.TimeField(
        label=_("until"), widget=forms.TimeInput(attrs=CLOCK_INPUT, format="%H:%M")
    )
    vat_rate_bp = PercentField(label=_("VAT"))

    def __init__(self, data: Any = None, *, shop: Workshop) -> None:
        super().__init__(data, initial=_present(shop))
        self.fields["labour_rate_minor"] = money_field(
            shop, label=_("One hour of labour, before VAT")
        )
        for key, name in SERVICES.items():
            self.fields[f"price_{key}"] = money_field(shop, label=_(name))
        for day, title in zip(DAYS, DAY_NAMES, strict=True):
            self.fields[f"hours_{day}"] = HoursField(label=title, required=False)

    def hour_fields(self) -> Iterator[forms.BoundField]:
        return (self[f"hours_{day}"] for day in DAYS)

    def price_fields(self) -> Iterator[forms.BoundField]:
        return (self[f"price_{key}"] for key in SERVICES)

    def clean_quiet_end(self) -> Any:
        start, end = self.cleaned_data.get("quiet_start"), self.cleaned_data["quiet_end"]
        if start and end <= start:
            raise forms.ValidationError(_("The evening hour must be later than the morning hour."))
        return end

    def clean(self) -> dict[str, Any]:
        found = super().clean() or {}
        hours = [found.get(f"hours_{day}", ["unreadable"]) for day in DAYS]
        if not any(hours):
            self.add_error(None, _("Open on at least one day: nothing can be promised otherwise."))
        return found

    def facts(self) -> dict[str, Any]:
        prices = {key: self.cleaned_data[f"price_{key}"] for key in SERVICES}
        kept = {field: self.cleaned_data[field] for field in PARTICULARS}
        return kept | {"service_prices": prices}

    def hours(self) -> dict[str, Any]:
        return {day: self.cleaned_data[f"hours_{day}"] for day in DAYS}


def _present(shop: Workshop) -> dict[str, Any]:
    facts = {field: getattr(shop, field) for field in PARTICULARS}
    prices = {f"price_{key}": shop.service_prices.get(key, 0) for key in SERVICES}
    return facts | prices | {f"hours_{day}": shop.weekly_hours.get(day, []) for day in DAYS}


class ClosureForm(PlainForm):
    """A day with other hours than usual, or none."""

    on = forms.DateField(label=_("Day"), widget=forms.DateInput(attrs=DAY_INPUT, format="%Y-%m-%d"))
    reason = forms.CharField(label=_("Why"), max_length=80)
    hours = HoursField(
        label=_("Open at"), required=False, help_text=_("Leave it empty for a day that is closed.")
    )


class PersonForm(PlainForm):
    """Somebody new."""

    name = forms.CharField(label=_("Name"), max_length=60)
    username = forms.SlugField(
        label=_("Name to sign in with"), max_length=40, help_text=_("Letters, digits, hyphens.")
    )
    role = forms.ChoiceField(label=_("Works as"), choices=Role.choices)
    password = forms.CharField(
        label=_("First password"),
        widget=_new_password(),
        validators=[validate_password],
        help_text=_("At least 10 characters."),
    )


class PasswordForm(PlainForm):
    """A new password for somebody who forgot the old one."""

    password = forms.CharField(
        label=_("New password"), widget=_new_password(), validators=[validate_password]
    )


class InstrumentForm(PlainForm):
    """A torque wrench, gauge or ruler."""

    name = forms.CharField(label=_("Name"), max_length=60)
    kind = forms.ChoiceField(label=_("Kind"), choices=INSTRUMENT_KINDS)
    unit = forms.ChoiceField(
        label=_("Reads in"),
        choices=[(u, u) for u in ("N·m", "lbf·in", "lbf·ft", "kgf·cm", "mm", "%", "bar")],
    )
    range_min = forms.FloatField(label=_("From"), required=False, min_value=0)
    range_max = forms.FloatField(label=_("to"), required=False, min_value=0)
    class_pct = forms.FloatField(
        label=_("Accuracy, ± %"), required=False, min_value=0.1, max_value=50
    )
    resolution = forms.FloatField(label=_("Smallest step"), required=False, min_value=0)
    calibrated_on = forms.DateField(
        label=_("Last calibrated on"),
        required=False,
        widget=forms.DateInput(attrs=DAY_INPUT, format="%Y-%m-%d"),
    )
    due_on = forms.DateField(
        label=_("Calibrate again by"),
        help_text=_("Left empty, a torque wrench is due after 12 months or 5000 uses."),
        required=False,
        widget=forms.DateInput(attrs=DAY_INPUT, format="%Y-%m-%d"),
    )

    def clean(self) -> dict[str, Any]:
        found = super().clean() or {}
        low, high = found.get("range_min"), found.get("range_max")
        if low is not None and high is not None and low >= high:
            self.add_error(
                "range_max", _("The upper end of the range must be above the lower one.")
            )
        done, due = found.get("calibrated_on"), found.get("due_on")
        if done and due and due < done:
            self.add_error("due_on", _("It cannot be due before it was calibrated."))
        return found

    @classmethod
    def of(cls, instrument: Instrument) -> "InstrumentForm":
        """The form filled in with an instrument, its fields told apart from the others'."""
        facts = {field: getattr(instrument, field) for field in cls.base_fields}
        return cls(initial=facts, prefix=str(instrument.id)[:8])


class PhoneField(forms.ModelChoiceField):  # type: ignore[type-arg]  # not subscriptable as it runs
    """One of the shop's phones, by its name."""

    def label_from_instance(self, phone: Device) -> str:
        return phone.name

    def to_python(self, value: Any) -> Any:
        try:
            return super().to_python(value)
        except forms.ValidationError as error:
            # An id that is none has another sentence of its own, which speaks of UUIDs.
            raise forms.ValidationError(self.error_messages["invalid_choice"]) from error


class AddPhoneForm(PlainForm):
    """A phone that is to join; its code is shown next."""

    name = forms.CharField(
        label=_("What the phone is called"),
        max_length=60,
        help_text=_("As people in the shop would say it: Stand 1, the grey phone."),
    )

    def __init__(self, *args: Any, shop: Workshop, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        phones = shop.devices.filter(kind=DeviceKind.PHONE, written_off_at=None)
        self.fields["replaces"] = PhoneField(
            phones.order_by("revoked_at", "name"),
            label=_("It takes the place of"),
            required=False,
            empty_label=_("no other phone"),
            help_text=_("For a phone that is lost, broken or was wiped: it is signed out."),
            error_messages={"invalid_choice": _("Choose one of the list.")},
        )
