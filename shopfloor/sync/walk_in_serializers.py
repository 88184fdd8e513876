"""A walk-in on the wire: what a phone says of a bike it took in without signal."""

from rest_framework import serializers

from shopfloor.workshop.fields import MAX_MINOR

MAX_STEPS = 400


class WalkInSerializer(serializers.Serializer[dict[str, object]]):
    """
    The job's id stands in the address. `steps` are the phone's route by the catalogue that it
    names; null leaves the route to the server.
    """

    customer_name = serializers.CharField(max_length=80, allow_blank=True)
    phone = serializers.CharField(max_length=80, allow_blank=True)
    bike_words = serializers.CharField(max_length=120, allow_blank=True)
    traits = serializers.DictField()
    service = serializers.CharField(max_length=20, allow_blank=True)
    says = serializers.CharField(max_length=2000, allow_blank=True)
    go_ahead_minor = serializers.IntegerField(min_value=0, max_value=MAX_MINOR)
    opened_at = serializers.DateTimeField()
    by = serializers.UUIDField()
    catalogue = serializers.CharField(max_length=20)
    steps = serializers.ListField(
        child=serializers.DictField(), allow_null=True, max_length=MAX_STEPS
    )


class WalkInAnswerSerializer(serializers.Serializer[dict[str, object]]):
    """The number for the tag."""

    job = serializers.UUIDField()
    number = serializers.CharField()
