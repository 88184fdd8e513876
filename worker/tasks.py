"""What the worker does: each task reads the clock and calls one service."""

from celery import shared_task
from django.utils import timezone

from shopfloor.jobs import folding, uploads
from shopfloor.outbox import services as outbox
from shopfloor.sheets import services as sheets


@shared_task
def write_due_messages() -> int:
    return outbox.write_due_messages(at=timezone.now())


@shared_task
def sweep_uploads() -> int:
    return uploads.sweep(at=timezone.now())


@shared_task
def fold_changed_jobs() -> int:
    return folding.fold_changed(wait=False)


@shared_task
def sign_changed_sheets() -> int:
    return sheets.keep_changed(at=timezone.now())
