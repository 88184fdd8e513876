"""Text can be read at arm's length, in bad light, by day and by night."""

import re
from pathlib import Path

import pytest

TOKENS = Path(__file__).parents[2] / "frontend" / "styles" / "tokens.css"
LIGHT, DARK = (
    dict(re.findall(r"--([\w-]+): (#\w{6})", block))
    for block in re.findall(r":root \{(.*?)\}", TOKENS.read_text(), re.S)[:2]
)
GROUNDS = ["paper", "panel", "sunk", "accent-wash"]
TEXT = [(ink, ground) for ink in ("ink", "ink-soft", "accent") for ground in GROUNDS]


def _luminance(colour: str) -> float:
    # WCAG 2.2, definition of relative luminance.
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def _contrast(one: str, other: str) -> float:
    darker, lighter = sorted((_luminance(one), _luminance(other)))
    return (lighter + 0.05) / (darker + 0.05)


# 7:1 is WCAG 2.2 success criterion 1.4.6 (AAA).
@pytest.mark.parametrize("theme", [LIGHT, DARK], ids=["light", "dark"])
@pytest.mark.parametrize(("ink", "ground"), [*TEXT, ("accent-ink", "accent"), ("panel", "ink")])
def test_text_stands_out_seven_to_one(theme, ink, ground):
    assert _contrast(theme[ink], theme[ground]) >= 7


# 3:1 is WCAG 2.2 success criterion 1.4.11: rims of fields and buttons.
@pytest.mark.parametrize("theme", [LIGHT, DARK], ids=["light", "dark"])
@pytest.mark.parametrize("ground", ["paper", "panel"])
def test_rims_stand_out_three_to_one(theme, ground):
    assert _contrast(theme["line-strong"], theme[ground]) >= 3
