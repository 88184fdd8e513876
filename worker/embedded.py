"""
The whole shop in one process: `python -m worker.embedded` brings the database up to date, then
serves the pages and runs the Celery worker and its clock in threads. No Redis, no second program.
"""

import argparse
import contextlib
import os
import signal
import socket
import sys
import threading
from collections.abc import Iterator
from types import FrameType

WEB_THREADS = 8
WORKER_THREADS = 2


class PortTaken(Exception):
    """Something else listens there."""


def main(argv: list[str] | None = None) -> int:
    """Serve until Ctrl-C or TERM; 0 after a clean stop, 1 with a sentence when it cannot start."""
    wanted = _arguments(argv)
    try:
        listener = _listen(wanted.host, wanted.port)
    except PortTaken as taken:
        print(taken, file=sys.stderr)
        return 1
    os.environ["DJANGO_SETTINGS_MODULE"] = "shopfloor.config.settings"
    os.environ.setdefault("SHOPFLOOR_BASE_URL", f"http://localhost:{wanted.port}")
    # Ctrl-C too: a shell that starts this in the background has it ignored.
    for asked in (signal.SIGTERM, signal.SIGINT):
        signal.signal(asked, _leave)
    with listener, contextlib.suppress(KeyboardInterrupt):
        _prepare(demo=wanted.demo, reset=wanted.reset)
        _serve(listener, wanted.port)
    return 0


def _arguments(argv: list[str] | None) -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python -m worker.embedded", description=__doc__)
    parser.add_argument("--port", type=int, default=8000)
    parser.add_argument("--host", default="127.0.0.1", help="127.0.0.1 unless told otherwise")
    parser.add_argument("--demo", action="store_true", help="load the demo shop if there is none")
    parser.add_argument("--reset", action="store_true", help="throw the database away first")
    return parser.parse_args(argv)


def _listen(host: str, port: int) -> socket.socket:
    """Take the port before anything else is touched."""
    listener = socket.socket()
    listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listener.bind((host, port))
    except OSError as problem:
        listener.close()
        raise PortTaken(
            f"Port {port} on {host} is not free ({problem.strerror}).\n"
            f"Stop what uses it, or take another one:  make demo PORT={port + 1}"
        ) from problem
    return listener


def _leave(_signal: int, _frame: FrameType | None) -> None:
    raise KeyboardInterrupt


def _prepare(*, demo: bool, reset: bool) -> None:
    """Bring the database up to date; seeding a shop that is there already changes nothing."""
    import django

    django.setup()
    from django.conf import settings
    from django.core.management import call_command

    settings.STATIC_ROOT.mkdir(parents=True, exist_ok=True)
    if reset:
        _throw_away()
    call_command("migrate", verbosity=0, interactive=False)
    if demo:
        call_command("seed_demo")


def _throw_away() -> None:
    """Delete the embedded database and the photos; the server's key stays."""
    import shutil
    from pathlib import Path

    from django.conf import settings

    name = str(settings.DATABASES["default"]["NAME"])
    if not settings.DATABASES["default"]["ENGINE"].endswith("sqlite3"):
        sys.exit(f"Only the embedded SQLite shop can be started over; {name} is left alone.")
    for suffix in ("", "-wal", "-shm"):
        Path(name + suffix).unlink(missing_ok=True)
    shutil.rmtree(settings.MEDIA_ROOT, ignore_errors=True)


def _serve(listener: socket.socket, port: int) -> None:
    from waitress.server import create_server

    from shopfloor.config.wsgi import application

    server = create_server(application, sockets=[listener], threads=WEB_THREADS, ident=None)
    with _background_work():
        print(_welcome(port), flush=True)
        # Returns after Ctrl-C or TERM, when requests under way have been answered.
        server.run()


@contextlib.contextmanager
def _background_work() -> Iterator[None]:
    """Celery's worker and clock in threads; with a real broker they are programs of their own."""
    from celery.beat import Service

    from worker.celery import app, embedded

    if not embedded:
        yield
        return
    worker = app.WorkController(
        pool="threads",
        concurrency=WORKER_THREADS,
        without_gossip=True,
        without_mingle=True,
        without_heartbeat=True,
    )
    clock = Service(app, scheduler_cls=app.conf.beat_scheduler)
    threads = [
        threading.Thread(target=run, name=name, daemon=True)
        for name, run in (("worker", worker.start), ("clock", clock.start))
    ]
    for thread in threads:
        thread.start()
    try:
        yield
    finally:
        clock.stop()
        worker.stop()
        for thread in threads:
            thread.join(timeout=5)


def _welcome(port: int) -> str:
    return (
        f"\nShopfloor is open at http://localhost:{port}   (Ctrl-C stops it; the data is kept)\n"
        "A phone needs HTTPS to keep the bench offline: put this behind a TLS proxy, set\n"
        "SHOPFLOOR_BASE_URL to the address that the phone sees and SHOPFLOOR_BEHIND_PROXY=on.\n"
    )


if __name__ == "__main__":
    sys.exit(main())
