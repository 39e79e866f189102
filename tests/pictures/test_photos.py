"""What members send as a photo: kept without its secrets, or kindly not taken."""

import struct
import zlib
from io import BytesIO

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from bot.pictures.photos import MOST_BYTES, SafePhoto, Unfit, make_safe

GPS_TAG, ORIENTATION, MODEL = 0x8825, 0x0112, 0x0110  # Exif 2.32, tables 4 and 15


def photo(format_: str = "JPEG", size: tuple[int, int] = (400, 300), mode: str = "RGB", **how: object) -> bytes:
    """A picture that is red on its left half and blue on its right."""
    image = Image.new("RGB", size, (200, 20, 20))
    image.paste((20, 20, 200), (size[0] // 2, 0, size[0], size[1]))
    out = BytesIO()
    image.convert(mode).save(out, format=format_, **how)  # type: ignore[arg-type]
    return out.getvalue()


def opened(taken: SafePhoto | Unfit) -> Image.Image:
    assert isinstance(taken, SafePhoto)
    image = Image.open(BytesIO(taken.content))
    image.load()
    assert image.format == "JPEG"
    assert image.mode == "RGB"
    assert image.size == (taken.width, taken.height)
    return image


def located(orientation: int = 1) -> bytes:
    """A phone's photo: it knows where it was taken, and by which device."""
    exif = Image.Exif()
    exif[ORIENTATION] = orientation
    exif[MODEL] = "SecretPhone 12"
    exif.get_ifd(GPS_TAG).update({1: "N", 2: (59.0, 54.0, 48.0), 3: "E", 4: (10.0, 45.0, 8.0)})
    return photo(exif=exif, comment=b"shot at home")


def test_a_photo_forgets_where_it_was_taken() -> None:
    before = located()
    assert Image.open(BytesIO(before)).getexif().get_ifd(GPS_TAG)
    taken = make_safe(before)
    image = opened(taken)
    assert isinstance(taken, SafePhoto)
    assert len(image.getexif()) == 0
    assert not {"exif", "comment", "xmp", "icc_profile", "photoshop"} & set(image.info)
    assert b"Secret" not in taken.content
    assert b"Exif" not in taken.content


def test_a_photo_stands_upright() -> None:
    # Exif orientation 6: the 0th row is the visual right-hand side, so it is shown turned by 90° clockwise (Exif 2.32, table 4)
    image = opened(make_safe(located(orientation=6)))
    assert image.size == (300, 400)
    top, bottom = image.getpixel((150, 50)), image.getpixel((150, 350))
    assert isinstance(top, tuple)
    assert isinstance(bottom, tuple)
    assert top[0] > 150 > top[2]  # the left half, red, has come to the top
    assert bottom[2] > 150 > bottom[0]


def test_a_large_photo_is_made_smaller_and_keeps_its_shape() -> None:
    image = opened(make_safe(photo(size=(2400, 1800))))
    assert image.size == (1600, 1200)


def test_a_small_photo_is_not_blown_up() -> None:
    assert opened(make_safe(photo(size=(120, 90)))).size == (120, 90)


def test_what_is_see_through_lies_on_paper() -> None:
    out = BytesIO()
    Image.new("RGBA", (64, 64), (0, 0, 0, 0)).save(out, format="PNG")
    red, green, blue = opened(make_safe(out.getvalue())).getpixel((32, 32))  # type: ignore[misc]
    assert min(red, green, blue) > 200


@pytest.mark.parametrize("format_", ["GIF", "WEBP", "PNG"])
def test_of_something_that_moves_the_first_picture_is_kept(format_: str) -> None:
    frames = [Image.new("RGB", (64, 64), colour) for colour in ("red", "green", "blue")]
    out = BytesIO()
    frames[0].save(out, format=format_, save_all=True, append_images=frames[1:])
    red, green, blue = opened(make_safe(out.getvalue())).getpixel((32, 32))  # type: ignore[misc]
    assert red > 200
    assert max(green, blue) < 60


@pytest.mark.parametrize(
    ("format_", "mode"),
    [("PNG", "P"), ("PNG", "L"), ("PNG", "1"), ("PNG", "I;16"), ("JPEG", "CMYK"), ("JPEG", "L"), ("GIF", "P"), ("PNG", "LA")],
)
def test_every_kind_of_colour_is_read(format_: str, mode: str) -> None:
    grey = Image.new("L", (64, 64), 128)
    out = BytesIO()
    grey.convert("I;16" if mode == "I;16" else mode).save(out, format=format_)
    assert opened(make_safe(out.getvalue())).size == (64, 64)


def png_that_claims(width: int, height: int) -> bytes:
    """A PNG of a few bytes that says it is huge."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(b"\0" * 100_000)) + chunk(b"IEND", b"")


@pytest.mark.parametrize("size", [(50_000, 50_000), (9_000, 9_000), (2_000_000, 40)])
def test_a_small_file_cannot_ask_for_a_room_full_of_memory(size: tuple[int, int]) -> None:
    assert make_safe(png_that_claims(*size)) == Unfit("too_many_pixels")


def test_a_bomb_in_the_text_of_a_png_does_no_harm() -> None:
    text = zlib.compress(b"a" * 20_000_000)
    data = b"Comment\0\0" + text
    chunk = struct.pack(">I", len(data)) + b"zTXt" + data + struct.pack(">I", zlib.crc32(b"zTXt" + data))
    good = photo("PNG")
    assert isinstance(make_safe(good[:33] + chunk + good[33:]), SafePhoto | Unfit)


@pytest.mark.parametrize("format_", ["JPEG", "PNG", "GIF", "WEBP"])
@pytest.mark.parametrize("share", [0.05, 0.5, 0.95])
def test_a_file_that_broke_off_is_not_taken(format_: str, share: float) -> None:
    noise = Image.effect_noise((200, 200), 80).convert("RGB")
    out = BytesIO()
    noise.save(out, format=format_)
    whole = out.getvalue()
    assert isinstance(make_safe(whole), SafePhoto)
    assert isinstance(make_safe(whole[: int(len(whole) * share)]), Unfit)


@pytest.mark.parametrize(
    "content",
    [b"", b"hello", b"%PDF-1.7 ", b"<svg xmlns='http://www.w3.org/2000/svg'/>", b"GIF89a", b"\xff\xd8\xff", b"RIFF0000WEBPVP8 "],
)
def test_what_is_no_picture_is_said_to_be_none(content: bytes) -> None:
    taken = make_safe(content)
    assert isinstance(taken, Unfit)
    assert taken.why in {"not_a_picture", "damaged"}


@pytest.mark.parametrize("format_", ["BMP", "TIFF", "ICO", "PPM", "EPS", "TGA", "PDF"])
def test_formats_that_no_phone_sends_are_not_even_tried(format_: str) -> None:
    assert isinstance(make_safe(photo(format_)), Unfit)


def test_a_file_that_is_too_large_is_not_opened() -> None:
    assert make_safe(photo() + b"\0" * MOST_BYTES) == Unfit("too_many_bytes")


def test_a_dot_is_no_photo() -> None:
    assert make_safe(photo("PNG", (1, 1))) == Unfit("too_small")


@settings(max_examples=60, deadline=None)
@given(st.sampled_from(["JPEG", "PNG", "GIF", "WEBP"]), st.data())
def test_no_damage_makes_the_bot_stumble(format_: str, data: st.DataObject) -> None:
    content = bytearray(photo(format_, (48, 32)))
    for _ in range(data.draw(st.integers(1, 6))):
        content[data.draw(st.integers(0, len(content) - 1))] = data.draw(st.integers(0, 255))
    assert isinstance(make_safe(bytes(content)), SafePhoto | Unfit)


def test_colours_of_a_wide_screen_are_brought_home() -> None:
    from PIL import ImageCms

    # a profile of another kind than sRGB: in L*a*b* measured white, grey 128 stays about grey
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    image = opened(make_safe(photo(icc_profile=profile)))
    assert "icc_profile" not in image.info
    pixel = image.getpixel((50, 150))
    assert isinstance(pixel, tuple)
    assert pixel[0] > 180


def test_a_broken_colour_profile_does_not_lose_the_photo() -> None:
    assert opened(make_safe(photo(icc_profile=b"nonsense" * 40))).size == (400, 300)


def test_a_heic_file_is_known_for_what_it_is() -> None:
    """The brand of a HEIC file follows the length of its first box (ISO/IEC 23008-12, from memory)."""
    assert make_safe(b"\0\0\0\x18ftypheic\0\0\0\0mif1heic" + b"\0" * 200) == Unfit("heic")
