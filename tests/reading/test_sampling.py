"""The sentences that the vocabulary teaches are read back to what they were made from."""

from datetime import datetime

import pytest

from bot.reading import Events, Names, Query, read, sample
from bot.reading.sampling import sentences

NOW = datetime.fromisoformat("2026-09-03T08:15")


@pytest.mark.parametrize("kind", sorted(sentences()))
def test_every_sampled_sentence_is_read_back(kind: str, club: Names) -> None:
    made = sample(kind, club, 25, seed=7, now=NOW)
    assert made
    for text, item in made:
        reading = read(text, now=NOW, by="Hanna", names=club)
        assert isinstance(reading, Events | Query), (text, reading)
        got = reading.items[0] if isinstance(reading, Events) else reading.item
        assert {"kind": got.kind, **got.slots} == {"kind": item.kind, **item.slots}, text


def test_the_same_seed_gives_the_same_sentences(club: Names) -> None:
    assert sample("holding", club, 5, seed=1) == sample("holding", club, 5, seed=1)


def test_a_kind_that_is_not_taught_has_no_sentences(club: Names) -> None:
    assert sample("photo", club, 5, seed=1) == []
