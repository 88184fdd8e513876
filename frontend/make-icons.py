"""
Draws the app's icons: the allowed band with a reading in its middle, white on marking-out blue.

Run from the repository: .venv/bin/python frontend/make-icons.py
"""

from pathlib import Path

from PIL import Image, ImageDraw

ICONS = Path(__file__).resolve().parent / "icons"
BLUE, WHITE = (43, 47, 131), (255, 255, 255)
FINER = 4

# In hundredths of the icon: the band's frame, the reading, the stroke. The maskable icon keeps all
# inside the middle 80 % that launchers promise not to cut off (W3C Web App Manifest, safe zone).
SHAPES = {
    "icon-192.png": (192, 64),
    "icon-512.png": (512, 58),
    "icon-maskable-512.png": (512, 52),
    "apple-touch-icon.png": (180, 60),
}


def draw(size: int, percent: int) -> Image.Image:
    """The mark, `percent` of the icon wide, in its middle."""
    whole = size * FINER
    image = Image.new("RGB", (whole, whole), BLUE)
    pen = ImageDraw.Draw(image)
    unit = whole * percent / 100 / 20
    middle = whole / 2

    def box(half_width: float, half_height: float, colour: tuple[int, int, int]) -> None:
        across, up = half_width * unit, half_height * unit
        pen.rectangle((middle - across, middle - up, middle + across, middle + up), fill=colour)

    box(10, 6, WHITE)
    box(7.9, 3.9, BLUE)
    box(1.6, 9.5, WHITE)
    return image.resize((size, size), Image.Resampling.LANCZOS)


def svg() -> str:
    """The same mark for browser tabs."""
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 32 32">'
        '<rect width="32" height="32" rx="4" fill="#2b2f83"/>'
        '<path fill="#fff" fill-rule="evenodd" '
        'd="M5 9H14.3V4H17.7V9H27V23H17.7V28H14.3V23H5ZM8 12V20H14.3V12ZM17.7 12V20H24V12Z"/>'
        "</svg>\n"
    )


def main() -> None:
    """Write every icon beside the glyphs."""
    for name, (size, percent) in SHAPES.items():
        draw(size, percent).save(ICONS / name, optimize=True)
    (ICONS / "app.svg").write_text(svg(), encoding="utf-8")


if __name__ == "__main__":
    main()
