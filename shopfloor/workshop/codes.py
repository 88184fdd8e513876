"""A text as a QR code, drawn as SVG."""

import segno

# The quiet zone that the standard asks for, in modules (ISO/IEC 18004; from memory).
QUIET_ZONE = 4


class TooLong(Exception):
    """The text does not fit into a code."""


def qr_svg(text: str, *, sturdy: bool) -> str:
    """
    The whole SVG file.

    sturdy  for a label that gets dirty: a quarter may be lost; else as few squares as possible

    Raises TooLong.
    """
    try:
        code = segno.make(text, error="q" if sturdy else "l", micro=False, boost_error=sturdy)
    except segno.DataOverflowError as error:
        raise TooLong("This text is too long for a code.") from error
    drawn: str = code.svg_inline(border=QUIET_ZONE, dark="#000", light="#fff", omitsize=True)
    return drawn.replace("<svg ", '<svg xmlns="http://www.w3.org/2000/svg" ', 1)
