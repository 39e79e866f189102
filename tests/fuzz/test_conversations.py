"""Random conversations of a club, in small; `python -m tests.bench.fuzz` goes on for as long as one likes."""

from hypothesis import HealthCheck, settings

from tests.fuzz.machine import Conversations

TestRandomConversations = Conversations.TestCase
TestRandomConversations.settings = settings(
    max_examples=4, stateful_step_count=14, deadline=None, suppress_health_check=list(HealthCheck)
)
