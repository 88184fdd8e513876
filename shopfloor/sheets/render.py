"""The service sheet as a PDF that a screen reader can follow (PDF/UA-1), typeset by typst."""

import json
import shutil
import tempfile
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any, cast

import typst
from PIL import Image

from shopfloor.jobs import photos
from shopfloor.sheets.printed import printed_words
from shopfloor.words import language
from shopfloor.workshop.models import Workshop
from shopfloor.workshop.templatetags.glyphs import glyphs

HERE = Path(__file__).resolve().parent
PAIRS_AT_MOST = 4
PHOTOS_AT_MOST = 8
PHOTO_LONG_SIDE = 700


@cache
def _fonts() -> typst.Fonts:
    """Only the fonts beside this file: the sheet looks the same on every machine."""
    return typst.Fonts(
        include_system_fonts=False,
        include_embedded_fonts=False,
        font_paths=[str(HERE / "fonts")],
    )


def sheet_pdf(
    *, content: Mapping[str, Any], workshop: Workshop, proof: Mapping[str, Any] | None = None
) -> bytes:
    """
    The sheet's content as a tagged PDF: the same bytes whenever it is made of the same.

    proof  of a signed version: its number, code and address (proof.py)
    """
    with tempfile.TemporaryDirectory(prefix="sheet-") as folder:
        root = Path(folder)
        shutil.copy(HERE / "sheet.typ", root)
        _write_glyphs(root)
        told = {
            **_copy_photos(content, workshop, root),
            "words": printed_words(),
            "lang": language().split("-"),
            "proof": proof,
        }
        if proof:
            (root / "code.svg").write_text(proof["qr"])
        data = json.dumps({**content, **told}, ensure_ascii=False)
        (root / "sheet.json").write_text(data, encoding="utf-8")
        compiler = typst.Compiler(str(root / "sheet.typ"), root=str(root), font_paths=_fonts())
        return _compile(compiler)


def _compile(compiler: typst.Compiler) -> bytes:
    """
    As PDF/UA-1; where somebody wrote a letter or picture the fonts lack, as a plain PDF.

    The standard forbids what cannot be displayed, and a sheet with an empty box in a note is
    better than none. The page by the link shows all of it.
    """
    try:
        return cast("bytes", compiler.compile(format="pdf", pdf_standards=["ua-1"]))
    except typst.TypstError as error:
        if "could not be displayed" not in str(error):
            raise
        return cast("bytes", compiler.compile(format="pdf"))


def _copy_photos(
    content: Mapping[str, Any], workshop: Workshop, root: Path
) -> dict[str, list[dict[str, Any]]]:
    """
    Small copies where the typesetter can read them; a photo that is not here is left out, and a
    pair of which one is missing is none.
    """
    pairs = []
    for pair in content["pairs"][:PAIRS_AT_MOST]:
        both = {phase: _copy_photo(photo, workshop, root) for phase, photo in pair.items()}
        if all(both.values()):
            pairs.append(both)
    alone = [_copy_photo(photo, workshop, root) for photo in content["photos"][:PHOTOS_AT_MOST]]
    return {"pairs": pairs, "photos": [photo for photo in alone if photo]}


def _copy_photo(photo: Mapping[str, Any], workshop: Workshop, root: Path) -> dict[str, Any] | None:
    try:
        path = photos.photo_path(workshop=workshop, name=photo["name"])
    except photos.PhotoNotHere:
        return None
    file = f"{photo['name']}.jpg"
    with Image.open(path) as image:
        image.thumbnail((PHOTO_LONG_SIDE, PHOTO_LONG_SIDE))
        image.save(root / file, "JPEG", quality=80)
    return {**photo, "file": file}


def _write_glyphs(root: Path) -> None:
    """The verdicts' shapes, from the same source as on phone and desk."""
    for name, glyph in glyphs().items():
        if glyph["group"] == "verdict" or name == "safety":
            (root / f"{name}.svg").write_text(
                f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{glyph["viewBox"]}">'
                f'<path d="{glyph["path"]}" fill="none" stroke="#131a18" stroke-width="2"/></svg>'
            )


def file_name(content: Mapping[str, Any], version: int | None) -> str:
    """What the download is called."""
    last = f"-{version}" if version else ""
    return f"service-sheet-{content['job']['tag']}{last}.pdf"
