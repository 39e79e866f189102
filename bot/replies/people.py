"""What is said about members: invitations, being forgotten, their data, which fishroom they write to."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from bot.replies.words import listed

WHICH_ROLE = 'As what? Say for example "invite Sam as buyer", "invite Ada as keeper" or "invite Kim as organiser".'
FORGET_SURE = (
    "Shall I forget you? Your name, contact, notes and photo captions go, and I no longer write to you. What happened to the fish stays "
    "in the book without your name, so that the others' records remain whole. This cannot be undone."
)


def forget_sure(ended: Sequence[int], given_up: Sequence[int]) -> str:
    """Are they sure? `ended`: reservations of others that end with it, `given_up`: the reader's own."""
    lines = [FORGET_SURE]
    if ended:
        lines.append(f"What you promised others ends with it: {_numbers(ended)}. Their buyers are told.")
    if given_up:
        lines.append(f"Your own {'reservations' if len(given_up) > 1 else 'reservation'} {_numbers(given_up)} would be cancelled.")
    return "\n".join(lines)


def _numbers(numbers: Sequence[int]) -> str:
    return listed([f"#{number}" for number in numbers])


FORGOTTEN = "You are forgotten. Fare well, and good water."
ON_THE_PAGE = "on the page"
"""How the page is called where doors are listed."""
ON_TELEGRAM = "on Telegram"
"""How Telegram is called there."""
NO_PAGE = "No page is served here. Whoever runs Frywire can start it with one."
PAGE_IN_PRIVATE = "A link to the page is for you alone: ask me for it in a private chat."
YOUR_DATA = "Here is everything I keep of yours: tables (CSV), lists (JSON) and photos in one archive."


def invitation(name: str, roles: Sequence[str], code: str, links: Mapping[str, str]) -> str:
    """An invitation, with a link for each front door that has one."""
    lines = [f"An invitation for {name} as {listed(roles)}. It works once, within two weeks. Pass it on:"]
    lines += [f"• {where}: {link}{code}" for where, link in links.items()]
    if not links:
        lines.append(f"• code: {code}")
    return "\n".join(lines)


def page_link(link: str) -> str:
    """A link that signs the reader in."""
    return f"This opens the page as you, on one device, once, within an hour. Do not pass it on:\n{link}"


def entered(name: str) -> str:
    """From now on, messages go there."""
    return f"You are writing to {name} now."
