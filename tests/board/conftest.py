"""The board's tests happen on a Monday at noon."""

import pytest


@pytest.fixture(autouse=True)
def _noon(noon: None) -> None:
    """For every test in this folder."""
