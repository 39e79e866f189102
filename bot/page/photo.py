"""A small copy of a photo for the log: what the member sent, and nothing of what the camera wrote into it."""

from __future__ import annotations

import io
import warnings

from PIL import Image, ImageOps, UnidentifiedImageError

SIDE = 480
MOST_PIXELS = 60_000_000


def thumbnail(content: bytes) -> bytes | None:
    """JPEG of at most 480 pixels a side; None for what is no picture, or one whose size is a trap."""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            with Image.open(io.BytesIO(content), formats=("JPEG", "PNG", "WEBP", "GIF")) as opened:
                if opened.width * opened.height > MOST_PIXELS:
                    return None
                opened.draft("RGB", (SIDE, SIDE))
                small = ImageOps.exif_transpose(opened).convert("RGB")
        small.thumbnail((SIDE, SIDE))
        written = io.BytesIO()
        small.save(written, "JPEG", quality=80)
    except (
        UnidentifiedImageError,
        OSError,
        ValueError,
        SyntaxError,
        Image.DecompressionBombWarning,
        Image.DecompressionBombError,
    ):
        return None
    return written.getvalue()
