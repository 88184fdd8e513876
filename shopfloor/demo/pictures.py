"""Drawn stand-ins for the photos of the demo: plainly drawings, of nobody's bike."""

import io
import random

from PIL import Image, ImageDraw

SIZE = (1200, 900)
PAPER, METAL, DARK, DIRT = (226, 230, 226), (150, 158, 160), (58, 64, 66), (126, 98, 66)


def picture(kind: str, *, dirty: bool) -> bytes:
    """A JPEG of one of: bike, cones, rotor, tyre; with dirt on it or clean."""
    image = Image.new("RGB", SIZE, PAPER)
    draw = ImageDraw.Draw(image)
    {"bike": _bike, "cones": _cones, "rotor": _rotor, "tyre": _tyre}[kind](draw)
    if dirty:
        _dirt(draw, kind)
    out = io.BytesIO()
    image.save(out, "JPEG", quality=80)
    return out.getvalue()


def _bike(draw: ImageDraw.ImageDraw) -> None:
    for x in (330, 870):
        draw.ellipse((x - 210, 420, x + 210, 840), outline=DARK, width=16)
        draw.ellipse((x - 16, 614, x + 16, 646), fill=METAL)
    frame = [(330, 630), (560, 640), (480, 330), (790, 330), (560, 640)]
    draw.line(frame, fill=METAL, width=22, joint="curve")
    draw.line([(330, 630), (480, 330)], fill=METAL, width=18)
    draw.line([(770, 250), (870, 630)], fill=METAL, width=20)
    draw.line([(430, 290), (540, 290)], fill=DARK, width=24)
    draw.line([(700, 240), (830, 230)], fill=DARK, width=20)
    draw.ellipse((510, 590, 610, 690), outline=DARK, width=14)


def _cones(draw: ImageDraw.ImageDraw) -> None:
    draw.ellipse((250, 100, 950, 800), fill=METAL, outline=DARK, width=12)
    draw.ellipse((400, 250, 800, 650), fill=(186, 192, 194), outline=DARK, width=6)
    draw.ellipse((530, 380, 670, 520), fill=DARK)
    for x, y in ((450, 330), (495, 300), (700, 590), (735, 545), (640, 612)):
        draw.ellipse((x - 14, y - 14, x + 14, y + 14), fill=DARK)


def _rotor(draw: ImageDraw.ImageDraw) -> None:
    draw.ellipse((260, 110, 940, 790), fill=METAL, outline=DARK, width=6)
    draw.ellipse((360, 210, 840, 690), fill=PAPER, outline=DARK, width=6)
    for x, y in ((600, 160), (890, 450), (600, 740), (310, 450), (395, 245), (805, 655)):
        draw.ellipse((x - 20, y - 20, x + 20, y + 20), fill=PAPER)
    for end in ((600, 210), (840, 450), (600, 690), (360, 450)):
        draw.line([(600, 450), end], fill=METAL, width=34)
    draw.line([(300, 640), (200, 740)], fill=DARK, width=40)


def _tyre(draw: ImageDraw.ImageDraw) -> None:
    draw.rectangle((0, 260, 1200, 640), fill=DARK)
    for x in range(0, 1200, 90):
        draw.polygon([(x, 300), (x + 40, 300), (x + 70, 450), (x + 30, 450)], fill=(40, 44, 46))
        draw.polygon([(x, 600), (x + 40, 600), (x + 70, 450), (x + 30, 450)], fill=(40, 44, 46))
    for y in range(430, 476, 8):
        draw.line([(430, y), (790, y)], fill=(204, 188, 150), width=3)


def _dirt(draw: ImageDraw.ImageDraw, kind: str) -> None:
    """Specks at fixed places; the same picture each time gives the same hash."""
    left, top, width, height = {"bike": (140, 420, 920, 420)}.get(kind, (280, 160, 640, 600))
    scatter = random.Random(kind)  # noqa: S311  a picture, no secret
    for _ in range(170):
        x, y = left + scatter.randrange(width), top + scatter.randrange(height)
        r = scatter.randrange(2, 11)
        draw.ellipse((x - r, y - r, x + r, y + r), fill=DIRT)
