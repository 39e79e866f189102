"""What the bot says by itself: claimed, sent, marked; given up for good, or followed, or told again with a word about it."""

from __future__ import annotations

import asyncio

import pytest

from bot.clock import WallClock
from bot.conversation.message import Reply
from bot.telegram import Settings, Telegram, serve
from core.store import Store
from tests.telegram.conftest import settled
from tests.telegram.double import Double, Fault, Member
from tests.telegram.notebook import Notebook, buttons, image
from tests.telegram.sending import put, row


async def sent(door: Telegram) -> None:
    door.courier.wake()
    await door.settled()


async def test_what_falls_due_is_sent_with_its_buttons_and_pictures(
    double: Double, door: Telegram, store: Store, marit: Member, notebook: Notebook
) -> None:
    key = put(store, marit.chat, "digest", Reply("Tank 1: strip female 4.", buttons("Done", "Later"), (image(),)))
    await double.until(lambda: len(marit.chat.from_bot) == 2)
    await sent(door)
    assert marit.texts[0] == "Tank 1: strip female 4."
    marit.press("Done")
    await settled(double, door)
    assert notebook.said == ["press Done"]
    assert (row(store, key).state, row(store, key).message) == ("sent", str(marit.chat.from_bot[1]["message_id"]))


async def test_the_ticker_asks_the_conversation_what_fell_due(
    double: Double, door: Telegram, store: Store, marit: Member, notebook: Notebook
) -> None:
    notebook.on_due = lambda: put(store, marit.chat, "notice", "Your pickup is at six.", key="pickup:1")
    await double.until(lambda: bool(marit.texts))
    async with asyncio.timeout(8):
        while notebook.ticks < 3:
            await asyncio.sleep(0.02)
    assert marit.texts == ["Your pickup is at six."]


async def test_what_is_due_is_sent_even_where_the_reckoning_fails(
    double: Double, door: Telegram, store: Store, marit: Member, notebook: Notebook
) -> None:
    def fail() -> None:
        raise RuntimeError("no digest today")

    notebook.on_due = fail
    put(store, marit.chat, "alert", "Bad water in tank 3.")
    await double.until(lambda: marit.texts == ["Bad water in tank 3."])


async def test_an_alert_goes_out_as_soon_as_the_message_that_causes_it_is_heard(
    double: Double, settings: Settings, store: Store, notebook: Notebook, marit: Member, oleg: Member
) -> None:
    slow = Settings(settings.token, settings.base_url, tick_seconds=3600)
    async with serve(slow, store, notebook, WallClock()) as door:
        await door.ready()
        notebook.answers["ammonia 1.0 in tank 3"] = []
        marit.say("ammonia 1.0 in tank 3")
        put(store, oleg.chat, "alert", "Bad water in tank 3.")
        await double.until(lambda: oleg.texts == ["Bad water in tank 3."])


async def test_a_blocked_chat_is_given_up_for_good(
    double: Double, door: Telegram, store: Store, marit: Member, oleg: Member
) -> None:
    with store.write() as tx:
        tx.people.add("Marit", WallClock().now(), id="marit")
        tx.people.identify("telegram", str(marit.user["id"]), "marit", str(marit.chat.id))
    marit.block()
    keys = [put(store, marit.chat, "alert", f"alert {number}") for number in range(3)]
    put(store, oleg.chat, "alert", "alert")
    await sent(door)
    assert [row(store, key).state for key in keys] == ["given_up"] * 3
    assert oleg.texts == ["alert"]
    assert double.count("sendMessage", marit.chat.id) <= 3
    with store.read() as tx:
        assert tx.people.identities("marit")[0].blocked is not None
    before = double.count("sendMessage", marit.chat.id)
    await asyncio.sleep(0.3)
    assert double.count("sendMessage", marit.chat.id) == before


