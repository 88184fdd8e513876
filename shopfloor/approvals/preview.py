"""What would an offer cost, would the customer be asked at all, and when is the bike ready then?"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from shopfloor.approvals.pricing import Price, lacks_parts
from shopfloor.approvals.services import Wanted, go_ahead_left, price_of
from shopfloor.jobs.models import Job
from shopfloor.planning.opening import HorizonExceeded
from shopfloor.planning.ready import Ready
from shopfloor.promises import services as promises


@dataclass(frozen=True)
class Preview:
    """Prices per wanted finding in minor units, and what follows from all of them together."""

    prices: list[tuple[str, Price]]
    total_minor: int
    told: bool
    ready: Ready | None


def preview_offer(*, job: Job, wanted: Sequence[Wanted], at: datetime) -> Preview:
    """The figures that make_offer would come to now; nothing is written."""
    prices = [(one.title, price_of(one, job.workshop)) for one in wanted]
    total = sum(price.gross_minor for _, price in prices)
    return Preview(prices, total, total <= go_ahead_left(job), _ready(job, wanted, at))


def _ready(job: Job, wanted: Sequence[Wanted], at: datetime) -> Ready | None:
    """The new ready day; None in a shop that never opens."""
    try:
        return promises.promise_with_more(
            job=job,
            extra_minutes=sum(one.minutes for one in wanted),
            wait_for_parts=lacks_parts(part for one in wanted for part in one.parts),
            at=at,
        )
    except HorizonExceeded:
        return None
