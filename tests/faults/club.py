"""Keepers who never stop writing, and what the journal has to hold of it: each message's effect once, in the order it was told."""

from __future__ import annotations

from dataclasses import dataclass, field
from random import Random

from bot.clock import WallClock
from core.events import Voided, WaterChanged
from core.store import Store
from tests.telegram.double import TOKEN, Double, Member

BOT = TOKEN.split(":", maxsplit=1)[0]


@dataclass
class Told:
    """A message that a keeper sent, with the percentage it stands for after its last edit."""

    message: int
    percent: float
    edited: bool = False


@dataclass
class Keeper:
    """A member with a fishroom, and everything they wrote about it."""

    member: Member
    room: str
    told: list[Told] = field(default_factory=list)

    def tell(self, message: int, percent: float) -> None:
        """They wrote a water change of so many percent."""
        self.told.append(Told(message, percent))


@dataclass
class Busy:
    """The keepers of a club and the updates they caused, as the inbox has to know them."""

    double: Double
    keepers: list[Keeper]
    updates: dict[int, str] = field(default_factory=dict)

    def write(self, chance: Random) -> None:
        """Somebody changes water, and now and then corrects what they wrote last."""
        keeper = chance.choice(self.keepers)
        if keeper.told and chance.random() < 0.15:
            last = keeper.told[-1]
            last.percent, last.edited = round(last.percent + 0.01, 2), True
            keeper.member.edit(f"{last.percent}% wc tank 1")
        else:
            turn, rest = divmod(len(keeper.told), 14)
            percent = round(1 + 7 * rest + 0.1 * turn, 1)  # never the same twice: that would be asked back
            sent = keeper.member.say(f"{percent}% wc tank 1")
            keeper.tell(sent["message_id"], percent)
        self._note(keeper)

    def _note(self, keeper: Keeper) -> None:
        update = self.double.updates[-1]
        self.updates[update["update_id"]] = f"{BOT}.{update['update_id']}.{keeper.member.chat.id}.{keeper.told[-1].message}"

    def confirmed(self) -> set[str]:
        """The updates that the bot has told the platform it holds, by the inbox's name for them."""
        open_still = {update["update_id"] for update in self.double.updates}
        return {name for number, name in self.updates.items() if number not in open_still}


def begin(store: Store, double: Double, count: int) -> Busy:
    """A club of so many keepers, each with a fishroom."""
    now, keepers = WallClock().now(), []
    with store.write() as tx:
        club = tx.clubs.add("Gravel Lane")
        for number in range(count):
            member = double.member(f"Keeper {number}")
            person = tx.people.add(member.user["first_name"], now)
            tx.people.identify("telegram", str(member.user["id"]), person.id, str(member.chat.id))
            tx.clubs.join(club.id, person.id, ["keeper", "organiser"] if number == 0 else ["keeper"], now)
            keepers.append(Keeper(member, tx.clubs.add_room(person.name, [club.id], [person.id]).id))
    club_of = Busy(double, keepers)
    for keeper in keepers:
        keeper.member.say("new tank 1, 240 litres, 26 C")
    return club_of


@dataclass(frozen=True)
class Found:
    """What the journal holds of a keeper's messages: `lost` have no effect, `doubled` several, `wrong` another than was told."""

    lost: int
    doubled: int
    wrong: int


def look(store: Store, keeper: Keeper, answered: int | None = None) -> Found:
    """Compares the journal with the first `answered` messages of the keeper (all of them by default)."""
    with store.read() as tx:
        entries = tx.journal.entries(f"fishroom:{keeper.room}")
    voided = {entry.event.target for entry in entries if isinstance(entry.event, Voided)}
    live: dict[str, list[float | None]] = {}
    for entry in entries:
        if isinstance(entry.event, WaterChanged) and entry.number not in voided and entry.source:
            percent = entry.event.percent
            live.setdefault(entry.source.message, []).append(None if percent is None else round(percent, 2))
    told = keeper.told if answered is None else keeper.told[:answered]
    effects = [(one, live.pop(str(one.message), [])) for one in told]
    strangers = sum(len(percents) for percents in live.values()) if answered is None else 0
    lost = sum(not percents for _, percents in effects)
    doubled = sum(len(percents) > 1 for _, percents in effects) + strangers
    wrong = sum(len(percents) == 1 and percents != [one.percent] for one, percents in effects) if answered is None else 0
    return Found(lost, doubled, wrong)