async def test_a_chat_that_never_was_is_given_up_too(double: Double, door: Telegram, store: Store, marit: Member) -> None:
    del double.chats[marit.chat.id]
    key = put(store, marit.chat, "digest", "Good morning.")
    await sent(door)
    assert row(store, key).state == "given_up"


async def test_stopping_and_starting_the_bot_in_the_app_is_noted(
    double: Double, door: Telegram, store: Store, marit: Member
) -> None:
    with store.write() as tx:
        tx.people.add("Marit", WallClock().now(), id="marit")
        tx.people.identify("telegram", str(marit.user["id"]), "marit", str(marit.chat.id))
    key = put(store, marit.chat, "alert", "Bad water.", key="later")
    await sent(door)
    for status in ("kicked", "member"):
        marit.membership(status)
        await settled(double, door)
        with store.read() as tx:
            assert (tx.people.identities("marit")[0].blocked is not None) == (status == "kicked")
    assert row(store, key).state == "sent"


async def test_who_writes_again_is_written_to_again(
    double: Double, door: Telegram, store: Store, marit: Member, notebook: Notebook
) -> None:
    number = str(marit.user["id"])
    notebook.names[number] = "marit"
    with store.write() as tx:
        tx.people.add("Marit", WallClock().now(), id="marit")
        tx.people.identify("telegram", number, "marit", str(marit.chat.id))
        tx.people.blocked("telegram", str(marit.chat.id), WallClock().now())
    marit.say("hello")
    await settled(double, door)
    with store.read() as tx:
        assert tx.people.identities("marit")[0].blocked is None


async def test_a_group_that_moved_is_followed(double: Double, door: Telegram, store: Store) -> None:
    group = double.group("The club")
    with store.write() as tx:
        club = tx.clubs.add("Gravel Lane")
        tx.clubs.set_group("telegram", str(group.id), club.id)
    new = double.add_chat(-1_000_000_000_777, "supergroup", "The club")
    group.moved_to = new.id
    key = put(store, group, "post", "On the shelf this week: yellow labs.")
    await double.until(lambda: bool(new.texts))
    await sent(door)
    assert new.texts == ["On the shelf this week: yellow labs."]
    assert row(store, key).state == "sent"
    with store.read() as tx:
        assert tx.clubs.groups(club.id) == [("telegram", str(new.id))]


async def test_a_group_that_says_it_moves_is_followed(double: Double, door: Telegram, store: Store, marit: Member) -> None:
    group = double.group("The club")
    with store.write() as tx:
        club = tx.clubs.add("Gravel Lane")
        tx.clubs.set_group("telegram", str(group.id), club.id)
    new = group.migrate()
    await settled(double, door)
    with store.read() as tx:
        assert tx.clubs.groups(club.id) == [("telegram", str(new.id))]


async def test_a_refused_connection_or_a_broken_server_delays_but_loses_nothing(
    double: Double, door: Telegram, store: Store, marit: Member, oleg: Member
) -> None:
    double.fail(Fault("sendMessage", 502, "Bad Gateway", chat=marit.chat.id))
    keys = [put(store, member.chat, "digest", "Good morning.") for member in (marit, oleg)]
    await double.until(lambda: bool(marit.texts and oleg.texts))
    await sent(door)
    assert [row(store, key).state for key in keys] == ["sent", "sent"]
    assert (marit.texts, oleg.texts) == (["Good morning."], ["Good morning."])


async def test_a_pause_the_platform_wants_is_kept_and_the_others_go_on(
    double: Double, door: Telegram, store: Store, marit: Member, oleg: Member
) -> None:
    double.fail(Fault("sendMessage", 429, "Too Many Requests: retry after 1", {"retry_after": 1}, chat=marit.chat.id))
    for member in (marit, oleg):
        for number in range(3):
            put(store, member.chat, "notice", f"notice {number}")
    await double.until(lambda: len(oleg.texts) == 3, 0.9)
    await double.until(lambda: len(marit.texts) == 3)
    calls = double.calls_of("sendMessage", marit.chat.id)
    assert calls[1].at - calls[0].at >= 1.0
    assert sorted(marit.texts) == [f"notice {number}" for number in range(3)]


