"""The wire between phone and server; see also frontend/src/sync/wire.ts, checked against this."""

from rest_framework import serializers

from shopfloor.journal.entry import MAX_COUNT, MAX_NUMBER

MAX_ENTRIES = 1000
MAX_ROUTES = 500


class EntrySerializer(serializers.Serializer[dict[str, object]]):
    """One entry of a job's journal, as it is everywhere."""

    v = serializers.IntegerField()
    id = serializers.UUIDField()
    job = serializers.UUIDField()
    kind = serializers.CharField()
    device = serializers.UUIDField()
    n = serializers.IntegerField()
    by = serializers.UUIDField()
    at = serializers.CharField()
    body = serializers.DictField()
    supersedes = serializers.ListField(child=serializers.UUIDField())


class UnsentSerializer(serializers.Serializer[dict[str, object]]):
    """What waits on the phone at this moment; the desk shows it."""

    entries = serializers.IntegerField(min_value=0, max_value=MAX_COUNT)
    photos = serializers.IntegerField(min_value=0, max_value=MAX_COUNT)
    walk_ins = serializers.IntegerField(min_value=0, max_value=MAX_COUNT)
    oldest_at = serializers.DateTimeField(allow_null=True)


class OpenSerializer(serializers.Serializer[dict[str, object]]):
    """The job on the phone's screen, and who works on it."""

    job = serializers.UUIDField()
    by = serializers.UUIDField(allow_null=True)


class SetAsideSerializer(serializers.Serializer[dict[str, object]]):
    """Numbers written under one name that the phone shows as refused: nobody waits for them."""

    device = serializers.UUIDField()
    ns = serializers.ListField(
        child=serializers.IntegerField(min_value=1, max_value=MAX_COUNT), max_length=MAX_ENTRIES
    )


class SyncRequestSerializer(serializers.Serializer[dict[str, object]]):
    """What a phone sends. The entries are checked one by one, so that a bad one stops no other."""

    device = serializers.UUIDField()
    cursor = serializers.IntegerField(min_value=0, max_value=MAX_NUMBER)
    sent_at = serializers.DateTimeField()
    last_n = serializers.IntegerField(min_value=0, max_value=MAX_COUNT, default=0)
    epoch = serializers.UUIDField(allow_null=True, default=None)
    app = serializers.CharField(max_length=40, allow_blank=True, default="")
    entries = serializers.ListField(child=EntrySerializer(), max_length=MAX_ENTRIES)
    more = serializers.BooleanField(
        default=False, help_text="Further entries follow at once; the server may fold later."
    )
    unsent = UnsentSerializer(allow_null=True, default=None)
    storage = serializers.ChoiceField(
        choices=["protected", "not protected", ""],
        default="",
        help_text="Whether the browser has promised to keep the phone's storage.",
    )
    open = OpenSerializer(allow_null=True, default=None)
    set_aside = SetAsideSerializer(many=True, default=list)
    workshop_digest = serializers.CharField(
        max_length=64,
        allow_blank=True,
        default="",
        help_text="Of the workshop as the phone knows it.",
    )


class SyncEnvelopeSerializer(SyncRequestSerializer):
    """The same request as the server reads it; the entries are taken out and read one by one."""

    entries = None  # type: ignore[assignment]


class NewDeviceSerializer(serializers.Serializer[dict[str, object]]):
    """The name under which a copied profile writes from now on."""

    id = serializers.UUIDField()
    token = serializers.CharField()


class RunSerializer(serializers.Serializer[dict[str, object]]):
    """The request's entries at `at`, `at` + 1, … have the numbers `seq`, `seq` + 1, …"""

    at = serializers.IntegerField()
    count = serializers.IntegerField()
    seq = serializers.IntegerField()


class RefusedSerializer(serializers.Serializer[dict[str, object]]):
    """An entry that was not taken, where it stood, and why, in words for the mechanic."""

    at = serializers.IntegerField()
    id = serializers.CharField()
    code = serializers.CharField()
    message = serializers.CharField()


class StoredEntrySerializer(serializers.Serializer[dict[str, object]]):
    """An entry with the workshop's number for it."""

    seq = serializers.IntegerField()
    entry = EntrySerializer()


