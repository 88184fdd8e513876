"""A server that dies between two statements: what was not committed is gone, and nobody answers."""

import contextlib
from collections.abc import Iterator
from typing import Any

from django.db import connection


class Killed(BaseException):
    """The process ended here. Not an Exception: no code of the server may catch it."""


class Fuse:
    """Lets this many statements pass; the process dies after the next one."""

    def __init__(self, statements: int) -> None:
        self._left = statements

    def __call__(self, execute: Any, sql: str, params: Any, many: bool, context: Any) -> Any:
        if self._left < 0:
            raise Killed
        done = execute(sql, params, many, context)
        self._left -= 1
        if self._left < 0:
            raise Killed
        return done


@contextlib.contextmanager
def dies_after(statements: int | None) -> Iterator[None]:
    """Work that may not come to its end."""
    if statements is None:
        yield
        return
    try:
        with connection.execute_wrapper(Fuse(statements)):
            yield
    except Killed:
        _start_anew()
        raise


def _start_anew() -> None:
    """The next process finds what was committed, and knows nothing of an open transaction."""
    connection.connection.rollback()
    connection.in_atomic_block = False
    connection.needs_rollback = False
    connection.savepoint_ids = []
    connection.run_on_commit = []
    connection.set_autocommit(True)
