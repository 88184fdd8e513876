"""Worker and beat as programs of their own on a real Redis, which may lose everything."""

import os
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from django.db import connection

from shopfloor.outbox.models import Message
from tests.factories import make_job, make_message, make_workshop
from tests.servers import Redis

pytestmark = [pytest.mark.redis, pytest.mark.django_db(transaction=True)]
ROOT = Path(__file__).resolve().parents[2]


class Celery:
    """`celery … worker` and `celery … beat` on the test's own database."""

    def __init__(self, redis: Redis) -> None:
        self._environment = {
            **os.environ,
            "DJANGO_SETTINGS_MODULE": "shopfloor.config.settings",
            "DATABASE_URL": _database_url(),
            "CELERY_BROKER_URL": redis.url,
            "SHOPFLOOR_SWEEP_SECONDS": "0.5",
        }
        self._processes: dict[str, subprocess.Popen[bytes]] = {}

    def start(self, name: str, *arguments: str) -> None:
        command = [sys.executable, "-m", "celery", "-A", "worker.celery", name, *arguments]
        self._processes[name] = subprocess.Popen(command, cwd=ROOT, env=self._environment)

    def start_worker(self) -> None:
        self.start("worker", "--pool", "threads", "--concurrency", "2", "--loglevel", "ERROR")

    def kill(self, name: str) -> None:
        process = self._processes.pop(name)
        process.kill()
        process.wait()

    def stop(self) -> dict[str, int]:
        """Ask all to leave; answers their exit codes."""
        for process in self._processes.values():
            process.terminate()
        return {name: process.wait(timeout=20) for name, process in self._processes.items()}


def _database_url() -> str:
    facts = connection.settings_dict
    if facts["ENGINE"].endswith("sqlite3"):
        return f"sqlite:///{facts['NAME']}"
    return f"postgres://{facts['USER']}@{facts['HOST']}:{facts['PORT']}/{facts['NAME']}"


@pytest.fixture
def redis(tmp_path: Path) -> Iterator[Redis]:
    server = Redis(tmp_path)
    yield server
    server.kill()


@pytest.fixture
def celery(redis: Redis) -> Iterator[Celery]:
    programs = Celery(redis)
    programs.start_worker()
    programs.start("beat", "--loglevel", "ERROR")
    yield programs
    programs.stop()


def written(message: Message, *, seconds: float = 30) -> bool:
    """Wait until the message stands in the outbox as text."""
    until = time.monotonic() + seconds
    while time.monotonic() < until:
        message.refresh_from_db()
        if message.state == "to-send":
            return True
        time.sleep(0.1)
    return False


def test_nothing_is_lost_or_done_twice_when_redis_and_worker_die(redis: Redis, celery: Celery):
    job = make_job(workshop=make_workshop())
    first = make_message(job=job)
    assert written(first)
    first_written_at = first.written_at

    redis.kill()
    second = make_message(job=job)
    redis.start()
    assert written(second)

    celery.kill("worker")
    third = make_message(job=job)
    celery.start_worker()
    assert written(third)

    first.refresh_from_db()
    assert first.written_at == first_written_at
    assert Message.objects.count() == 3


def test_worker_and_beat_leave_cleanly_when_asked(celery: Celery):
    assert written(make_message(job=make_job(workshop=make_workshop())))

    assert celery.stop() == {"worker": 0, "beat": 0}
