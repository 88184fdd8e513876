"""Enrolment on the wire: what a phone shows to become a device, and what it is given."""

from rest_framework import serializers

MOST_FORMER = 50


class EnrolRequestSerializer(serializers.Serializer[dict[str, object]]):
    """
    By the secret of a code from the desk; without one, by the session of whoever signed in.
    """

    secret = serializers.CharField(max_length=100, allow_blank=True, default="")
    name = serializers.CharField(
        max_length=60,
        allow_blank=True,
        default="",
        help_text="Without a code; a code knows the name.",
    )
    former = serializers.ListField(
        child=serializers.UUIDField(),
        max_length=MOST_FORMER,
        default=list,
        help_text="What this phone has been called before, as far as it remembers.",
    )
    attempt = serializers.UUIDField(
        allow_null=True,
        default=None,
        help_text="The same when the phone asks again because no answer came.",
    )


class LostSerializer(serializers.Serializer[dict[str, object]]):
    """What the former devices wrote and never sent, as far as they told."""

    entries = serializers.IntegerField()
    photos = serializers.IntegerField()


class EnrolAnswerSerializer(serializers.Serializer[dict[str, object]]):
    """The token is said once; only its hash is kept."""

    device = serializers.UUIDField()
    name = serializers.CharField()
    token = serializers.CharField()
    workshop = serializers.UUIDField()
    workshop_name = serializers.CharField()
    person = serializers.UUIDField(allow_null=True)
    epoch = serializers.UUIDField()
    former = serializers.ListField(
        child=serializers.UUIDField(), help_text="Every name that this phone goes on from."
    )
    lost = LostSerializer()
