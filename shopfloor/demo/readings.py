"""Readings of the demo that tell a story, in place of the good ones that the walk writes."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from shopfloor.demo.stand import Stand
from shopfloor.jobs.models import Job
from shopfloor.jobs.queries import state_of


def past_readings(stand: Stand, job: Job, visit: Mapping[str, Any], at: datetime) -> None:
    """What was read on that visit, in place of what the walk wrote."""
    _reread(stand, job, ("measure_chain", "chain"), at, value=visit["chain_pct"], unit="%")
    _reread(stand, job, ("measure_brakes", "front-pad"), at, value=visit["front_pad_mm"], unit="mm")
    torque = {"step": "final_torque", "phase": "found", "unit": "N·m"}
    if "loose" in visit:
        loose = {"item": visit["loose"], "value": None, "loose": True}
        stand.write(job, "reading", torque | loose, at)
    if "mark" in visit:
        mark = dict(visit["mark"])
        item = mark.pop("item")
        stand.write(job, "reading", torque | {"item": item, "value": 4.5, "mark": mark}, at)
    stand.send(at)


def _reread(
    stand: Stand, job: Job, place: tuple[str, str], at: datetime, kind: str = "reading", **read: Any
) -> None:
    """Write another value in place of what stands; `place` is a step and its item."""
    step, item = place
    heads = state_of(job)["places"].get(f"ask:{step}:{item}:found", [])
    stand.write(job, kind, {"step": step, "item": item, "phase": "found", **read}, at)
    stand.kept[-1]["supersedes"] = [head["id"] for head in heads]


def bad_reading(job: Job, stand: Stand, finding: Mapping[str, Any], at: datetime) -> None:
    """The reading behind a finding replaces the good one that the walk wrote."""
    step, item = str(finding.get("step") or ""), str(finding.get("item") or "")
    if not step:
        return
    asked = next(
        (
            ask
            for row in job.route
            if row["key"] == step
            for ask in row["asks"]
            if ask["item"] == item
        ),
        None,
    )
    if asked is None:
        raise RuntimeError(f"The route of {job.bike.words} has no {step}/{item}.")
    if asked["kind"] == "choice":
        worst = next(c for c in asked["choices"] if c.get("verdict") == "renew")
        _reread(stand, job, (step, item), at, kind="choice", value=worst["value"])
    else:
        value = round(float(asked["rule"]["renew"]) - 0.04, 2)
        _reread(stand, job, (step, item), at, value=value, unit=asked["unit"])
