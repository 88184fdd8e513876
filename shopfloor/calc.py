"""
`python -m shopfloor calc`: answers calculations line by line, to check them from outside.

Reads {"id", "calc", "inputs"}, writes {"id", "result"} or {"id", "error"}; decides nothing itself.
"""

import json
from collections.abc import Callable, Iterable, Mapping
from datetime import UTC, date, datetime, time
from fractions import Fraction
from typing import Any, Final, TextIO

from shopfloor.outbox import phone, segments
from shopfloor.planning import bank_holidays, quiet
from shopfloor.planning.opening import Calendar, HorizonExceeded
from shopfloor.planning.turnaround import Wait, turnaround
from shopfloor.trade import braking, chain, estimate, graph, route, torque, units

Inputs = Mapping[str, Any]
Calculation = Callable[[Inputs], Any]

KIND_OF_BIKE: Final = {
    "road": "road",
    "mtb": "mtb",
    "hub": "city",
    "city": "city",
    "ebike": "ebike",
}


def main(stdin: TextIO, stdout: TextIO) -> int:
    """Answer every line of `stdin` on `stdout` as it comes; always 0."""
    lines: Iterable[bytes | str] = getattr(stdin, "buffer", stdin)
    for line in lines:
        text = line.decode("utf-8", "replace") if isinstance(line, bytes) else line
        if text.strip():
            stdout.write(answer(text) + "\n")
            stdout.flush()
    return 0


def answer(line: str) -> str:
    """One line of answer to one line of question; a bad one gets an error."""
    try:
        question = json.loads(line)
    except (ValueError, RecursionError) as unreadable:
        return _error(None, f"not JSON: {unreadable}")
    if not isinstance(question, dict):
        return _error(None, 'not a question: write {"id", "calc", "inputs"}')
    name = question.get("id")
    calculation = CALCULATIONS.get(str(question.get("calc")))
    if calculation is None:
        return _error(name, f"unknown calc {question.get('calc')}")
    try:
        result = calculation(question.get("inputs") or {})
        return json.dumps({"id": name, "result": result}, allow_nan=False)
    # Whatever a stranger's line breaks, the lines after it still get their answers.
    except Exception as wrong:
        return _error(name, _sentence(wrong))


def _sentence(wrong: Exception) -> str:
    if isinstance(wrong, HorizonExceeded):
        return f"no_opening: {wrong}"
    if isinstance(wrong, KeyError):
        return f"unknown or missing: {wrong.args[0]}"
    if isinstance(wrong, TypeError | AttributeError):
        return f"an input is of the wrong type: {wrong}"
    return str(wrong) or type(wrong).__name__


def _error(name: Any, message: str) -> str:
    return json.dumps({"id": name, "error": message})


def _uncertainty(given: Inputs) -> float:
    """A standard uncertainty under whichever unit it is named."""
    names = (key for key in given if "uncertainty" in key or key.startswith("u_"))
    return next((float(given[name]) for name in names), 0.0)


def _lever(given: Inputs) -> dict[str, float]:
    return {
        "wrench_length": given["wrench_length"],
        "extension": given["extension"],
        "angle_deg": given.get("angle_deg", 0.0),
    }


def _instant(text: str) -> datetime:
    at = datetime.fromisoformat(text)
    if at.tzinfo is None:
        raise ValueError(f"{text} has no offset: write it as 2026-03-02T10:00+00:00")
    return at


def _words(at: datetime) -> str:
    return at.isoformat(timespec="auto" if at.second or at.microsecond else "minutes")


def _calendar(given: Inputs) -> Calendar:
    told = given["calendar"]
    overrides = told.get("overrides", {})
    return Calendar(
        tz=told["tz"],
        weekly=told["weekly"],
        closed=frozenset(date.fromisoformat(day) for day in told.get("closed", ())),
        overrides={date.fromisoformat(day): spans for day, spans in overrides.items()},
        blocked=[(_instant(start), _instant(end)) for start, end in told.get("blocked", ())],
    )


def _turnaround(given: Inputs) -> Any:
    waits = [
        Wait(wait["kind"], _instant(wait["start"]), _instant(wait["end"]))
        for wait in given.get("waits", ())
    ]
    return turnaround(
        _calendar(given),
        received=_instant(given["received"]),
        ready=_instant(given["ready"]),
        waits=waits,
    )._asdict()


def _order_violations(given: Inputs) -> Any:
    edges = given.get("edges")
    pairs = (
        [(before, after) for before, after in edges]
        if edges is not None
        else route.catalogue_edges({"kind": KIND_OF_BIKE[given["bike"]]})
    )
    return route.order_violations(given["order"], pairs)


def _phone_number(given: Inputs) -> Any:
    decision = phone.decide_phone(given["text"], given["default_region"])
    result: dict[str, Any] = {"decision": decision.decision, "e164": decision.e164}
    number = phone.read_number(given["text"], given["default_region"])
    if number is not None:
        valid, kind = phone.number_kind(number)
        result["metadata_dependent"] = {"valid": valid, "type": kind}
    return result


