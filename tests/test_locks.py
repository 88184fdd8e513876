"""What is installed is what pyproject.toml names: pinned, with hashes, from no named place."""

import re
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
LOCKS = ["requirements.lock", "requirements-dev.lock"]


def wanted(lock: str) -> set[str]:
    """`name==version` of everything that pyproject.toml asks for, without extras."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    named = list(project["project"]["dependencies"])
    if "dev" in lock:
        named += project["dependency-groups"]["dev"]
    return {re.sub(r"\[.*?\]", "", line) for line in named}


@pytest.mark.parametrize("lock", LOCKS)
def test_a_lock_holds_exactly_the_versions_that_are_asked_for(lock):
    pinned = set(re.findall(r"^[a-z0-9-]+==[^\s;]+", (ROOT / lock).read_text(), re.MULTILINE))

    assert wanted(lock) - pinned == set()


@pytest.mark.parametrize("lock", LOCKS)
def test_every_pinned_package_has_hashes(lock):
    text = (ROOT / lock).read_text()
    packages = re.split(r"\n(?=[a-z0-9])", text.strip())

    assert len(packages) > 20
    assert [each.split()[0] for each in packages if "--hash=sha256:" not in each] == []


@pytest.mark.parametrize("lock", [*LOCKS, "frontend/package-lock.json"])
def test_no_lock_names_the_place_packages_come_from(lock):
    lines = (ROOT / lock).read_text().splitlines()

    assert [line for line in lines if "index-url" in line or '"resolved"' in line] == []
