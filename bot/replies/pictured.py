"""What is said about a photo that was sent."""

from __future__ import annotations

from collections.abc import Mapping

NAME_IT = (
    'Whose picture is it? I have not kept it yet: say in the caption what it shows ("female 4", "batch B", "tub"). '
    "Edit the caption, or send the photo once more with one."
)


STRAIGHT = "A photo straight from the phone works best."
UNUSABLE: Mapping[str, str] = {
    "heic": 'I could not keep that picture: it is a HEIC file, which I cannot open. Send it as a photo instead of as a file, or as JPEG.',
    "too_many_bytes": f"I could not keep that picture: its file is larger than 20 MB. {STRAIGHT}",
    "too_many_pixels": f"I could not keep that picture: it has more than 60 megapixels. {STRAIGHT}",
    "too_small": f"I could not keep that picture: it is too small to show anything. {STRAIGHT}",
    "damaged": f"I could not keep that picture: the file is damaged or did not arrive whole. Send it once more. {STRAIGHT}",
    "not_a_picture": f"I could not keep that: it is no picture that I can open. {STRAIGHT}",
}


def unusable(why: str) -> str:
    """Why the photo was not kept."""
    return UNUSABLE.get(why, UNUSABLE["not_a_picture"])