def _earliest_send(given: Inputs) -> Any:
    send_at = quiet.earliest_send(
        _instant(given["now"]),
        tz=given["tz"],
        start=time.fromisoformat(given["start"]),
        end=time.fromisoformat(given["end"]),
        closed_weekdays=given.get("closed_weekdays", ()),
        closed_dates={date.fromisoformat(day) for day in given.get("closed_dates", ())},
    )
    return {"send_at": send_at.astimezone(UTC).isoformat().replace("+00:00", "Z")}


CALCULATIONS: Final[Mapping[str, Calculation]] = {
    "chain-elongation": lambda given: chain.elongation_percent(
        length_mm=given["length_mm"], pitches=given["pitches"]
    ),
    "chain-elongation-by-ruler": lambda given: chain.elongation_by_ruler(
        excess_in=float(Fraction(str(given["excess_in"]))),
        nominal_in=float(Fraction(str(given["nominal_in"]))),
    ),
    "chain-elongation-uncertainty": lambda given: chain.elongation_uncertainty(
        reading_std_mm=given["reading_std_mm"],
        pitches=given["pitches"],
        ends=given.get("ends", 2),
    ),
    "chain-gauge-bias": lambda given: chain.gauge_bias(
        clearance_mm=given["clearance_mm"], pitches=given["pitches"]
    ),
    "chain-verdict": lambda given: (
        chain.judge_chain(
            elongation_pct=given["elongation_pct"],
            sprockets=given["sprockets"],
            uncertainty_pct=_uncertainty(given),
        ).verdict
    ),
    "torque-convert": lambda given: units.convert_torque(
        given["value"], unit=given["from"], to=given["to"]
    ),
    "torque-wrench-setting": lambda given: torque.wrench_setting(
        wanted=given["wanted"], **_lever(given)
    ),
    "torque-at-fastener": lambda given: torque.torque_at_fastener(
        setting=given["setting"], **_lever(given)
    ),
    "torque-wrench-permissible-deviation": lambda given: torque.permissible_deviation(
        given["setting_nm"]
    ),
    "torque-wrench-in-range": lambda given: torque.is_in_range(
        needed_nm=given["needed_nm"], max_nm=given["max_nm"], min_nm=given.get("min_nm")
    ),
    "torque-wrench-calibration": lambda given: torque.calibration_state(
        last_calibrated_on=date.fromisoformat(given["last_calibrated_on"]),
        on=date.fromisoformat(given["on"]),
        cycles_since=given.get("cycles_since", 0),
    ),
    "torque-limit-of-clamped-parts": lambda given: torque.limit_of_clamped_parts(
        given["limits_nm"]
    ),
    "acceptance-limits": lambda given: torque.acceptance_limits(
        lower=given["lower"],
        upper=given["upper"],
        standard_uncertainty=given["standard_uncertainty"],
        guard_factor=given.get("guard_factor", 2.0),
    ),
    "conformance-probability": lambda given: torque.conformance_probability(
        reading=given["reading"],
        standard_uncertainty=given["standard_uncertainty"],
        lower=given.get("lower"),
        upper=given.get("upper"),
    ),
    "rotor-verdict": lambda given: (
        braking.judge_rotor(
            thickness_mm=given["thickness_mm"],
            minimum_mm=given.get("minimum_mm"),
            uncertainty_mm=_uncertainty(given),
        ).verdict
    ),
    "brake-pad-verdict": lambda given: (
        braking.judge_pad(
            friction_mm=given["friction_mm"],
            kind=given.get("kind", "disc"),
            uncertainty_mm=_uncertainty(given),
        ).verdict
    ),
    "rim-wall-verdict": lambda given: (
        braking.judge_rim_wall(wall_mm=given["wall_mm"], uncertainty_mm=_uncertainty(given)).verdict
    ),
    "pressure-convert": lambda given: units.convert_pressure(
        given["value"], unit=given["from"], to=given["to"]
    ),
    "pert": lambda given: estimate.pert(given["steps"])._asdict(),
    "critical-path": lambda given: graph.longest_path(
        given["minutes"], [(before, after) for before, after in given["edges"]]
    )._asdict(),
    "route-order-violations": _order_violations,
    "route-without-step": lambda given: graph.without(
        [(before, after) for before, after in given["edges"]], given["remove"]
    ),
    "is-holiday": lambda given: bank_holidays.is_bank_holiday(
        given["region"], date.fromisoformat(given["date"])
    ),
    "open-time-add": lambda given: _words(
        _calendar(given).open_time_add(_instant(given["at"]), given["open_minutes"])
    ),
    "open-time-between": lambda given: _calendar(given).open_time_between(
        _instant(given["at"]), _instant(given["until"])
    ),
    "next-opening": lambda given: _words(_calendar(given).next_opening(_instant(given["at"]))),
    "turnaround": _turnaround,
    "sms-segments": lambda given: segments.sms_segments(given["text"])._asdict(),
    "sms-link": lambda given: segments.sms_link(given["to"], given["body"])._asdict(),
    "phone-number": _phone_number,
    "earliest-send": _earliest_send,
}
