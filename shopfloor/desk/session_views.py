"""Signing in and out, and where the front door leads."""

from django.contrib.auth import authenticate, login, logout
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render, resolve_url
from django.utils import timezone
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from shopfloor.desk.forms import SignInForm
from shopfloor.words import gettext as _
from shopfloor.workshop import services as workshops
from shopfloor.workshop.models import Person


@require_safe
def home(request: HttpRequest) -> HttpResponse:
    """The board is where a day at the desk starts."""
    return redirect("board")


@require_http_methods(["GET", "HEAD", "POST"])
@sensitive_post_parameters("password")
@never_cache
def sign_in(request: HttpRequest) -> HttpResponse:
    """One page, one sentence when it does not work, the name kept."""
    goal = _goal(request)
    if request.user.is_authenticated:
        return redirect(goal)
    form = SignInForm(request.POST if request.method == "POST" else None)
    if form.is_valid():
        person = _person(request, form)
        if person is not None:
            login(request, person)
            return redirect(goal)
    status = 422 if form.errors else 200
    return render(request, "desk/sign_in.html", {"form": form, "next": goal}, status=status)


def _person(request: HttpRequest, form: SignInForm) -> Person | None:
    """Who signs in with what was typed; otherwise the form says why not."""
    name, at = form.cleaned_data["username"], timezone.now()
    try:
        workshops.check_may_try(username=name, at=at)
    except workshops.TooManyTries as error:
        form.add_error(None, str(error))
        return None
    person = authenticate(request, **form.cleaned_data)
    if not isinstance(person, Person):
        workshops.note_wrong_password(username=name, at=at)
        form.add_error(None, _("Name and password do not go together. Check both and try again."))
        return None
    workshops.note_signed_in(person=person)
    return person


@require_POST
def sign_out(request: HttpRequest) -> HttpResponse:
    logout(request)
    return redirect("sign-in")


def _goal(request: HttpRequest) -> str:
    """Where the person wanted to go, if that is one of our own pages."""
    wanted = request.POST.get("next") or request.GET.get("next") or ""
    is_ours = url_has_allowed_host_and_scheme(
        wanted, allowed_hosts={request.get_host()}, require_https=request.is_secure()
    )
    return wanted if is_ours else resolve_url("board")
