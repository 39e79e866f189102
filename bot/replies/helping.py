"""What can be said to the bot, with sentences that it really reads."""

from __future__ import annotations

from collections.abc import Sequence


def text(keeper_says: Sequence[str], buyer_says: Sequence[str], *, keeper: bool, organiser: bool) -> str:
    """Help for what this member may do; the sentences are sampled from the vocabulary with the fishroom's own names."""
    parts = ["Just tell me what happened, in your own short words. I say back what I recorded, and you can take it back."]
    if keeper:
        parts += ["", "From the fishroom:", *_lines(keeper_says)]
        parts += ["", "To plan:", "• what's due today", "• when can I strip 4", "• how big is C", "• water in the tub", "• chart C, season, labels"]
        parts += ["", "To set up:", "• new tank 2, 200 litres, 26 C", "• added 4 female yellow labs to tank 2", "• test the tub every 5 days"]
    parts += ["", "To get fish:" if not keeper else "Orders:", *_lines(buyer_says), "• what's available", "• my reservations"]
    if organiser:
        parts += ["", "For the organiser:", "• invite Sam as buyer", "• promise level 90%", "• people"]
    parts += ["", 'Always: "undo", "settings", "give me my data", "forget me".']
    return "\n".join(parts)


def _lines(sentences: Sequence[str]) -> list[str]:
    """The sentences whose gaps this fishroom can fill."""
    return [f"• {sentence}" for sentence in sentences if "  " not in sentence and sentence == sentence.strip()]
