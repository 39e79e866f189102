"""What is said about a photo that was sent."""

from __future__ import annotations

NAME_IT = 'Nice. Say in the caption what it shows ("female 4", "batch B", "tub"), and I keep it there.'


def unusable(why: str) -> str:
    """Why the photo was not kept."""
    return f"I could not keep that picture ({why.replace('_', ' ')}). A photo straight from the phone works best."