class JobHeaderSerializer(serializers.Serializer[dict[str, object]]):
    """What the bench knows of a job beside its entries. No telephone number, no family name."""

    id = serializers.UUIDField()
    number = serializers.CharField()
    bike = serializers.CharField()
    tag = serializers.CharField()
    customer = serializers.CharField(allow_blank=True)
    service = serializers.CharField()
    traits = serializers.DictField()
    says = serializers.CharField(allow_blank=True)
    go_ahead_minor = serializers.IntegerField()
    currency = serializers.CharField()
    route = serializers.CharField(help_text="SHA-256 of the route's steps as canonical JSON.")
    promised_at = serializers.DateTimeField(allow_null=True)
    opened_at = serializers.DateTimeField()
    history = serializers.CharField(allow_blank=True)
    tasks = serializers.ListField(child=serializers.CharField())


class PersonSerializer(serializers.Serializer[dict[str, object]]):
    """Somebody who can be at work on this phone."""

    id = serializers.UUIDField()
    name = serializers.CharField()
    role = serializers.CharField()


class InstrumentSerializer(serializers.Serializer[dict[str, object]]):
    """An instrument that a reading can name."""

    id = serializers.UUIDField()
    name = serializers.CharField()
    kind = serializers.CharField()
    unit = serializers.CharField()
    range_min = serializers.FloatField(allow_null=True)
    range_max = serializers.FloatField(allow_null=True)
    class_pct = serializers.FloatField(
        allow_null=True, help_text="The largest error, in % of the reading."
    )
    resolution = serializers.FloatField(allow_null=True, help_text="In its unit.")
    due_on = serializers.DateField(allow_null=True, help_text="The last day it may be trusted.")
    worn_out = serializers.BooleanField(
        help_text="Used more often than it may be between two calibrations."
    )


class WorkshopSerializer(serializers.Serializer[dict[str, object]]):
    """The shop as the bench needs it."""

    name = serializers.CharField()
    currency = serializers.CharField()
    timezone = serializers.CharField()
    people = PersonSerializer(many=True)
    instruments = InstrumentSerializer(many=True)
    tasks = serializers.ListField(child=serializers.DictField())
    hours = serializers.DictField(
        child=serializers.ListField(child=serializers.ListField(child=serializers.CharField())),
        help_text="An ordinary week: mon to sun, each with its spans from and to, as HH:MM.",
    )
    catalogue = serializers.CharField(help_text="Version of the trade's tables.")


class OtherSerializer(serializers.Serializer[dict[str, object]]):
    """What another phone of the shop has open, as last heard."""

    job = serializers.UUIDField()
    by = serializers.UUIDField(allow_null=True)
    device = serializers.CharField()
    at = serializers.DateTimeField()


class SyncAnswerSerializer(serializers.Serializer[dict[str, object]]):
    """What the server says back."""

    epoch = serializers.UUIDField()
    device = NewDeviceSerializer(
        allow_null=True, help_text="Only for a copied profile: write under this name from now on."
    )
    taken = RunSerializer(many=True, help_text="Each position stands here or in `refused`.")
    refused = RefusedSerializer(many=True)
    entries = StoredEntrySerializer(
        many=True, help_text="After the cursor, without those named in `taken`."
    )
    jobs = JobHeaderSerializer(many=True)
    workshop = WorkshopSerializer(allow_null=True)
    workshop_digest = serializers.CharField()
    others = OtherSerializer(many=True)
    cursor = serializers.IntegerField(help_text="Every number up to this is now on the phone.")
    more = serializers.BooleanField()
    server_at = serializers.DateTimeField()


class RoutesRequestSerializer(serializers.Serializer[dict[str, object]]):
    """The routes that a phone has not got yet."""

    routes = serializers.ListField(
        child=serializers.RegexField(r"^[0-9a-f]{64}$"), max_length=MAX_ROUTES
    )


class RoutesAnswerSerializer(serializers.Serializer[dict[str, object]]):
    """Every step once, and each route as places in that list."""

    steps = serializers.ListField(child=serializers.DictField())
    routes = serializers.DictField(child=serializers.ListField(child=serializers.IntegerField()))


class ProblemSerializer(serializers.Serializer[dict[str, object]]):
    """A request that could not be taken, and what to do about it."""

    code = serializers.CharField()
    message = serializers.CharField()
    epoch = serializers.UUIDField(required=False)
