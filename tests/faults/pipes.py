"""One question, one answer: JSON behind its length, over two named pipes."""

import json
import struct
from collections.abc import Callable
from pathlib import Path
from typing import Any, BinaryIO

LENGTH = struct.Struct(">I")


def serve(asked: Path, answered: Path, answer: Callable[[dict[str, Any]], Any]) -> None:
    """Answer until the other side closes its pipe."""
    with asked.open("rb") as questions, answered.open("wb") as answers:
        while (question := _read(questions)) is not None:
            said = json.dumps(answer(question), default=str).encode()
            answers.write(LENGTH.pack(len(said)) + said)
            answers.flush()


def _read(pipe: BinaryIO) -> dict[str, Any] | None:
    head = pipe.read(LENGTH.size)
    if len(head) < LENGTH.size:
        return None
    question: dict[str, Any] = json.loads(pipe.read(*LENGTH.unpack(head)))
    return question
