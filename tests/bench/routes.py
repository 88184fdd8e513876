"""What a route costs: composing it at the desk and on a phone, and letting agreed work join it."""

import gzip
import itertools
import json
import statistics
import time
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Any
from uuid import UUID

from shopfloor.trade.added_work import steps_for, tasks
from shopfloor.trade.catalogue import catalogue
from shopfloor.trade.fields import KINDS
from shopfloor.trade.route import SERVICES, compose, merge
from shopfloor.trade.tables import Row, table
from shopfloor.trade.traits import usual_traits
from tests.bench.figures import Figures, p95
from tests.bench.stage import Stage
from tests.typescript import typescript_answers

AGAIN = 10
BIKES = [(usual_traits(kind), service) for kind, service in itertools.product(KINDS, SERVICES)]
ON_THE_PHONE = """
import { compose } from "./src/trade/compose";

tell(({ catalogue, bikes, again }) => {
  const times = [];
  for (let round = 0; round < again; round++)
    for (const [traits, service] of bikes) {
      const started = performance.now();
      compose(catalogue, traits, service);
      times.push(performance.now() - started);
    }
  return times;
});
"""


def figures(stage: Stage) -> Figures:
    """How many there are, and the milliseconds of each of the usual bikes' services."""
    work = table("added_work")
    yield "steps in the table", str(len(table("steps")))
    yield "tasks of added work, with their own steps", f"{len(work)}, {_steps_of(work)}"
    sent = json.dumps(catalogue(), ensure_ascii=False).encode()
    yield "catalogue for a phone, gzip -9", f"{len(gzip.compress(sent, 9)) / 1000:.1f} kB"
    yield "composed at the desk", _told([_timed(compose, *bike) for bike in BIKES * AGAIN])
    question = {"catalogue": catalogue(), "bikes": BIKES, "again": AGAIN}
    yield "composed on the phone", _told(_on_the_phone(question, stage.profile()))
    agreed = [(bike, service, task) for bike, service in BIKES for task in tasks(bike)]
    yield "agreed work joins", _told([_timed(_join, *one) for one in agreed])


def _steps_of(work: Sequence[Row]) -> int:
    return sum(len(row["steps"]) for row in work)


def _on_the_phone(question: object, folder: Path) -> list[float]:
    folder.mkdir()
    times: list[float] = typescript_answers(ON_THE_PHONE, question, folder)
    return times


def _join(bike: Mapping[str, Any], service: str, task: Mapping[str, Any]) -> None:
    route = compose(bike, service)
    steps = steps_for(
        task["key"],
        finding_id=str(UUID(int=1)),
        title=task["title"],
        minutes=task["minutes"],
        safety=task["safety"],
        traits=bike,
        route=[step["key"] for step in route],
    )
    merge(route, steps)


def _timed(run: Callable[..., object], *given: object) -> float:
    started = time.perf_counter()
    run(*given)
    return (time.perf_counter() - started) * 1000


def _told(times: list[float]) -> str:
    middle = statistics.median(times)
    return f"median {middle:.2f} ms, p95 {p95(times):.2f} ms, {len(times)} times"
