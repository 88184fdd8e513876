"""
Who may do what, by role and by the place of the job?

Each check raises NotAllowed with a sentence; ask permitted() where a yes or no is needed.
"""

from collections.abc import Callable
from typing import ParamSpec

from shopfloor.words import gettext as _

MANAGER, MECHANIC = "manager", "mechanic"
ROLES = (MANAGER, MECHANIC)

P = ParamSpec("P")


class NotAllowed(Exception):
    """This person may not do this here and now; the message says who may."""


def permitted(check: Callable[P, None], *args: P.args, **kwargs: P.kwargs) -> bool:
    """Whether a check would let it pass."""
    try:
        check(*args, **kwargs)
    except NotAllowed:
        return False
    return True


def check_can_work(role: str) -> None:
    """Write entries at the bench."""
    _check_member(role)


def check_can_take_in(role: str) -> None:
    """Open a job for a bike."""
    _check_member(role)


def check_can_release(role: str, place: str | None = None, *, mode: str = "safe") -> None:
    """Declare a bike ready; a bike that must not be ridden is the manager's to hand back."""
    _check_member(role)
    if mode == "not-to-ride":
        _check_manager(role, _("hand back a bike that must not be ridden"))
    if place in ("collected", "cancelled"):
        raise NotAllowed(_("This job is closed; nothing can be released on it."))


def check_can_take_back(role: str, place: str | None = None) -> None:
    """Undo a release."""
    _check_member(role)
    if place not in (None, "ready"):
        raise NotAllowed(_("Only a bike that is ready and not collected can be taken back."))


def check_can_collect(role: str, place: str | None = None) -> None:
    """Hand the bike to its owner."""
    _check_member(role)
    if place not in (None, "ready"):
        raise NotAllowed(_("Only a bike that is ready can be collected. Release it first."))


def check_can_cancel(role: str, place: str | None = None) -> None:
    """Give up a job."""
    _check_manager(role, _("cancel a job"))
    if place in ("collected", "cancelled"):
        raise NotAllowed(_("This job is closed already."))


def check_can_price(role: str) -> None:
    """Put prices on findings and send an offer, or take it back."""
    _check_manager(role, _("price work and ask the customer"))


def check_can_answer(role: str) -> None:
    """Write down what the customer said on the telephone or at the counter."""
    _check_member(role)


def check_can_promise(role: str, place: str | None = None) -> None:
    """Tell a customer another ready day."""
    _check_manager(role, _("change a promise"))
    if place in ("ready", "collected", "cancelled"):
        raise NotAllowed(_("This bike is ready or gone; there is no day to promise any more."))


def check_can_redact(role: str) -> None:
    """Blank the words or the photo of an entry for good."""
    _check_manager(role, _("redact an entry"))


def check_can_enrol(role: str, *, own: bool = True) -> None:
    """Put a phone to the bench: one's own, or as the manager somebody else's."""
    _check_member(role)
    if not own:
        _check_manager(role, _("enrol or revoke the phone of another person"))


def check_can_set_up(role: str) -> None:
    """Change the workshop itself: hours, people, rates, instruments."""
    _check_manager(role, _("change the workshop's settings"))


def check_can_export(role: str) -> None:
    """Export or erase a customer's data."""
    _check_manager(role, _("export or erase a customer's data"))


def _check_member(role: str) -> None:
    if role not in ROLES:
        raise NotAllowed(_("Only people of this workshop may do this. Ask the manager for access."))


def _check_manager(role: str, what: str) -> None:
    _check_member(role)
    if role != MANAGER:
        raise NotAllowed(_("Only a manager may {what}. Ask one to do it.").format(what=what))
