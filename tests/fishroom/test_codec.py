"""An event is written down as plain JSON and comes back as it was, whatever shape it was first written in."""

import json
from datetime import UTC, date, datetime, time
from decimal import Decimal
from time import process_time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core import codec
from core.codec import KINDS, UnreadableEventError, decode, decode_entry, encode, encode_entry, kind_of
from core.events import (
    Entry,
    Event,
    FreeDays,
    Holding,
    Measured,
    Offered,
    Reserved,
    Source,
    StillHolding,
    Stripped,
    WishOffered,
)

for kind, strategy in {
    Decimal: st.decimals(allow_nan=False, allow_infinity=False, places=2),
    float: st.floats(allow_nan=False, allow_infinity=False),
    datetime: st.datetimes(timezones=st.just(UTC)),
}.items():
    st.register_type_strategy(kind, strategy)


def through_json(event: Event) -> Event:
    return decode(json.loads(json.dumps(encode(event))))


@settings(max_examples=120, deadline=None)
@given(st.sampled_from(sorted(KINDS)).flatmap(lambda kind: st.from_type(KINDS[kind])))
def test_every_event_comes_back_as_it_was(event: Event) -> None:
    assert through_json(event) == event
    assert type(through_json(event)) is type(event)


def test_an_event_is_written_with_its_kind_and_what_was_said() -> None:
    assert encode(Holding("F4", "brood 3")) == {"kind": "holding", "female": "F4", "brood": "brood 3"}
    assert encode(Stripped("F4", "B", 23, approx=True, to="box 1")) == {
        "kind": "stripped",
        "female": "F4",
        "batch": "B",
        "count": 23,
        "approx": True,
        "to": "box 1",
    }
    assert kind_of(StillHolding("F4")) == "still_holding"


def test_days_times_moments_and_money_are_text() -> None:
    offer = encode(Offered("B", price=Decimal("5.00"), from_day=date(2026, 3, 4)))
    promise = encode(
        Reserved(12, "oleg", "B", 6, pickup=date(2026, 4, 4), at=time(18, 30), hold_until=datetime(2026, 3, 9, 8, tzinfo=UTC))
    )
    assert (offer["price"], offer["from_day"]) == ("5.00", "2026-03-04")
    assert (promise["pickup"], promise["at"], promise["hold_until"]) == ("2026-04-04", "18:30:00", "2026-03-09T08:00:00+00:00")
    assert through_json(FreeDays((5, 6), time(10))) == FreeDays((5, 6), time(10))
    assert through_json(Measured("B", (22.0, 24.5))) == Measured("B", (22.0, 24.5))


def test_a_journal_entry_comes_back_with_its_envelope() -> None:
    entry = Entry(
        stream="fishroom:marit",
        number=7,
        event=WishOffered(3, "marit", "B", 4, datetime(2026, 3, 9, 8, tzinfo=UTC)),
        on=date(2026, 3, 2),
        told=datetime(2026, 3, 2, 8, 0, tzinfo=UTC),
        by="marit",
        at=time(9, 5),
        source=Source("terminal", "41", 1),
        order=5,
    )
    assert decode_entry(json.loads(json.dumps(encode_entry(entry)))) == entry


def test_what_was_written_in_an_old_shape_reads_as_todays(monkeypatch: pytest.MonkeyPatch) -> None:
    def fry_was_called_alive(plain: dict) -> dict:
        return {**{k: v for k, v in plain.items() if k != "alive"}, "count": plain["alive"]}

    def stripped_was_called_emptied(plain: dict) -> dict:
        return {**plain, "kind": "stripped"}

    monkeypatch.setitem(codec.UPGRADES, "stripped", (fry_was_called_alive,))
    monkeypatch.setitem(codec.UPGRADES, "emptied", (fry_was_called_alive, stripped_was_called_emptied))
    today = Stripped("F4", "B", 23)
    assert decode({"kind": "stripped", "female": "F4", "batch": "B", "alive": 23}) == today
    assert decode({"kind": "emptied", "female": "F4", "batch": "B", "alive": 23}) == today
    assert decode({"kind": "emptied", "shape": 1, "female": "F4", "batch": "B", "count": 23}) == today
    assert encode(today)["shape"] == 1
    assert through_json(today) == today


@pytest.mark.parametrize(
    "written",
    [
        {"kind": "levitated", "fish": "F4"},
        {"female": "F4"},
        {"kind": "holding", "female": "F4"},
        {"kind": "holding", "female": "F4", "brood": "1", "mood": "cross"},
        {"kind": "priced", "price": "a fiver"},
        {"kind": "away", "from_day": "3 April", "to_day": "2026-04-10"},
        {"kind": "holding", "shape": 3, "female": "F4", "brood": "1"},
    ],
)
def test_what_cannot_be_read_is_said_to_be_unreadable(written: dict) -> None:
    with pytest.raises(UnreadableEventError):
        decode(written)


def test_a_hundred_thousand_events_are_read_in_well_under_two_seconds() -> None:
    """A loose bound (the figure on an idle machine is about 0.2 s), so that a slow way of reading cannot creep in unseen."""
    written = [
        encode(event)
        for event in (Holding("F4", "3", "M1"), Stripped("F4", "B", 23, to="box 1"), Offered("B", price=Decimal("5.00")))
    ]
    began = process_time()
    for _ in range(33_334):
        for plain in written:
            decode(plain)
    assert process_time() - began < 2
