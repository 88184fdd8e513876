"""Signing in and out, and where the front door leads."""

from django.contrib.auth import authenticate, login, logout
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render, resolve_url
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from shopfloor.desk.forms import SignInForm


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
        person = authenticate(request, **form.cleaned_data)
        if person is not None:
            login(request, person)
            return redirect(goal)
        form.add_error(None, "Name and password do not go together. Check both and try again.")
    status = 422 if form.errors else 200
    return render(request, "desk/sign_in.html", {"form": form, "next": goal}, status=status)


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
