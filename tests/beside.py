"""A long computation beside all else, at the lowest priority: it takes what others leave."""

import os
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path


class Beside:
    """One process; what it says is kept in a file until somebody waits for its end."""

    def __init__(self, command: Sequence[str], said: Path, **environment: str | None) -> None:
        self._said = said
        variables = {**os.environ, **environment}
        with said.open("wb") as file:
            self._process = subprocess.Popen(
                ["nice", "-n", "19", *command],
                env={name: value for name, value in variables.items() if value is not None},
                stdin=subprocess.DEVNULL,
                stdout=file,
                stderr=subprocess.STDOUT,
            )

    def ended_well(self) -> bool:
        """Wait for the end, and say what it said."""
        self._process.wait()
        sys.stdout.write(self._said.read_text())
        sys.stdout.flush()
        return self._process.returncode == 0

    def stop(self) -> None:
        """Nobody waits for it any more."""
        self._process.terminate()
        self._process.wait()
