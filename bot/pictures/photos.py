"""A member's photo made safe to keep and to show: ours from the first to the last byte, no place or camera in it, no surprises.

Whatever came in is decoded under limits and written anew as JPEG. Where and when a photo was taken, thumbnails, comments and
anything hidden behind the picture stay behind; only the way up is taken over from it.
"""

from __future__ import annotations

from dataclasses import dataclass
from io import BytesIO
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from PIL.Image import Image

FORMATS = ("JPEG", "PNG", "WEBP", "GIF")
MOST_BYTES = 20_000_000
MOST_PIXELS = 60_000_000
"""More than any phone's sensor delivers in its usual mode; decoded, that is 180 MB."""
LONGEST_SIDE = 1600
SHORTEST_SIDE = 16
QUALITY = 85
PAPER = (247, 242, 230)

Why = Literal["too_many_bytes", "heic", "not_a_picture", "too_many_pixels", "too_small", "damaged"]


@dataclass(frozen=True, slots=True)
class SafePhoto:
    """A JPEG with its size in pixels."""

    content: bytes
    width: int
    height: int


@dataclass(frozen=True, slots=True)
class Unfit:
    """Why a file was not taken."""

    why: Why


def make_safe(content: bytes, longest: int = LONGEST_SIDE) -> SafePhoto | Unfit:
    """The photo as a plain upright JPEG of at most `longest` pixels a side; of something that moves, its first picture."""
    if len(content) > MOST_BYTES:
        return Unfit("too_many_bytes")
    image = Unfit("heic") if _is_heic(content) else _opened(content)
    if isinstance(image, Unfit):
        return image
    try:
        image.draft("RGB", (longest, longest))
        image.load()
    except (OSError, SyntaxError, ValueError, EOFError, IndexError, KeyError, TypeError, MemoryError):
        return Unfit("damaged")
    return _written(_upright(image), longest)


def _is_heic(content: bytes) -> bool:
    """Whether it is a phone's HEIC file, by its brand (ISO/IEC 23008-12, from memory), so that the answer can say what to do."""
    return content[4:8] == b"ftyp" and content[8:12] in (b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1")


def _opened(content: bytes) -> Image | Unfit:
    """The file's header read, and nothing decoded, so that a small file cannot ask for a room full of memory."""
    from PIL import Image

    try:
        image = Image.open(BytesIO(content), formats=FORMATS)
        width, height = image.size
    except Image.DecompressionBombError:
        return Unfit("too_many_pixels")
    except (OSError, SyntaxError, ValueError, EOFError, IndexError, KeyError, TypeError, MemoryError):
        return Unfit("not_a_picture")
    if width * height > MOST_PIXELS:
        return Unfit("too_many_pixels")
    return Unfit("too_small") if min(width, height) < SHORTEST_SIDE else image


def _upright(image: Image) -> Image:
    from PIL import ImageOps

    try:
        return ImageOps.exif_transpose(image)
    except (OSError, SyntaxError, ValueError, EOFError, IndexError, KeyError, TypeError, ZeroDivisionError):
        return image


def _written(image: Image, longest: int) -> SafePhoto:
    image.thumbnail((longest, longest))
    flat = _flat(image)
    out = BytesIO()
    flat.save(out, format="JPEG", quality=QUALITY, optimize=True, progressive=True)
    return SafePhoto(out.getvalue(), flat.width, flat.height)


def _flat(image: Image) -> Image:
    """In plain sRGB without transparency: on paper where something shows through. A copy, so that nothing else comes along."""
    from PIL import Image

    if image.has_transparency_data:
        layer = image.convert("RGBA")
        paper = Image.new("RGB", image.size, PAPER)
        paper.paste(layer, mask=layer.getchannel("A"))
        return paper
    plain = _in_srgb(image)
    clean = Image.new("RGB", plain.size)
    clean.paste(plain)
    return clean


def _in_srgb(image: Image) -> Image:
    """The colours as every screen shows them; a profile that cannot be read is left out of account."""
    from PIL import ImageCms

    profile = image.info.get("icc_profile")
    if profile and image.mode in {"RGB", "CMYK", "L"}:
        try:
            source = ImageCms.ImageCmsProfile(BytesIO(profile))
            changed = ImageCms.profileToProfile(image, source, ImageCms.createProfile("sRGB"), outputMode="RGB")
        except (ImageCms.PyCMSError, OSError, ValueError, TypeError):
            changed = None
        if changed is not None:
            return changed
    return image.convert("RGB")
