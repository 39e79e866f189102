"""A command starts at once: what it does not need, it does not load."""

from tests.bench.starting import loaded


def test_reading_a_message_loads_no_database_and_draws_no_pictures() -> None:
    assert loaded() == []
