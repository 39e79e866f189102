"""What is said about a photo that was sent."""

from __future__ import annotations

from bot.pictures.photos import Unfit

NAME_IT = 'Nice. Say in the caption what it shows ("female 4", "batch B", "tub"), and I keep it there.'


def unusable(reason: Unfit) -> str:
    """Why the photo was not kept."""
    return f"I could not keep that picture ({reason.why.replace('_', ' ')}). A photo straight from the phone works best."
