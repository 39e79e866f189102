"""A whole club driven through random conversations, against the child's model of it.

After every step: the fish are as many as the model says, no promise changed but by its own buyer or the keeper, never more was said yes
to than there was, what the bot has at hand is what the journal replays to, and it always answered.
"""

from __future__ import annotations

from collections.abc import Sequence

from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule

from bot.conversation.message import Reply
from core.events import Cancelled, Reserved
from tests.fuzz.club import BEGAN_WITH, BUYERS, KEEPER, SETTING_UP, Club
from tests.fuzz.model import Deed, Model

people = st.sampled_from([KEEPER, *BUYERS])
buyers = st.sampled_from(BUYERS)
few = st.integers(1, 12)
WORDS = {"died": "{} died in A", "sold": "sold {} of A", "culled": "culled {} of A", "counted": "counted {} in A"}

AGO = ("", " yesterday", " 2 days ago", " 3 days ago")


class Conversations(RuleBasedStateMachine):
    """Random conversations of one keeper and three buyers about one batch."""

    def __init__(self) -> None:
        super().__init__()
        self.club = Club()
        self.model = Model(BEGAN_WITH)
        self.put_back: dict[str, Deed] = {}
        for text in SETTING_UP:
            self.club.say(KEEPER, text)

    def teardown(self) -> None:
        """The club is over."""
        self.club.close()

    # steps ------------------------------------------------------------------------------------------------------

    @rule(kind=st.sampled_from(["died", "sold", "culled"]), number=few)
    def fish_go(self, kind: str, number: int) -> None:
        """The keeper tells of fish that are gone; more than there are is asked about."""
        self._tell(kind, number)

    @rule(less=st.integers(-5, 8))
    def keeper_counts(self, less: int) -> None:
        """A count asserts what is there."""
        self._tell("counted", max(0, self.model.fish() - less))

    @rule(number=few, days=st.integers(1, 3))
    def death_told_late(self, number: int, days: int) -> None:
        """A death of an earlier day; where that day has a count, the bot asks and nothing is recorded."""
        day = self._day - days
        message = self._say(KEEPER, WORDS["died"].format(number) + AGO[days])
        if self.club.entries_of(KEEPER, message):
            assert not self.model.counted_on(day)
            self.model.fact(Deed(KEEPER, "died", number, day, message, days))
        else:
            self._say(KEEPER, "never mind")

    @rule(who=buyers, number=st.integers(1, 30))
    def buyer_reserves(self, who: str, number: int) -> None:
        """A yes needs fish that nobody else was promised."""
        message = self._say(who, f"reserve {number} of A for today")
        made = [entry.event for entry in self.club.entries_of(who, message) if isinstance(entry.event, Reserved)]
        if made:
            assert made[0].member == self.club.ids[who]
            assert self.model.promised() + number <= self.model.fish(), "oversold"
            self.model.reserve(made[0].reservation, Deed(who, "reserved", number, self._day, message))
        else:
            self._say(who, "never mind")

    @precondition(lambda self: self.model.promises)
    @rule(who=people, data=st.data())
    def somebody_calls_off(self, who: str, data: st.DataObject) -> None:
        """Buyers can call off their own; the keeper any; for others it is not there."""
        number = data.draw(st.sampled_from(sorted(self.model.promises)))
        promise = self.model.promises[number]
        message = self._say(who, f"cancel #{number}")
        if any(isinstance(entry.event, Cancelled) for entry in self.club.entries_of(who, message)):
            assert who in (KEEPER, promise.made.who)
            self.model.call_off(Deed(who, "cancelled", number, self._day, message))
        else:
            assert not promise.open or who not in (KEEPER, promise.made.who)

    @rule(who=people)
    def somebody_undoes(self, who: str) -> None:
        """Takes back one's own last message: a reservation is called off, a calling off only where the fish are still free."""
        deed = self.model.last_of(who)
        before = self.club.heads()
        message = self._say(who, "undo")
        if self.club.heads() == before:
            assert deed is None or deed.kind in ("cancelled", "reserved") or (who == KEEPER and deed is None)
            return
        if deed is None:
            assert who == KEEPER
            self._undone_the_beginning(who)
            return
        promise = self.model.promise_of(deed)
        if promise is not None and promise.open:
            self.model.call_off(Deed(who, "cancelled", promise.number, self._day, message))
            return
        deed.stands = False
        self.put_back[who] = deed
        self._never_oversold_by(deed)

    @precondition(lambda self: self.put_back)
    @rule(data=st.data())
    def somebody_puts_back(self, data: st.DataObject) -> None:
        """The button of a taking back, pressed later."""
        who = data.draw(st.sampled_from(sorted(self.put_back)))
        deed = self.put_back.pop(who)
        token = next(button.token for button in reversed(self.club.buttons[who]) if button.label == "Put it back")
        before = self.club.heads()
        self._answered(self.club.press(who, token))
        if self.club.heads() != before:
            deed.stands = True
            self._never_oversold_by(deed)

    @precondition(lambda self: self._editable() is not None)
    @rule(number=st.integers(1, 20))
    def keeper_edits(self, number: int) -> None:
        """An edit takes the place of what was said."""
        deed = self._editable()
        assert deed is not None
        self._answered(self.club.edit(KEEPER, deed.message, WORDS[deed.kind].format(number) + AGO[deed.late]))
        revision = self.club.revisions[deed.message]
        if self.club.entries_of(KEEPER, deed.message, revision):
            self.model.corrected(deed, number)
        else:
            self._say(KEEPER, "never mind")

    @rule(who=buyers, number=few)
    def buyer_meddles(self, who: str, number: int) -> None:
        """What is in the water is for its keeper to say."""
        before = self.club.heads()
        self._say(who, f"{number} died in A")
        self._say(who, f"counted {number} in A")
        assert self.club.heads() == before

    @rule(who=people)
    def message_comes_twice(self, who: str) -> None:
        """The platform delivers the last message once more: no second effect."""
        if who in self.club.last:
            before = self.club.heads()
            self._answered(self.club.conversation.hear(self.club.last[who]))
            assert self.club.heads() == before

    @rule()
    def bot_restarts(self) -> None:
        """Nothing at hand any more."""
        self.club.restart()

    @rule(days=st.integers(0, 2))
    def time_passes(self, days: int) -> None:
        """What is due falls due."""
        self.club.pass_days(days)

    # what always holds ------------------------------------------------------------------------------------------

    @invariant()
    def fish_are_conserved(self) -> None:
        """As many as a child would count."""
        assert self.club.room().batches["A"].count == self.model.fish()

    @invariant()
    def promises_are_kept_apart(self) -> None:
        """Each promise binds exactly while its buyer and the keeper let it."""
        said = {number: one.open_at(self.club.clock.now()) for number, one in self.club.room().reservations.items()}
        assert {number for number, binds in said.items() if binds} == {n for n, one in self.model.promises.items() if one.open}

    @invariant()
    def at_hand_is_what_replays(self) -> None:
        """The state at hand is that of the journal."""
        assert self.club.room() == self.club.room_anew()

    # helpers ----------------------------------------------------------------------------------------------------

    @property
    def _day(self) -> int:
        return self.club.clock.now().date().toordinal()

    def _say(self, who: str, text: str) -> str:
        self._answered(self.club.say(who, text))
        return self.club.last[who].origin.message

    def _answered(self, replies: Sequence[Reply]) -> None:
        assert replies
        assert all(reply.text.strip() for reply in replies)

    def _tell(self, kind: str, number: int) -> None:
        fish, again = self.model.fish(), self.model.told_on(KEEPER, kind, number, self._day)
        message = self._say(KEEPER, WORDS[kind].format(number))
        if not self.club.entries_of(KEEPER, message):
            # The letter of an emptied batch is nobody's: the bot asks which batch is meant.
            assert again or fish == 0 or (kind != "counted" and number > fish)
            if not again or fish == 0 or number > fish:
                self._say(KEEPER, "never mind")
                return
            message = self._say(KEEPER, "yes")
        assert kind == "counted" or number <= fish
        self.model.fact(Deed(KEEPER, kind, number, self._day, message))  # type: ignore[arg-type]

    def _editable(self) -> Deed | None:
        """The keeper's last fact, if it still stands and was not an answer."""
        deed = next((deed for deed in reversed(self.model.facts) if deed.stands), None)
        return deed if deed and self.club.said_in(deed.message).startswith(("counted", "sold", "culled", "1", "2", "3")) else None

    def _never_oversold_by(self, deed: Deed) -> None:
        """Whatever was put in force again by choice leaves no promise without fish."""
        if deed.kind in ("reserved", "cancelled") and self._binds(deed):
            assert self.model.promised() <= self.model.fish(), "oversold by taking back"

    def _binds(self, deed: Deed) -> bool:
        promise = self.model.promise_of(deed) or self.model.promises.get(deed.number if deed.kind == "cancelled" else -1)
        return promise is not None and promise.open

    def _undone_the_beginning(self, who: str) -> None:
        """The keeper took back what the club began with: put back at once."""
        token = next(button.token for button in reversed(self.club.buttons[who]) if button.label == "Put it back")
        self._answered(self.club.press(who, token))
