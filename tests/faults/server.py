"""
The real server for simulated phones, without a socket: questions come in on one pipe, answers go
out on another. `python -m tests.faults.server QUESTIONS ANSWERS EMPTY [BROKEN]`; EMPTY is a
database with every table and no row, BROKEN a JSON list of source patches, see mutations.py.
"""

import base64
import gc
import io
import json
import logging
import os
import random
import shutil
import sys
import tempfile
import traceback
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from tests.faults import chance, mutants, pipes


def main(asked: str, answered: str, empty: str, broken: str = "[]") -> None:
    """Set the server up once, then answer until the simulator goes away."""
    memory = "/dev/shm" if os.access("/dev/shm", os.W_OK) else None
    folder = tempfile.mkdtemp(prefix="shopfloor-faults-", dir=memory)
    os.environ |= {"SHOPFLOOR_VAR": folder, "DATABASE_URL": "sqlite://:memory:"}
    os.environ["DJANGO_SETTINGS_MODULE"] = "tests.settings"
    try:
        answer = _ready(Path(empty), broken)
        pipes.serve(Path(asked), Path(answered), answer)
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _ready(empty: Path, broken: str) -> Callable[[dict[str, Any]], Any]:
    """The server; or, where it does not start, the reason as the answer to everything."""
    try:
        mutants.install(json.loads(broken))
        import django

        django.setup()
        mutants.check_used()
        server = Server(empty, chance.take_over())
        # What is there now stays, and of what comes most goes by itself: looking through it all
        # again and again takes a tenth of the time.
        gc.freeze()
        gc.set_threshold(100_000)
        return server
    except Exception:
        said = {"fatal": traceback.format_exc()[-1500:]}
        return lambda _question: said


class Complaints(logging.Handler):
    """Keeps what the server logged as an error."""

    def __init__(self) -> None:
        super().__init__(logging.ERROR)
        self.kept: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.kept.append(logging.Formatter("%(message)s").format(record))

    def taken(self) -> list[str]:
        kept, self.kept = self.kept, []
        return kept


class Server:
    """Answers one question at a time, at the time the question says."""

    def __init__(self, empty: Path, bits: chance.Bits) -> None:
        import time_machine

        from shopfloor.config.wsgi import application
        from tests.faults.shop import Shop

        self._bits = bits
        bits.start("before every seed")
        self._application = application
        self._complaints = Complaints()
        # Most of what it logs is about the faults themselves; errors become part of the answer.
        logging.getLogger().handlers = [self._complaints]
        self._clock = time_machine.travel(datetime(2026, 3, 2, 12, tzinfo=UTC), tick=False)
        self._hands = self._clock.start()
        self._shop = Shop(empty)

    def __call__(self, question: dict[str, Any]) -> dict[str, Any]:
        from tests.faults.killing import Killed, dies_after

        at = datetime.fromtimestamp(question["now"] / 1000, UTC)
        self._hands.move_to(at, tick=False)
        if "seed" in question:
            self._bits.start(question["seed"])
        try:
            with dies_after(question.get("dies_after")):
                answer = getattr(self, question["do"])(at=at, **question.get("with", {}))
        except Killed:
            answer = {"killed": True}
        except Exception:
            answer = {"fatal": traceback.format_exc()[-1500:]}
        return answer | {"complaints": self._complaints.taken()}

    def open(self, *, at: datetime, jobs: int) -> dict[str, Any]:
        """A fresh pair of workshops."""
        return self._shop.open(jobs)

    def back_up(self, *, at: datetime) -> dict[str, Any]:
        self._shop.back_up()
        return {}

    def restore(self, *, at: datetime) -> dict[str, Any]:
        return {"done": self._shop.restore()}

    def picture(self, *, at: datetime) -> dict[str, Any]:
        from tests.faults import shop

        return shop.picture()

    def standing(self, *, at: datetime) -> dict[str, Any]:
        from tests.faults import shop

        return {"shops": shop.standing()}

    def desk(self, *, at: datetime, what: str, draw: str, **facts: Any) -> dict[str, Any]:
        from tests.faults import desk

        return desk.act(what, at=at, draw=random.Random(draw), **facts)

    def sign_in(self, *, at: datetime, username: str) -> dict[str, Any]:
        """A browser in which somebody is signed in: its cookies, and the word for its forms."""
        from django.middleware.csrf import _get_new_csrf_string
        from django.test import Client

        from shopfloor.workshop.models import Person

        client = Client()
        client.force_login(Person.objects.get(username=username))
        secret = _get_new_csrf_string()
        session = client.cookies["shopfloor-session"].value
        return {
            "cookie": f"shopfloor-session={session}; shopfloor-csrf={secret}",
            "csrf": secret,
        }

    def code(self, *, at: datetime, username: str, name: str) -> dict[str, Any]:
        """What a code from the desk says."""
        from shopfloor.workshop import enrolment
        from shopfloor.workshop.models import Person

        by = Person.objects.get(username=username)
        code = enrolment.make_code(workshop=by.workshop, name=name, replaces=None, by=by, at=at)
        return {"secret": enrolment.secret_of(code)}

    def http(
        self,
        *,
        at: datetime,
        method: str,
        path: str,
        headers: dict[str, str],
        body: str,
        length: int,
    ) -> dict[str, Any]:
        """One request; `length` is what its sender announced, `body` is what arrived of it."""
        path, _, query = path.partition("?")
        data = base64.b64decode(body)
        environ: dict[str, Any] = {
            "REQUEST_METHOD": method,
            "PATH_INFO": path,
            "QUERY_STRING": query,
            "SERVER_NAME": "localhost",
            "SERVER_PORT": "80",
            "SERVER_PROTOCOL": "HTTP/1.1",
            "REMOTE_ADDR": "127.0.0.1",
            "CONTENT_LENGTH": str(length),
            "wsgi.url_scheme": "http",
            "wsgi.input": io.BytesIO(data),
            "wsgi.errors": sys.stderr,
        }
        for name, value in headers.items():
            key = name.upper().replace("-", "_")
            environ[key if key == "CONTENT_TYPE" else f"HTTP_{key}"] = value
        heard: dict[str, Any] = {}

        def start_response(status: str, answered: list[tuple[str, str]], _: Any = None) -> None:
            heard.update(status=int(status.split()[0]), headers=dict(answered))

        response = self._application(environ, start_response)
        try:
            content = b"".join(response)
        finally:
            if hasattr(response, "close"):
                response.close()
        return heard | {"body": base64.b64encode(content).decode()}


if __name__ == "__main__":
    main(*sys.argv[1:])
