"""The settings of the workshop: one page, and one small form for each thing that changes it."""

from datetime import date
from typing import Any, NamedTuple
from uuid import UUID

from django import forms
from django.contrib import messages
from django.contrib.auth import update_session_auth_hash
from django.db.models import F
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.formats import date_format
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_POST

from shopfloor.words import gettext as _
from shopfloor.workshop import instruments, services
from shopfloor.workshop.access import DeskRequest, for_managers
from shopfloor.workshop.forms import (
    ClosureForm,
    InstrumentForm,
    PasswordForm,
    PersonForm,
    SettingsForm,
)
from shopfloor.workshop.models import DeviceKind, Instrument, Person
from shopfloor.workshop.queries import holiday_names

HOLIDAYS_SHOWN = 8


@for_managers
@require_http_methods(["GET", "HEAD", "POST"])
def settings(request: DeskRequest) -> HttpResponse:
    if request.method != "POST":
        return _page(request)
    form = SettingsForm(request.POST, shop=request.user.workshop)
    if not form.is_valid():
        return _page(request, settings_form=form)
    services.save_settings(workshop=request.user.workshop, facts=form.facts(), hours=form.hours())
    return _done(request, _("The workshop's particulars are saved."))


@for_managers
@require_POST
def add_closure(request: DeskRequest) -> HttpResponse:
    form = ClosureForm(request.POST)
    if not form.is_valid():
        return _page(request, closure_form=form)
    services.close_on(workshop=request.user.workshop, **form.cleaned_data)
    day = date_format(form.cleaned_data["on"], "j F Y")
    return _done(request, _("{day} is noted.").format(day=day), "closures")


@for_managers
@require_POST
def reopen(request: DeskRequest, on: date) -> HttpResponse:
    services.open_again_on(workshop=request.user.workshop, on=on)
    sentence = _("{day} is a day like any other again.").format(day=date_format(on, "j F Y"))
    return _done(request, sentence, "closures")


@for_managers
@require_POST
@sensitive_post_parameters("password")
def add_person(request: DeskRequest) -> HttpResponse:
    form = PersonForm(request.POST)
    if form.is_valid():
        try:
            services.add_person(workshop=request.user.workshop, **form.cleaned_data)
        except services.UsernameTaken as error:
            form.add_error("username", str(error))
        else:
            name = form.cleaned_data["name"]
            return _done(request, _("{name} can sign in now.").format(name=name), "people")
    return _page(request, person_form=form)


@for_managers
@require_POST
@sensitive_post_parameters("password")
def change_person(request: DeskRequest, person_id: UUID) -> HttpResponse:
    """One of: let go, welcome back, a new password."""
    person = get_object_or_404(Person, workshop=request.user.workshop, id=person_id)
    if "password" in request.POST:
        return _change_password(request, person)
    if "back" in request.POST:
        services.welcome_back(person=person)
        sentence = _("{name} can sign in again.").format(name=person.name)
        return _done(request, sentence, "people")
    try:
        services.let_go(person=person, at=timezone.now())
    except services.LastManager as error:
        messages.error(request, str(error))
        return redirect("workshop")
    sentence = _("{name} cannot sign in any more, nor can phones signed in by them.")
    return _done(request, sentence.format(name=person.name), "people")


def _change_password(request: DeskRequest, person: Person) -> HttpResponse:
    form = PasswordForm(request.POST)
    if not form.is_valid():
        messages.error(request, f"{person.name}: {' '.join(map(str, form.errors['password']))}")
        return redirect("workshop")
    services.change_password(person=person, password=form.cleaned_data["password"])
    if person == request.user:
        update_session_auth_hash(request, person)
    return _done(request, _("{name} has a new password.").format(name=person.name), "people")


@for_managers
@require_POST
def add_instrument(request: DeskRequest) -> HttpResponse:
    form = InstrumentForm(request.POST)
    if not form.is_valid():
        return _page(request, instrument_form=form)
    instruments.add_instrument(workshop=request.user.workshop, **form.cleaned_data)
    sentence = _("{name} can be named in readings now.").format(name=form.cleaned_data["name"])
    return _done(request, sentence, "instruments")


@for_managers
@require_POST
def change_instrument(request: DeskRequest, instrument_id: UUID) -> HttpResponse:
    shop = request.user.workshop
    instrument = get_object_or_404(Instrument, workshop=shop, id=instrument_id)
    form = InstrumentForm(request.POST, prefix=str(instrument.id)[:8])
    if not form.is_valid():
        return _page(request, changed_instrument=(instrument, form))
    instruments.change_instrument(instrument=instrument, facts=form.cleaned_data)
    return _done(request, _("{name} is saved.").format(name=instrument.name), "instruments")


@for_managers
@require_POST
def retire_instrument(request: DeskRequest, instrument_id: UUID) -> HttpResponse:
    instrument = get_object_or_404(Instrument, workshop=request.user.workshop, id=instrument_id)
    if request.POST.get("back"):
        instruments.bring_back(instrument=instrument)
        sentence = _("{name} can be named in readings now.")
    else:
        instruments.retire_instrument(instrument=instrument, on=timezone.localdate())
        sentence = _("{name} is not offered at the stand any more.")
    return _done(request, sentence.format(name=instrument.name), "instruments")


def _done(request: DeskRequest, sentence: str, part: str = "") -> HttpResponse:
    messages.success(request, sentence)
    response = redirect("workshop")
    response["Location"] += f"#{part}" if part else ""
    return response


def _page(
    request: DeskRequest,
    *,
    changed_instrument: tuple[Instrument, InstrumentForm] | None = None,
    **bound: forms.Form,
) -> HttpResponse:
    """The whole page; a form that was refused stands in its place with what was typed."""
    shop = request.user.workshop
    context: dict[str, Any] = {
        "shop": shop,
        "settings_form": SettingsForm(shop=shop),
        "closure_form": ClosureForm(),
        "person_form": PersonForm(),
        "instrument_form": InstrumentForm(),
        "instruments": _instruments(request, changed_instrument),
        "people": shop.people.order_by("-is_active", "name"),
        "phones": shop.devices.filter(kind=DeviceKind.PHONE, revoked_at=None).count(),
        **_days(request),
        **bound,
    }
    refused = [*bound.values(), *([changed_instrument[1]] if changed_instrument else [])]
    context["form"] = refused[0] if refused else None
    return render(request, "workshop/settings.html", context, status=422 if refused else 200)


class ShownInstrument(NamedTuple):
    """An instrument, until when it may be trusted, and the form that changes it."""

    tool: Instrument
    due_on: date | None
    worn_out: bool
    overdue: bool
    form: InstrumentForm


def _instruments(
    request: DeskRequest, changed: tuple[Instrument, InstrumentForm] | None
) -> list[ShownInstrument]:
    today = timezone.localdate()
    rows = request.user.workshop.instruments.order_by(F("retired_on").asc(nulls_first=True), "name")
    return [
        ShownInstrument(
            tool=row,
            due_on=instruments.due_on(row),
            worn_out=instruments.is_worn_out(row),
            overdue=instruments.is_overdue(row, on=today),
            form=changed[1] if changed and changed[0] == row else InstrumentForm.of(row),
        )
        for row in rows
    ]


def _days(request: DeskRequest) -> dict[str, Any]:
    today = timezone.localdate()
    names = holiday_names(request.user.workshop, on=today)
    return {
        "today": today,
        "closures": request.user.workshop.closures.filter(on__gte=today).order_by("on"),
        "holidays": [(on, names[on]) for on in sorted(names) if on >= today][:HOLIDAYS_SHOWN],
    }