async def test_an_alert_whose_answer_is_lost_comes_again_and_says_so_but_a_digest_does_not(
    double: Double, door: Telegram, store: Store, marit: Member, oleg: Member
) -> None:
    for member in (marit, oleg):
        double.fail(Fault("sendMessage", hang_up=True, after=True, chat=member.chat.id))
    alert = put(store, marit.chat, "alert", "Bad water in tank 3.")
    digest = put(store, oleg.chat, "digest", "Good morning.")
    await double.until(lambda: len(marit.texts) == 2)
    await sent(door)
    assert marit.texts == ["Bad water in tank 3.", "(may repeat) Bad water in tank 3."]
    assert oleg.texts == ["Good morning."]
    assert (row(store, alert).state, row(store, digest).state) == ("sent", "uncertain")


async def test_a_long_message_that_breaks_off_in_the_middle_is_uncertain_or_comes_again(
    double: Double, door: Telegram, store: Store, marit: Member, oleg: Member
) -> None:
    long = "\n\n".join(["Tank 1. " * 250] * 3)
    for member in (marit, oleg):
        double.fail(Fault("sendPhoto", hang_up=True, chat=member.chat.id))
    digest = put(store, marit.chat, "digest", Reply(long, (), (image(),)))
    alert = put(store, oleg.chat, "alert", Reply(long, (), (image(),)))
    await double.until(lambda: any("photo" in message for message in oleg.chat.from_bot))
    await sent(door)
    assert (row(store, digest).state, row(store, alert).state) == ("uncertain", "sent")
    assert len(marit.texts) == 2
    assert [text.startswith("(may repeat)") for text in oleg.texts if text] == [False, False, True, False]


async def test_a_message_whose_end_is_refused_for_good_is_not_sent_over_and_over(
    double: Double, door: Telegram, store: Store, marit: Member
) -> None:
    for method in ("sendPhoto", "sendDocument"):
        double.fail(Fault(method, 400, "Bad Request: no", times=99))
    key = put(store, marit.chat, "alert", Reply("Bad water.", (), (image(),)))
    await sent(door)
    assert row(store, key).state == "failed"
    assert marit.texts == ["Bad water."]


async def test_an_alert_whose_answer_is_lost_each_time_is_not_sent_for_ever(
    double: Double, door: Telegram, store: Store, marit: Member, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("bot.telegram.sending.LONGEST_PAUSE", 0.01)
    double.fail(Fault("sendMessage", hang_up=True, after=True, times=99))
    key = put(store, marit.chat, "alert", "Bad water.")
    await double.until(lambda: len(marit.texts) == 5)
    await sent(door)
    assert row(store, key).state == "failed"


async def test_what_the_platform_refuses_or_nobody_can_read_is_marked_failed(
    double: Double, door: Telegram, store: Store, marit: Member
) -> None:
    double.fail(Fault("sendMessage", 400, "Bad Request: something odd"))
    refused = put(store, marit.chat, "notice", "one")
    await sent(door)
    now = WallClock().now()
    with store.write() as tx:
        tx.deliveries.put("odd", door="telegram", chat=str(marit.chat.id), kind="notice", payload={"odd": 1}, due_at=now, now=now)
    last = put(store, marit.chat, "notice", "two")
    await sent(door)
    assert [row(store, key).state for key in (refused, "odd", last)] == ["failed", "failed", "sent"]


async def test_the_page_keeps_its_own(double: Double, door: Telegram, store: Store, marit: Member) -> None:
    now = WallClock().now()
    with store.write() as tx:
        tx.deliveries.put("page:1", door="page", chat="p1", kind="digest", payload={"text": "x"}, due_at=now, now=now)
    await sent(door)
    assert row(store, "page:1").state == "due"
    assert double.count("sendMessage") == 0
