"""What somebody reads who opens the conversation: welcome, who I am, and why an invitation does not work."""

from __future__ import annotations

from collections.abc import Collection

from bot.replies.words import example_tank

GROUP = "Hello, all. I speak here when I am addressed, and once a week I post what the club has."
USED = "That invitation has been used. Ask the organiser for one of your own; each works once."
EXPIRED = "That invitation has run out. Ask the organiser for a new one."
UNKNOWN = "I do not know that invitation. Ask the organiser for one; each works once."
TOO_MANY = "That was too many wrong invitations from here. Please wait an hour, then try the right one."
NO_SUCH_PLACE = "I do not know that label, or it belongs to somebody else's fishroom."


def welcome(name: str, club: str, roles: Collection[str], *, us: bool = False) -> str:
    """The first message to a new member."""
    lines = [f"Welcome to {club}, {name}."]
    if "keeper" in roles:
        lines += [
            "I am the memory of your fishroom. Tell me in short words what is there and what happens, for example:",
            f"• new tank 1, {example_tank(us)}",
            "• added 4 female yellow labs and a male to tank 1",
            "• female 4 holding since saturday",
            "Every morning I say what is due. Whatever I record, you can take back.",
        ]
    if "buyer" in roles or "organiser" in roles or not roles:
        lines += ['Ask "what\'s available", reserve with "reserve 6 of B", or put yourself on the list: "wanted 4 female saulosi".']
    lines += [
        "What I say is guidance, no veterinary or legal advice. Unplug before hands go into water; keep cuts out of it; "
        "and never release fish into the wild.",
        '"help" shows more; "forget me" makes me forget you.',
    ]
    return "\n".join(lines)


def again(name: str) -> str:
    """Somebody known opens the conversation once more."""
    return f'Good to see you, {name}. Tell me what happened, or ask "what\'s due". "help" shows more.'


def at_place(place: str) -> str:
    """A label was scanned."""
    return f'You are at {place}. Just say "2 dead", "w/c 30%", "fed" or a number for a count; I forget the place after two hours.'
