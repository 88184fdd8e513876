"""What a piece of an address may look like; anything else is no address of ours."""

from datetime import date


class Sha256Converter:
    """The name of a photo: 64 small hexadecimal digits."""

    regex = "[0-9a-f]{64}"

    def to_python(self, value: str) -> str:
        return value

    def to_url(self, value: str) -> str:
        return value


class DayConverter:
    """A day as 2026-12-25."""

    regex = "[0-9]{4}-[0-9]{2}-[0-9]{2}"

    def to_python(self, value: str) -> date:
        return date.fromisoformat(value)

    def to_url(self, value: date) -> str:
        return value.isoformat()
