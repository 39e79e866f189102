"""The chat bot: reads members' messages, answers them, and serves the front doors."""
