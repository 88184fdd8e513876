"""The catalogue on the wire; shopfloor/trade/catalogue.py says what each part of it means."""

from rest_framework import serializers


class CatalogueSerializer(serializers.Serializer[dict[str, object]]):
    """What a phone composes routes from: rows with the bikes they are for."""

    version = serializers.CharField()
    fields = serializers.ListField(child=serializers.DictField())  # type: ignore[assignment]  # a name of the wire
    usual = serializers.DictField(child=serializers.DictField())
    offered = serializers.DictField(child=serializers.DictField())
    services = serializers.ListField(child=serializers.DictField(child=serializers.CharField()))
    steps = serializers.ListField(child=serializers.DictField())
    by_kind = serializers.CharField()
    tasks = serializers.ListField(child=serializers.DictField())
