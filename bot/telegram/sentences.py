"""The few sentences this front door says by itself; everything else is the conversation's."""

from __future__ import annotations

OLD_BUTTON = "This button is from an older message and no longer works. Write to me instead, or ask for help."
SET_ASIDE = "Sorry, I could not handle your last message. It is kept, and the organiser has been told."
"""To the member whose message failed again and again."""
COMMANDS_PRIVATE = (
    ("start", "Say hello, or use an invitation"),
    ("due", "What is to be done today"),
    ("help", "What I understand"),
    ("page", "A link that opens the page as you"),
    ("settings", "Your morning, quiet hours and units"),
)
COMMANDS_GROUP = (("help", "What I can do in the group"),)
