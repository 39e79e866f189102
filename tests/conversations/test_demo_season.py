"""The demo season plays as it is written: everything told is recorded, nothing in any fishroom is left unfitting."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

import pytest

from bot.conversation.message import Origin, Text
from bot.play.player import Played, play
from bot.play.season import season
from bot.play.stage import PlainStage
from core.fishroom.state import Fishroom
from core.store import Store

pytestmark = pytest.mark.xdist_group("season")  # played once, by one worker
NOW = datetime(2026, 5, 20, 9, 30, tzinfo=UTC)
"""Any day will do: the season is shifted so that it ends then."""
DOES = frozenset({"say", "edit", "press", "photo"})
TAKES_BACK = frozenset({"undo"})


@dataclass(frozen=True, slots=True)
class Season:
    """The season played to its end."""

    stage: PlainStage
    steps: list[Played]
    rooms: list[Fishroom]

    def ask(self, name: str, question: str) -> str:
        """What the bot answers somebody."""
        origin = Origin(self.stage.ids[name], "play", name, f"asked {question}")
        return "\n".join(reply.text for reply in self.stage.conversation.hear(Text(origin, question)))


@pytest.fixture(scope="module")
def told(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Season]:
    path: Path = tmp_path_factory.mktemp("demo") / "demo.sqlite"
    store = Store.open(f"sqlite:///{path}")
    script, moment = season(NOW)
    stage = PlainStage(store, script, moment)
    steps = list(play(script, stage, moment, stage.leap))
    stage.leap(NOW)
    with stage.conversation.visits.read() as visit:
        rooms = [room for club in visit.tx.clubs.all() for room in visit.rooms_of_club(club.id)]
    yield Season(stage, steps, rooms)
    store.close()


def test_everything_that_is_told_is_recorded(told: Season) -> None:
    silent = [
        f"{played.step.name}: {played.step.text}"
        for played in told.steps
        if played.step.kind in DOES and played.step.text not in TAKES_BACK and not played.step.text.endswith("?")
        if not any("Take back" in reply.labels for reply in played.replies)
    ]
    assert not silent


def test_every_step_can_be_done(told: Season) -> None:
    assert not [played.trouble for played in told.steps if played.trouble]


def test_nothing_in_any_fishroom_is_left_unfitting(told: Season) -> None:
    assert len(told.rooms) == 3
    assert not [problem for room in told.rooms for problem in room.problems]


def test_the_season_ends_today(told: Season) -> None:
    days = {entry.told.date() for room in told.rooms for entry in _entries(told, room)}
    assert max(days).toordinal() == NOW.date().toordinal() - 1  # the last messages are of yesterday evening


def test_it_has_what_there_is_to_talk_about(told: Season) -> None:
    wren = next(room for room in told.rooms if "M1" in room.fish and room.fish["M1"].nickname == "Rook")
    assert wren.brood_of("F4") is not None, "a female holds"
    assert {"C", "D"} <= {batch.label for batch in wren.live_batches()}
    assert any(room.places[place].type == "box" for room in told.rooms for batch in room.live_batches() for place in batch.places)
    assert any(one.pickup and one.status == "confirmed" for one in wren.reservations.values()), "a pickup is ahead"
    assert any(batch.merged_into for room in told.rooms for batch in room.batches.values()), "batches mixed"
    assert any(brood.outcome == "lost" for brood in wren.broods.values()), "a brood was swallowed"
    assert any(fish.born or fish.formerly for room in told.rooms for fish in room.fish.values()), "a fish changed hands"


def _entries(told: Season, room: Fishroom):  # type: ignore[no-untyped-def]
    with told.stage.store.read() as tx:
        return tx.journal.entries(f"fishroom:{room.id}")


@pytest.mark.parametrize(
    ("question", "names"),
    [
        ("when can I strip 4?", ("Female 4", "Strip window", "°C")),
        ("what is due", ("1.", "tub")),
        ("how big is C and when can I sell it?", ("Batch C", "cm on average", "sell")),
        ("is the tub safe?", ("Tub", "safe", "ammonia")),
        ("are 4 and Rook related?", ("female 4", "Rook", "12.5")),
        ("what should D eat?", ("Batch D", "g a day")),
        ("how many unsexed to buy for 1 male and 4 females?", ("1 male and 4 females", "unsexed")),
    ],
)
def test_a_keeper_asks_in_plain_words_and_is_answered_so(told: Season, question: str, names: tuple[str, ...]) -> None:
    answer = told.ask("Wren", question)
    assert not [name for name in names if name not in answer], answer
