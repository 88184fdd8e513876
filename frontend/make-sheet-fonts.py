"""
Makes the service sheet's fonts from the web fonts: the typesetter reads neither WOFF2 nor axes.

Needs fonttools and brotli, which nothing else here does. After `npm ci` in frontend/:
python frontend/make-sheet-fonts.py
"""

from pathlib import Path

from fontTools.ttLib import TTFont
from fontTools.varLib.instancer import instantiateVariableFont

HERE = Path(__file__).resolve().parent
PACKAGE = HERE / "node_modules/@fontsource-variable/atkinson-hyperlegible-next"
TARGET = HERE.parent / "shopfloor/sheets/fonts"
FAMILIES = {"latin": "Workshop", "latin-ext": "Workshop Ext"}
WEIGHTS = {"Regular": 400, "Bold": 700}


def make(subset: str, style: str) -> None:
    """One weight of one subset, under a family name of its own."""
    font = TTFont(PACKAGE / f"files/atkinson-hyperlegible-next-{subset}-wght-normal.woff2")
    font = instantiateVariableFont(font, {"wght": WEIGHTS[style]})
    family = FAMILIES[subset]
    font["OS/2"].usWeightClass = WEIGHTS[style]
    for name in list(font["name"].names):
        if name.nameID not in (0, 13, 14):
            font["name"].removeNames(nameID=name.nameID)
    postscript = f"{family}-{style}".replace(" ", "")
    for name_id, text in ((1, family), (2, style), (4, f"{family} {style}"), (6, postscript)):
        font["name"].setName(text, name_id, 3, 1, 0x409)
    font.flavor = None
    font.save(TARGET / f"{postscript}.ttf")


def main() -> None:
    """Write the fonts with their licence beside them."""
    TARGET.mkdir(parents=True, exist_ok=True)
    for subset in FAMILIES:
        for style in WEIGHTS:
            make(subset, style)
    (TARGET / "OFL.txt").write_bytes((PACKAGE / "LICENSE").read_bytes())


if __name__ == "__main__":
    main()
