"""The wire between phone and server; see also frontend/src/sync/wire.ts, checked against this."""

from rest_framework import serializers

from shopfloor.journal.entry import MAX_COUNT, MAX_NUMBER

MAX_ENTRIES = 500


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


class SyncRequestSerializer(serializers.Serializer[dict[str, object]]):
    """What a phone sends. The entries are checked one by one, so that a bad one stops no other."""

    device = serializers.UUIDField()
    cursor = serializers.IntegerField(min_value=0, max_value=MAX_NUMBER)
    sent_at = serializers.DateTimeField()
    last_n = serializers.IntegerField(min_value=0, max_value=MAX_COUNT, default=0)
    epoch = serializers.UUIDField(allow_null=True, default=None)
    app = serializers.CharField(max_length=40, allow_blank=True, default="")
    entries = serializers.ListField(child=EntrySerializer(), max_length=MAX_ENTRIES)


class SyncEnvelopeSerializer(SyncRequestSerializer):
    """The same request as the server reads it: entries unopened."""

    entries = serializers.ListField(
        child=serializers.JSONField(allow_null=True), max_length=MAX_ENTRIES
    )


class RefusedSerializer(serializers.Serializer[dict[str, object]]):
    """An entry that was not taken, and why, in words for the mechanic."""

    id = serializers.CharField()
    code = serializers.CharField()
    message = serializers.CharField()


class StoredEntrySerializer(serializers.Serializer[dict[str, object]]):
    """An entry with the workshop's number for it and the time it arrived."""

    seq = serializers.IntegerField()
    received_at = serializers.DateTimeField()
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
    route = serializers.ListField(child=serializers.DictField())
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
    class_pct = serializers.FloatField(allow_null=True)
    due_on = serializers.DateField(allow_null=True)


class WorkshopSerializer(serializers.Serializer[dict[str, object]]):
    """The shop as the bench needs it."""

    name = serializers.CharField()
    currency = serializers.CharField()
    timezone = serializers.CharField()
    people = PersonSerializer(many=True)
    instruments = InstrumentSerializer(many=True)
    tasks = serializers.ListField(child=serializers.DictField())


class SyncAnswerSerializer(serializers.Serializer[dict[str, object]]):
    """What the server says back."""

    epoch = serializers.UUIDField()
    accepted = serializers.ListField(child=serializers.UUIDField())
    refused = RefusedSerializer(many=True)
    entries = StoredEntrySerializer(many=True)
    jobs = JobHeaderSerializer(many=True)
    workshop = WorkshopSerializer()
    cursor = serializers.IntegerField()
    more = serializers.BooleanField()
    server_at = serializers.DateTimeField()


class ProblemSerializer(serializers.Serializer[dict[str, object]]):
    """A request that could not be taken, and what to do about it."""

    code = serializers.CharField()
    message = serializers.CharField()


class EnrolRequestSerializer(serializers.Serializer[dict[str, object]]):
    """A signed-in person makes this phone a device of the workshop."""

    name = serializers.CharField(max_length=60, allow_blank=True, default="")


class EnrolAnswerSerializer(serializers.Serializer[dict[str, object]]):
    """The token is said once; only its hash is kept."""

    device = serializers.UUIDField()
    token = serializers.CharField()
    person = serializers.UUIDField()
    epoch = serializers.UUIDField()
