"""The job's page, put together from its parts; a refused form stands in it as it was typed."""

from datetime import datetime
from typing import Any

from django.http import HttpResponse
from django.shortcuts import render
from django.utils.timezone import localtime

from shopfloor.approvals.preview import preview_offer
from shopfloor.approvals.services import Wanted
from shopfloor.bikes.services import marks_to_offer
from shopfloor.bikes.visits import visits_of
from shopfloor.desk import from_bench, queries
from shopfloor.desk.folded import Folded, read_job
from shopfloor.desk.forms import AnswerForm, FindingForm, PromiseForm
from shopfloor.desk.measured import measured
from shopfloor.handover.services import refusals_of
from shopfloor.jobs.models import Job
from shopfloor.jobs.words import service_in_words
from shopfloor.journal.permissions import (
    check_can_cancel,
    check_can_price,
    check_can_promise,
    check_can_release,
    permitted,
)
from shopfloor.workshop.access import DeskRequest

CLOSED = ("collected", "cancelled")


def job_response(
    request: DeskRequest,
    job: Job,
    *,
    at: datetime,
    findings: list[FindingForm] | None = None,
    answer: AnswerForm | None = None,
    promise: PromiseForm | None = None,
    problem: str = "",
) -> HttpResponse:
    """The whole page; 422 when one of its forms was refused."""
    folded = read_job(job)
    refused = [form for form in [*(findings or []), answer, promise] if form and form.errors]
    context = {
        "at": at,
        "problem": problem,
        "refused": refused,
        **_facts(folded, at),
        **_offering(folded, findings, at),
        "offers": _offers(job, answer),
        "promise_form": promise or PromiseForm(initial=_present_promise(job), at=at),
        "may": _may(request.user.role),
        **_bike(job),
        **_bench(folded),
    }
    status = 422 if refused or problem else 200
    return render(request, "desk/job.html", context, status=status)


def _bike(job: Job) -> dict[str, Any]:
    """What the bike remembers that this job can use; its own page has the rest."""
    times_here = job.bike.jobs.count()
    # The first visit has nothing to remember, and most visits are the first.
    visits = visits_of(job.bike) if times_here > 1 else []
    return {"times_here": times_here, "offered_marks": marks_to_offer(visits, job)}


def _may(role: str) -> dict[str, bool]:
    """What this person is offered at all; the services check again."""
    return {
        "price": permitted(check_can_price, role),
        "promise": permitted(check_can_promise, role),
        "cancel": permitted(check_can_cancel, role),
        "hand_back": permitted(check_can_release, role, mode="not-to-ride"),
    }


def _facts(folded: Folded, at: datetime) -> dict[str, Any]:
    job = folded.job
    return {
        "job": job,
        "shop": job.workshop,
        "service": service_in_words(job.service),
        "is_closed": job.place in CLOSED,
        "is_late": bool(
            job.promised_at and job.promised_at < at and job.place not in (*CLOSED, "ready")
        ),
        "go_ahead": queries.go_ahead(job),
        "promises": job.promises.select_related("made_by").order_by("-made_at"),
        "waits": queries.waits(job),
        "at_work": from_bench.at_work(folded),
        "stages": queries.stages(folded),
        "progress": folded.progress,
        "next_step": folded.names.steps.get(folded.progress["next_step"] or "", ""),
        "released": folded.state["released"],
        "refusals": [_with_step(folded, one) for one in refusals_of(job=job)],
        "parts_awaited": queries.parts_awaited(folded),
        "conflicts": queries.conflicts(folded),
    }


def _with_step(folded: Folded, refusal: Any) -> dict[str, str]:
    """A refusal and the title of the step it belongs to, unless the sentence names it already."""
    title = folded.names.steps.get(refusal["step"] or "", "")
    return {"message": refusal["message"], "step": "" if title in refusal["message"] else title}


def finding_forms(
    folded: Folded, data: Any | None = None
) -> list[tuple[dict[str, Any], FindingForm]]:
    """Each open finding with its form, filled in from the bench or from what was posted."""
    shop = folded.job.workshop
    return [
        (
            row,
            FindingForm(
                data,
                shop=shop,
                finding=row["finding"],
                photo=row["photos"][0]["sha256"] if row["photos"] else "",
            ),
        )
        for row in from_bench.open_findings(folded)
    ]


def _offering(folded: Folded, refused: list[FindingForm] | None, at: datetime) -> dict[str, Any]:
    rows = finding_forms(folded)
    if refused:
        typed = {form.finding["id"]: form for form in refused}
        rows = [(row, typed.get(row["finding"]["id"], form)) for row, form in rows]
    wanted = [_as_found(form) for _, form in rows]
    return {
        "findings": rows,
        "preview": preview_offer(job=folded.job, wanted=wanted, at=at),
        "unpriced": sum(p.get("price_minor") is None for one in wanted for p in one.parts),
    }


def _as_found(form: FindingForm) -> Wanted:
    body = form.finding["body"]
    return Wanted(
        finding=form.finding["id"],
        title=body["title"],
        reason=body["reason"],
        minutes=int(body["minutes"]),
        parts=body.get("parts") or [],
        safety=bool(body.get("safety")),
    )


def _offers(job: Job, answer: AnswerForm | None) -> list[dict[str, Any]]:
    rows = queries.offers(job)
    for row in rows:
        own = answer and answer.prefix == str(row["offer"].id)
        row["form"] = answer if own else AnswerForm(offer=row["offer"])
    return rows


def _present_promise(job: Job) -> dict[str, Any]:
    if job.promised_at is None:
        return {}
    local = localtime(job.promised_at)
    return {"on": local.date(), "time": local.time()}


def _bench(folded: Folded) -> dict[str, Any]:
    return {
        "readings": measured(folded),
        "notes": from_bench.notes(folded),
        "photos": from_bench.photos(folded),
        "journal": queries.journal(folded),
    }
