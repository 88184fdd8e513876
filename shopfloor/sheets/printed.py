"""What the printed sheet says by itself; sheet.typ names these sentences."""

from shopfloor.words import gettext as _
from shopfloor.words import gettext_noop

SENTENCES = (
    gettext_noop("Service sheet"),
    gettext_noop("loose"),
    gettext_noop("late entry"),
    gettext_noop("two entries, not settled"),
    gettext_noop("All by"),
    gettext_noop(
        "On the scale the band is what is allowed; the diamond is as found, the bar as left."
    ),
    gettext_noop("Not final"),
    gettext_noop(
        "This bike is still being worked on. What stands here may change until it is handed over."
    ),
    gettext_noop("Do not ride this bike"),
    gettext_noop(
        "It was handed back unrepaired, at the owner’s wish. Riding it can hurt you and others."
    ),
    gettext_noop("Service"),
    gettext_noop("Price, VAT included"),
    gettext_noop("With added work"),
    gettext_noop("Brought in"),
    gettext_noop("Ready"),
    gettext_noop("You told us:"),
    gettext_noop("Left undone"),
    gettext_noop("left undone"),
    gettext_noop("Not decided yet: ask us about it."),
    gettext_noop("To look at next"),
    gettext_noop("For the rider"),
    gettext_noop("Work done"),
    gettext_noop("Added with your agreement"),
    gettext_noop("not done yet"),
    gettext_noop("Not done or not needed:"),
    gettext_noop("Second person"),
    gettext_noop("looked it over and agreed"),
    gettext_noop("did not agree"),
    gettext_noop("Notes from the stand"),
    gettext_noop("Arrived after the bike was released"),
    gettext_noop("Photos"),
    gettext_noop("Next time"),
    gettext_noop("Version"),
    gettext_noop("Signed by the workshop. Is it unaltered, is there a newer one?"),
    gettext_noop("The address of the page that verifies this sheet"),
    gettext_noop("What changed since the version before"),
    gettext_noop("Done for you at no charge"),
    gettext_noop("no charge"),
    gettext_noop("labour"),
    gettext_noop("The ranges are"),
    gettext_noop("page"),
    gettext_noop("What"),
    gettext_noop("Found"),
    gettext_noop("Scale"),
    gettext_noop("Allowed"),
    gettext_noop("Verdict"),
    gettext_noop("By"),
    gettext_noop("sound"),
    gettext_noop("watch"),
    gettext_noop("renew"),
    gettext_noop("unsafe"),
    gettext_noop("measure again"),
)


def printed_words() -> dict[str, str]:
    """By the English sentence."""
    return {sentence: _(sentence) for sentence in SENTENCES}
