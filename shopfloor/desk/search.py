"""Which jobs does a number, a name, a telephone number or a word of the bike lead to?"""

from django.db.models import Q

from shopfloor.jobs.models import Job
from shopfloor.jobs.queries import jobs_of
from shopfloor.workshop.models import Workshop


def find_jobs(*, workshop: Workshop, text: str, limit: int) -> list[Job]:
    """Jobs by number, name, telephone or words of the bike, the newest first."""
    rows = jobs_of(workshop).select_related("bike", "customer").order_by("-number")
    for word in text.split():
        rows = rows.filter(_says(word))
    return list(rows[:limit])


def _says(word: str) -> Q:
    digits = "".join(letter for letter in word if letter.isdigit())
    found = Q(customer__name__icontains=word) | Q(bike__words__icontains=word)
    found |= Q(bike__frame_number__icontains=word)
    number = word.upper().removeprefix("J-").lstrip("0")
    if number.isascii() and number.isdigit() and len(number) < 10:
        found |= Q(number=int(number))
    if len(digits) >= 3:
        found |= Q(customer__phone_e164__contains=digits.lstrip("0"))
    return found
