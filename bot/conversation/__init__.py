"""A message comes in, replies go out: the one place where reading, the club and the wording meet."""

from bot.conversation.conversation import Conversation, start_club

__all__ = ["Conversation", "start_club"]
