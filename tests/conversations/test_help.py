"""Help shows only sentences that are understood: by a fishroom with a season behind it, and by one that is an hour old."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from bot.play.player import play
from bot.play.script import parse
from bot.play.stage import PlainStage
from bot.replies.talk import HOW, TO_BUYERS
from core.store import Store

LATER = ("#12", "Sam", "a photo")
"""What needs somebody, something or a reservation that an example club does not have."""
NOW = datetime(2026, 3, 2, 18, 0, tzinfo=UTC)


@pytest.fixture
def stage(tmp_path: Path, request: pytest.FixtureRequest) -> PlainStage:
    """A club of one keeper who organises it, and a buyer, after what was told."""
    told = "\n".join(f"Nell: {line}" for line in request.param)
    units = "us" if any("gallons" in line for line in request.param) else "metric"
    script = parse(f"club: Mill Pond Breeders; units {units}\npeople: Nell keeper+organiser; Otto buyer\n-- Mon 2 Mar 2026 18:00\n{told}\n")
    found = PlainStage(Store.open(f"sqlite:///{tmp_path / 'club.sqlite'}"), script, NOW)
    for _ in play(script, found, NOW):
        pass
    return found


METRIC = [
    "new tank 1, 240 litres, 26 C",
    "new tub, 500 litres",
    "added 4 female yellow labs and a male to tank 1",
    "female 3 holding since yesterday",
    "bought 30 young yellow labs, 40 mm, into tub",
]
US = ["new tank 1, 55 gallons, 79 F", "added 4 female saulosi and a male to tank 1", "bought 12 young saulosi, 1.5 in, into tank 1"]


@pytest.mark.parametrize("stage", [METRIC, US], indirect=True, ids=["metric", "us"])
@pytest.mark.parametrize("who", ["Nell", "Otto"])
def test_whatever_help_shows_is_understood(stage: PlainStage, who: str) -> None:
    text = stage.say(who, "help")[0].text
    shown = [line.removeprefix("• ") for line in text.splitlines() if line.startswith("• ")]
    said = [one for line in shown for one in (line.split(", ") if line.startswith(("chart", "my")) else [line])]
    assert len(said) >= 6
    for sentence in said:
        if any(word in sentence for word in LATER):
            continue
        replies = stage.say(who, sentence)
        answer = "\n".join(one.text for one in replies)
        assert answer, sentence
        assert HOW not in answer, sentence
        assert TO_BUYERS[HOW] not in answer, sentence
        assert "I know no" not in answer, sentence
        if any("Take back" in one.labels for one in replies) and not sentence.startswith("new"):
            stage.say(who, "undo")


@pytest.mark.parametrize("stage", [[]], indirect=True)
def test_who_begins_is_shown_first_how_to_set_up(stage: PlainStage) -> None:
    text = stage.say("Nell", "how do I start?")[0].text
    assert text.index("new tank 1") < text.index("From the fishroom")
    assert "book is still empty" in stage.say("Nell", "what's due")[0].text


@pytest.mark.parametrize("stage", [METRIC], indirect=True)
def test_help_with_something_is_help_and_a_cry_for_help_is_heard(stage: PlainStage) -> None:
    assert '"page"' in stage.say("Otto", "help page")[0].text
    assert stage.say("Nell", "help, 2 dead in tub")[0].text.startswith("2 deaths in batch A (tub).")


@pytest.mark.parametrize("stage", [METRIC], indirect=True)
def test_all_pickups_go_into_one_calendar(stage: PlainStage) -> None:
    assert "nothing to put into a calendar" in stage.say("Otto", "calendar")[0].text
    stage.say("Nell", "offer A at 5")
    stage.say("Otto", "reserve 2 of A, pickup saturday 10:00")
    stage.say("Otto", "reserve 1 of A, pickup sunday 10:00")
    for who, files in (("Otto", ("pickups.ics",)), ("Nell", ("pickups.ics", "ready-days.ics"))):
        answer = stage.say(who, "my calendar")[0]
        assert answer.files == files
        assert "2 agreed pickups" in answer.text
    stage.advance(NOW + timedelta(days=8))
    assert "nothing to put into a calendar" in stage.say("Otto", "calendar")[0].text
    assert stage.say("Nell", "calendar")[0].text.startswith("The likely ready day of a batch for your calendar.")


@pytest.mark.parametrize("stage", [METRIC], indirect=True)
def test_an_empty_shelf_comes_without_an_empty_table(stage: PlainStage) -> None:
    assert stage.say("Otto", "shelf")[0].files == ()
    stage.say("Nell", "offer A at 5")
    assert stage.say("Otto", "shelf")[0].files == ("shelf.csv", "shelf.png")
