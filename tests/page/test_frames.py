"""Whatever comes over the socket is read as a frame or as trouble with a sentence; nothing in it can make the page fall over."""

from __future__ import annotations

import json
from datetime import timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from bot.page.frames import Earlier, Pressed, Said, Shown, Trouble, read_frame

PLAIN = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=20),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3),
    max_leaves=8,
)
KEYS = ["t", "id", "text", "token", "label", "entry", "content", "caption", "waited", "here", "before"]
LIKELY = st.sampled_from(["text", "press", "photo", "earlier", "message-1", "1aTakeBack0000001", 5, -1, "%%%", "QUJD"])


@settings(max_examples=80, deadline=None)
@given(st.dictionaries(st.sampled_from(KEYS), LIKELY | PLAIN))
def test_any_object_is_a_frame_or_trouble(sent: dict[str, object]) -> None:
    match read_frame(json.dumps(sent)):
        case Trouble(why=why):
            assert why
        case Earlier(before=before):
            assert before > 0
        case Said(client=client, waited=waited) | Pressed(client=client, waited=waited) | Shown(client=client, waited=waited):
            assert 8 <= len(client) <= 64
            assert timedelta() <= waited <= timedelta(days=30)


@settings(max_examples=40, deadline=None)
@given(st.binary(max_size=60) | st.text(max_size=60))
def test_any_bytes_are_trouble_or_a_frame(sent: bytes | str) -> None:
    assert read_frame(sent) is not None


def test_a_message_that_waited_says_so() -> None:
    frame = read_frame(json.dumps({"t": "text", "id": "message-1", "text": "2 dead", "waited": 7200}))
    assert frame == Said("message-1", "2 dead", timedelta(hours=2))
