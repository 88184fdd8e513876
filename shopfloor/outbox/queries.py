"""What waits to be told to customers, and what was told."""

from collections import defaultdict
from collections.abc import Mapping, Sequence

from shopfloor.outbox.models import Message
from shopfloor.workshop.models import Workshop

# A due message is one that the worker turns into text when its time has come.
GROUPS: Mapping[str, Sequence[str]] = {
    "to_send": ("to-send",),
    "due": ("due", "writing"),
    "sent": ("sent",),
    "cancelled": ("cancelled",),
}
SHOWN = 50


def messages_by_state(workshop: Workshop) -> dict[str, list[Message]]:
    """Messages by what is to be done with them; of what is over only the newest."""
    related = ("job__bike", "job__customer", "sent_by", "link", "workshop")
    rows = Message.objects.of(workshop).select_related(*related).defer("job__route")
    found: dict[str, list[Message]] = defaultdict(list)
    for group, states in GROUPS.items():
        is_over = group in ("sent", "cancelled")
        order = "-created_at" if is_over else "not_before"
        chosen = rows.filter(state__in=states).order_by(order)
        found[group] = list(chosen[:SHOWN] if is_over else chosen)
    return dict(found)
