"""Breaks the server on purpose: patches the source of a module while it is imported."""

import importlib.abc
import importlib.machinery
import importlib.util
import sys
from collections.abc import Sequence
from pathlib import Path
from types import CodeType, ModuleType
from typing import Any

ROOT = Path(__file__).resolve().parents[2]


class Stale(Exception):
    """The text that a patch replaces is not there once; the patch must follow the code."""


def patched(text: str, patches: Sequence[dict[str, str]]) -> str:
    """The source with each patch's `find` replaced; raises Stale."""
    for patch in patches:
        if (count := text.count(patch["find"])) != 1:
            raise Stale(f"{patch['file']} has {count} times, not once: {patch['find']}")
        text = text.replace(patch["find"], patch["put"])
    return text


class _Loader(importlib.machinery.SourceFileLoader):
    def __init__(self, name: str, path: str, patches: Sequence[dict[str, str]]) -> None:
        super().__init__(name, path)
        self._patches = patches

    def get_code(self, fullname: str) -> CodeType:
        text = patched(Path(self.path).read_text(encoding="utf-8"), self._patches)
        return compile(text, self.path, "exec", dont_inherit=True)


class _Finder(importlib.abc.MetaPathFinder):
    def __init__(self, patches: Sequence[dict[str, str]]) -> None:
        self.waiting: dict[str, list[dict[str, str]]] = {}
        for patch in patches:
            self.waiting.setdefault(_module_of(patch["file"]), []).append(patch)

    def find_spec(
        self, fullname: str, path: Sequence[str] | None, target: ModuleType | None = None
    ) -> Any:
        patches = self.waiting.pop(fullname, None)
        if patches is None:
            return None
        place = str(ROOT / patches[0]["file"])
        loader = _Loader(fullname, place, patches)
        return importlib.util.spec_from_file_location(fullname, place, loader=loader)


_finders: list[_Finder] = []


def _module_of(file: str) -> str:
    return file.removesuffix(".py").replace("/", ".")


def install(patches: Sequence[dict[str, str]]) -> None:
    """From here on these modules are imported broken."""
    if patches:
        _finders.append(_Finder(patches))
        sys.meta_path.insert(0, _finders[-1])


def check_used() -> None:
    """Import what was not imported yet, so that a stale patch is told at once."""
    import importlib

    for finder in _finders:
        for name in list(finder.waiting):
            importlib.import_module(name)
