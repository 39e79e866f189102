"""Messages kept, deliveries claimed, drafts and memory: each once, also after a crash."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any

import pytest

from core.events import Source
from core.store import Store, Transaction
from core.store.buttons import Expired, Foreign, Found, Unknown, Used
from core.store.deliveries import Delivery, Kind
from core.store.holds import LEASE
from core.store.inbox import TRIES

MINUTE = timedelta(minutes=1)


def put(tx: Transaction, key: str, now: datetime, kind: Kind = "digest", **more: Any) -> bool:
    about: dict[str, Any] = {"door": "telegram", "chat": "7", "person": "marit", "payload": {"text": key}, "due_at": now}
    return tx.deliveries.put(key, kind=kind, now=now, **(about | more))


def claim(tx: Transaction, now: datetime, limit: int = 10, **more: Any) -> list[Delivery]:
    return tx.deliveries.claim(now, limit, MINUTE, **more)


# --- deliveries ------------------------------------------------------------------------------------------------------


def test_a_message_is_put_once_per_key(store: Store, now: datetime) -> None:
    with store.write() as tx:
        assert put(tx, "digest:marit:2026-03-02", now)
    with store.write() as tx:
        assert not put(tx, "digest:marit:2026-03-02", now, payload={"text": "another"})
        [found] = claim(tx, now)
    assert found.payload == {"text": "digest:marit:2026-03-02"}


def test_a_message_is_claimed_once(store: Store, now: datetime) -> None:
    with store.write() as tx:
        put(tx, "a", now)
        assert [(each.key, each.state, each.attempts) for each in claim(tx, now)] == [("a", "sending", 1)]
    with store.write() as tx:
        assert claim(tx, now) == []


def test_nothing_leaves_before_it_is_due_or_within_quiet_hours(store: Store, now: datetime) -> None:
    with store.write() as tx:
        put(tx, "later", now, due_at=now + MINUTE)
        put(tx, "quiet", now, hold_until=now + 2 * MINUTE)
        assert claim(tx, now) == []
        assert tx.deliveries.next_due(now) == now + MINUTE
        assert [each.key for each in claim(tx, now + MINUTE)] == ["later"]
        assert [each.key for each in claim(tx, now + 2 * MINUTE)] == ["quiet"]


def test_the_earliest_due_goes_first_and_no_more_than_asked_for(store: Store, now: datetime) -> None:
    with store.write() as tx:
        for place in (3, 1, 2):
            put(tx, f"{place}", now, due_at=now + place * MINUTE)
        assert [each.key for each in claim(tx, now + 5 * MINUTE, limit=2)] == ["1", "2"]


def test_an_alert_does_not_wait_behind_digests(store: Store, now: datetime) -> None:
    with store.write() as tx:
        for kind in ("digest", "post", "notice", "alert", "answer"):
            put(tx, kind, now, kind, due_at=now - MINUTE if kind == "digest" else now)
        assert [each.key for each in claim(tx, now)] == ["answer", "alert", "notice", "post", "digest"]


def test_a_door_claims_only_what_leaves_by_it(store: Store, now: datetime) -> None:
    with store.write() as tx:
        put(tx, "a", now)
        put(tx, "b", now, door="page")
        assert [each.key for each in claim(tx, now, doors=["page"])] == ["b"]


def test_what_is_sent_is_not_sent_again(store: Store, now: datetime) -> None:
    with store.write() as tx:
        put(tx, "a", now)
        [found] = claim(tx, now)
        tx.deliveries.sent(found.id, now, "4711")
    with store.write() as tx:
        assert tx.deliveries.recover(now + 10 * MINUTE) == 0
        kept = tx.deliveries.by_key("a")
    assert kept is not None
    assert (kept.state, kept.message) == ("sent", "4711")


def test_what_failed_is_tried_again_at_the_time_given(store: Store, now: datetime) -> None:
    with store.write() as tx:
        put(tx, "a", now)
        [found] = claim(tx, now)
        tx.deliveries.failed(found.id, now, now + 5 * MINUTE, "no connection")
        assert claim(tx, now + 4 * MINUTE) == []
        [again] = claim(tx, now + 5 * MINUTE)
        assert (again.attempts, again.may_repeat, again.error) == (2, False, "no connection")
        tx.deliveries.failed(again.id, now, None, "bad request")
        assert claim(tx, now + 50 * MINUTE) == []


@pytest.mark.parametrize(("sort", "state"), [("digest", "uncertain"), ("post", "uncertain"), ("alert", "due"), ("notice", "due")])
def test_after_a_crash_a_digest_is_never_repeated_and_an_alert_never_lost(
    store: Store, now: datetime, sort: Kind, state: str
) -> None:
    with store.write() as tx:
        put(tx, "a", now, sort)
        claim(tx, now)
    with store.write() as tx:
        assert tx.deliveries.recover(now + timedelta(seconds=59)) == 0
        assert tx.deliveries.recover(now + MINUTE) == 1
        found = tx.deliveries.by_key("a")
        assert found is not None
        assert (found.state, found.may_repeat) == (state, state == "due")
        assert [each.key for each in claim(tx, now + MINUTE)] == (["a"] if state == "due" else [])


def test_a_worker_that_starts_recovers_its_own_without_waiting(store: Store, now: datetime) -> None:
    with store.write() as tx:
        put(tx, "a", now, "alert")
        put(tx, "b", now, "alert")
        claim(tx, now, limit=1, worker="one")
        claim(tx, now, limit=1, worker="two")
        assert tx.deliveries.recover(now, worker="two") == 1
        assert [each.key for each in claim(tx, now)] == ["b"]


def test_a_timeout_counts_as_perhaps_arrived(store: Store, now: datetime) -> None:
    with store.write() as tx:
        put(tx, "a", now, "digest")
        put(tx, "b", now, "alert")
        for found in claim(tx, now):
            tx.deliveries.unsure(found.id, now, now + MINUTE, "timed out")
        assert [(each.key, each.may_repeat) for each in claim(tx, now + MINUTE)] == [("b", True)]
        assert [each.key for each in tx.deliveries.uncertain_of("marit")] == ["a"]
        tx.deliveries.settle(tx.deliveries.uncertain_of("marit")[0].id, now)
        assert tx.deliveries.uncertain_of("marit") == []


def test_a_blocked_chat_is_given_up_and_the_members_other_door_is_not(store: Store, now: datetime) -> None:
    with store.write() as tx:
        put(tx, "a", now)
        put(tx, "b", now, door="page", chat="7")
        assert tx.deliveries.give_up(now, door="telegram", chat="7") == 1
        assert [each.key for each in claim(tx, now)] == ["b"]
        with pytest.raises(ValueError, match="give up"):
            tx.deliveries.give_up(now, door="telegram")


def test_the_page_finds_what_waits_for_it(store: Store, now: datetime) -> None:
    with store.write() as tx:
        put(tx, "a", now, door="page", due_at=now + MINUTE)
        put(tx, "b", now, door="page", person="ivar")
        assert tx.deliveries.waiting_for("marit", "page", now) == []
        assert [each.key for each in tx.deliveries.waiting_for("marit", "page", now + MINUTE)] == ["a"]


def test_what_is_no_longer_true_is_withdrawn_unless_it_left(store: Store, now: datetime) -> None:
    with store.write() as tx:
        put(tx, "a", now, due_at=now + MINUTE)
        put(tx, "b", now)
        claim(tx, now)
        assert (tx.deliveries.withdraw("a", now), tx.deliveries.withdraw("b", now)) == (True, False)
        assert claim(tx, now + MINUTE) == []


def test_old_messages_are_cleared_away_but_never_those_that_wait(store: Store, now: datetime) -> None:
    with store.write() as tx:
        put(tx, "a", now)
        tx.deliveries.sent(claim(tx, now)[0].id, now)
        put(tx, "b", now)
        assert tx.deliveries.prune(now + MINUTE) == 1
        assert [each.key for each in tx.deliveries.to("marit")] == ["b"]


# --- the inbox -------------------------------------------------------------------------------------------------------


def keep(tx: Transaction, external: str, chat: str, now: datetime) -> bool:
    return tx.inbox.keep("telegram", external, chat, {"update_id": external}, now)


def test_what_comes_twice_is_kept_once(store: Store, now: datetime) -> None:
    with store.write() as tx:
        assert keep(tx, "1", "7", now)
    with store.write() as tx:
        assert not keep(tx, "1", "7", now)
        assert tx.inbox.keep("page", "1", "7", {}, now)
        assert [each.payload for each in tx.inbox.pending("telegram")] == [{"update_id": "1"}]


def test_what_came_is_handled_in_the_order_it_came(store: Store, now: datetime) -> None:
    with store.write() as tx:
        for external in ("10", "9", "11"):
            keep(tx, external, "7", now)
        assert [each.external for each in tx.inbox.pending("telegram")] == ["10", "9", "11"]
        tx.inbox.done(tx.inbox.pending("telegram")[0].id)
        assert [each.external for each in tx.inbox.pending("telegram")] == ["9", "11"]


def test_one_worker_at_a_time_is_at_a_chat(store: Store, now: datetime) -> None:
    with store.write() as tx:
        assert tx.holds.take("telegram", "7", "one", now) == "new"
    with store.write() as tx:
        assert tx.holds.take("telegram", "7", "one", now) == "ours"
        assert tx.holds.take("telegram", "7", "two", now) is None
        assert tx.holds.take("telegram", "8", "two", now) == "new"
        assert tx.holds.leave("telegram", "7", "one")
        assert tx.holds.take("telegram", "7", "two", now) == "new"


def test_a_chat_is_not_left_while_something_of_it_waits(store: Store, now: datetime) -> None:
    with store.write() as tx:
        keep(tx, "1", "7", now)
        tx.holds.take("telegram", "7", "one", now)
        assert not tx.holds.leave("telegram", "7", "one")
        tx.inbox.done(tx.inbox.pending_of("telegram", "7")[0].id)
        assert tx.holds.leave("telegram", "7", "one")
        assert tx.holds.leave("telegram", "7", "one"), "nothing was held any more"


def test_a_worker_that_died_loses_its_chats_to_another(store: Store, now: datetime) -> None:
    with store.write() as tx:
        for chat in ("7", "8"):
            tx.holds.take("telegram", chat, "one", now)
        assert tx.holds.keep_up("telegram", ["8"], "one", now + MINUTE) == 1
        assert tx.holds.take("telegram", "7", "two", now + LEASE) == "lapsed"
        assert tx.holds.take("telegram", "8", "two", now + LEASE) is None
        assert tx.holds.keep_up("telegram", ["7", "8"], "one", now + LEASE) == 1
        assert tx.holds.leave("telegram", "7", "one"), "it is no longer its own"
        assert tx.holds.take("telegram", "7", "three", now + LEASE) is None


def test_a_worker_that_ends_leaves_all_its_chats(store: Store, now: datetime) -> None:
    with store.write() as tx:
        for chat, worker in (("7", "one"), ("8", "one"), ("9", "two")):
            tx.holds.take("telegram", chat, worker, now)
        assert tx.holds.leave_all("telegram", "one") == 2
        assert [tx.holds.take("telegram", chat, "three", now) for chat in ("7", "8", "9")] == ["new", "new", None]


def test_a_poisoned_message_is_set_aside_after_three_tries_and_the_next_goes_on(store: Store, now: datetime) -> None:
    with store.write() as tx:
        keep(tx, "1", "7", now)
        keep(tx, "2", "7", now)
        poisoned = tx.inbox.pending_of("telegram", "7")[0]
        outcomes = [tx.inbox.failed(poisoned.id, f"ValueError {number}") for number in range(TRIES)]
        assert outcomes == [False, False, True]
        assert [(each.external, each.error) for each in tx.inbox.aside("telegram")] == [("1", "ValueError 2")]
        assert [each.external for each in tx.inbox.pending_of("telegram", "7")] == ["2"]
        tx.inbox.retry(poisoned.id)
        assert tx.inbox.pending("telegram")[0].tries == 0


def test_handled_messages_are_cleared_away_in_time(store: Store, now: datetime) -> None:
    with store.write() as tx:
        keep(tx, "1", "7", now)
        keep(tx, "2", "7", now)
        tx.inbox.done(tx.inbox.pending("telegram")[0].id)
        assert tx.inbox.prune(now) == 0
        assert tx.inbox.prune(now + MINUTE) == 1
        assert tx.inbox.last_received("telegram") == now
        assert [each.external for each in tx.inbox.pending("telegram")] == ["2"]


# --- buttons ---------------------------------------------------------------------------------------------------------

PRESS = Source("telegram:7", "cb1")
AGAIN = Source("telegram:7", "cb2")


def test_a_button_does_what_it_was_made_for_once(store: Store, now: datetime) -> None:
    with store.write() as tx:
        token = tx.buttons.make("marit", "c1", {"take_back": "4"}, now + MINUTE)
    with store.write() as tx:
        assert tx.buttons.press(token, "marit", PRESS, now) == Found({"take_back": "4"}, "c1")
        assert tx.buttons.press(token, "marit", AGAIN, now) == Used({"take_back": "4"}, "c1")


def test_the_same_press_brought_again_finds_the_same(store: Store, now: datetime) -> None:
    with store.write() as tx:
        token = tx.buttons.make("marit", "c1", {"x": 1}, now + MINUTE)
        assert tx.buttons.press(token, "marit", PRESS, now) == Found({"x": 1}, "c1")
        assert tx.buttons.press(token, "marit", PRESS, now + 2 * MINUTE) == Found({"x": 1}, "c1")


def test_another_members_button_changes_nothing(store: Store, now: datetime) -> None:
    with store.write() as tx:
        token = tx.buttons.make("marit", "c1", {"x": 1}, now + MINUTE)
        assert tx.buttons.press(token, "ivar", PRESS, now) == Foreign()
        assert tx.buttons.press(token, "marit", PRESS, now) == Found({"x": 1}, "c1")
        assert tx.buttons.press(token, "ivar", PRESS, now) == Foreign()


def test_an_old_button_says_so_and_a_forged_one_is_unknown(store: Store, now: datetime) -> None:
    with store.write() as tx:
        token = tx.buttons.make("marit", "c1", {"x": 1}, now + MINUTE)
        assert tx.buttons.press(token, "marit", PRESS, now + MINUTE) == Expired({"x": 1}, "c1")
        assert tx.buttons.press("1aAAAAAAAAAAAAAAAA", "marit", PRESS, now) == Unknown()
        assert tx.buttons.press("' OR 1=1 --", "marit", PRESS, now) == Unknown()


def test_a_button_for_everybody_works_for_one(store: Store, now: datetime) -> None:
    with store.write() as tx:
        token = tx.buttons.make(None, "c1", {"x": 1}, now + MINUTE)
        assert tx.buttons.press(token, "ivar", PRESS, now) == Found({"x": 1}, "c1")
        assert tx.buttons.press(token, "marit", PRESS, now) == Used({"x": 1}, "c1")


def test_a_repeatable_button_works_as_often_as_it_is_pressed(store: Store, now: datetime) -> None:
    with store.write() as tx:
        token = tx.buttons.make("marit", "c1", {"show": "shelf"}, now + MINUTE, repeatable=True)
        for press in (PRESS, AGAIN, PRESS):
            assert tx.buttons.press(token, "marit", press, now) == Found({"show": "shelf"}, "c1")


def test_a_press_without_effect_can_be_tried_again(store: Store, now: datetime) -> None:
    with store.write() as tx:
        token = tx.buttons.make("marit", "c1", {"x": 1}, now + MINUTE)
        tx.buttons.press(token, "marit", PRESS, now)
        tx.buttons.release(token)
        assert tx.buttons.press(token, "marit", AGAIN, now) == Found({"x": 1}, "c1")


def test_tokens_are_short_and_url_safe_and_differ(store: Store, now: datetime) -> None:
    with store.write() as tx:
        tokens = [tx.buttons.make("marit", "c1", {}, now, kind="d") for _ in range(200)]
    safe = set("ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_")
    assert len(set(tokens)) == 200
    assert all(len(token) == 18 and token.startswith("1d") and set(token) <= safe for token in tokens)


def test_a_buttons_kind_is_one_character(store: Store, now: datetime) -> None:
    with pytest.raises(ValueError, match="one character"), store.write() as tx:
        tx.buttons.make("marit", "c1", {}, now, kind="done")


# --- asks and memory -------------------------------------------------------------------------------------------------


def ask(tx: Transaction, text: str, now: datetime, chat: str = "7", expires: timedelta = MINUTE) -> int:
    return tx.drafts.open(
        "marit", "telegram", chat, about="count", draft={"kind": "counted"}, text=text, written=datetime(2026, 3, 2, 10, 0),  # noqa: DTZ001 - local
        expires=now + expires, room="r1",
    ).id  # fmt: skip


def test_the_newest_ask_of_the_chat_is_the_one_that_is_answered(store: Store, now: datetime) -> None:
    with store.write() as tx:
        ask(tx, "counted b", now)
        second = ask(tx, "moved c", now)
        ask(tx, "elsewhere", now, chat="8")
        found = tx.drafts.newest("marit", "telegram", "7", now)
        assert found is not None
        assert (found.id, found.text, found.room, found.draft) == (second, "moved c", "r1", {"kind": "counted"})
        assert found.written == datetime(2026, 3, 2, 10, 0)  # noqa: DTZ001 - local
        assert tx.drafts.close(second)
        assert not tx.drafts.close(second)
        remaining = tx.drafts.newest("marit", "telegram", "7", now)
        assert remaining is not None
        assert remaining.text == "counted b"


def test_an_ask_expires_and_is_let_go_aloud(store: Store, now: datetime) -> None:
    with store.write() as tx:
        number = ask(tx, "counted b", now)
        assert tx.drafts.expired(now) == []
        assert tx.drafts.newest("marit", "telegram", "7", now + MINUTE) is None
        assert [each.id for each in tx.drafts.expired(now + MINUTE)] == [number]
        tx.drafts.close(number, "expired")
        assert (tx.drafts.expired(now + MINUTE), tx.drafts.open_of("marit")) == ([], [])
        assert tx.drafts.prune(now + 2 * MINUTE) == 1


def test_an_ask_can_go_on_about_something_else(store: Store, now: datetime) -> None:
    with store.write() as tx:
        number = ask(tx, "counted b", now)
        tx.drafts.change(number, about="day", values={"count": 5}, expires=now + 5 * MINUTE)
        found = tx.drafts.get(number)
        assert found is not None
        assert (found.about, found.draft, found.expires) == ("day", {"count": 5}, now + 5 * MINUTE)


def test_memory_is_kept_per_person_and_chat(store: Store) -> None:
    with store.write() as tx:
        tx.memory.change("marit", "telegram", "7", last="F4", cautions={"mains": "2026-03-02"})
        tx.memory.change("marit", "telegram", "7", last="B", place=None)
        assert tx.memory.get("marit", "telegram", "7") == {"last": "B", "cautions": {"mains": "2026-03-02"}}
        tx.memory.change("marit", "telegram", "7", cautions=None)
        assert tx.memory.get("marit", "telegram", "7") == {"last": "B"}
        assert tx.memory.get("marit", "telegram", "8") == {}


def test_single_values_are_kept_and_removed(store: Store) -> None:
    with store.write() as tx:
        tx.kept.set("telegram.commands", [1, {"a": None}])
        assert tx.kept.get("telegram.commands") == [1, {"a": None}]
        tx.kept.set("telegram.commands", None)
        assert tx.kept.get("telegram.commands") is None
