"""The demo shop for each section: seeded once, and a fresh copy for whoever asks."""

import shutil
from pathlib import Path

from tests.e2e.shop import Shop


class Stage:
    """A folder that holds the shops of one run."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._count = 0

    def shop(self) -> Shop:
        """Not started; its address is its own."""
        return Shop(self._copied())

    def profile(self) -> Path:
        """An empty place for a browser's profile."""
        self._count += 1
        return self.folder / f"phone-{self._count}"

    def _copied(self) -> Path:
        model = self.folder / "seeded"
        if not model.exists():
            model.mkdir()
            Shop(model).seed()
        self._count += 1
        return Path(shutil.copytree(model, self.folder / f"shop-{self._count}"))
