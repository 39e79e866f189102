"""What the bot says arrives whole, escaped, with its buttons and files, whatever the platform makes of it."""

from __future__ import annotations

import asyncio

import pytest

from bot.conversation.message import Attachment, Reply
from bot.telegram import Telegram
from tests.telegram.conftest import settled
from tests.telegram.double import Double, Fault, Member
from tests.telegram.markup import units
from tests.telegram.notebook import Notebook, buttons, image, picture


async def told(double: Double, door: Telegram, member: Member, notebook: Notebook, *replies: Reply) -> None:
    """The bot gives these replies to a member."""
    notebook.answers["go"] = list(replies)
    member.say("go")
    await settled(double, door)


async def test_what_looks_like_markup_is_shown_as_it_is(
    double: Double, door: Telegram, marit: Member, notebook: Notebook
) -> None:
    text = 'pH < 7 & "GH" > 4 <b>really</b> &lt;'
    await told(double, door, marit, notebook, Reply(text))
    assert marit.texts == [text]
    assert "entities" not in marit.chat.from_bot[0]


async def test_a_long_reply_is_folded_and_its_buttons_stand_under_the_end(
    double: Double, door: Telegram, marit: Member, notebook: Notebook
) -> None:
    text = "\n\n".join(f"Tank {number}: " + "🐟 fry " * 60 for number in range(1, 21)).strip()
    await told(double, door, marit, notebook, Reply(text, buttons("Done")))
    assert len(marit.texts) == 3
    assert all(units(part) <= 4096 for part in marit.texts)
    assert "".join("".join(marit.texts).split()) == "".join(text.split())
    assert [("reply_markup" in message) for message in marit.chat.from_bot] == [False, False, True]


async def test_many_buttons_are_wrapped_and_cut_to_what_the_platform_takes(
    double: Double, door: Telegram, marit: Member, notebook: Notebook
) -> None:
    await told(double, door, marit, notebook, Reply("Which?", buttons(*(f"{number}" for number in range(1, 121)))))
    rows = marit.chat.from_bot[0]["reply_markup"]["inline_keyboard"]
    assert sum(map(len, rows)) == 100
    assert max(map(len, rows)) == 8


async def test_pictures_and_documents_follow_the_text(double: Double, door: Telegram, marit: Member, notebook: Notebook) -> None:
    card, pdf = image(), Attachment("packing list.pdf", "application/pdf", b"%PDF-1.7 list")
    await told(double, door, marit, notebook, Reply("Here you are.", (), (card, pdf)))
    text, photo, document = marit.chat.from_bot
    assert text["text"] == "Here you are."
    assert double.files[photo["photo"][-1]["file_id"]][1] == card.content
    name, content = double.files[document["document"]["file_id"]]
    assert name.endswith("packing list.pdf")
    assert content == pdf.content


async def test_a_picture_sent_before_is_sent_by_its_id(double: Double, door: Telegram, marit: Member, notebook: Notebook) -> None:
    await told(double, door, marit, notebook, Reply("a", (), (image(),)))
    await told(double, door, marit, notebook, Reply("b", (), (image(),)))
    first, second = double.calls_of("sendPhoto")
    assert first.files
    assert not second.files
    double.files.clear()
    await told(double, door, marit, notebook, Reply("c", (), (image(),)))
    assert double.count("sendPhoto") == 4, "an id that the platform forgot is followed by the picture itself"
    assert len([message for message in marit.chat.from_bot if "photo" in message]) == 3


@pytest.mark.parametrize("shape", [(9000, 1200), (2100, 100)])
async def test_a_picture_of_unusual_shape_goes_as_a_file(
    double: Double, door: Telegram, marit: Member, notebook: Notebook, shape: tuple[int, int]
) -> None:
    await told(double, door, marit, notebook, Reply("Pedigree", (), (image(picture(*shape)),)))
    assert ("document" in marit.chat.from_bot[-1], double.count("sendPhoto")) == (True, 0)


async def test_a_picture_the_platform_cannot_process_goes_as_a_file(
    double: Double, door: Telegram, marit: Member, notebook: Notebook
) -> None:
    double.fail(Fault("sendPhoto", 400, "Bad Request: IMAGE_PROCESS_FAILED"))
    await told(double, door, marit, notebook, Reply("Card", (), (image(),)))
    assert "document" in marit.chat.from_bot[-1]


async def test_where_a_message_cannot_be_replaced_a_new_one_is_sent(
    double: Double, door: Telegram, marit: Member, notebook: Notebook
) -> None:
    await told(double, door, marit, notebook, Reply("A", buttons("Done")))
    double.fail(Fault("editMessageText", 400, "Bad Request: message can't be edited"))
    marit.press("Done")
    await settled(double, door)
    assert marit.texts == ["A", "noted: press Done"]
    notebook.answers["press Done"] = [Reply("A", buttons("Done"), replaces=True)]
    marit.press("Done")
    await settled(double, door)
    assert marit.texts == ["A", "noted: press Done"], "the same text once more is no change, and no error"


@pytest.mark.parametrize("code", [500, 502, 503])
async def test_an_answer_the_server_refused_is_sent_again(
    double: Double, door: Telegram, marit: Member, notebook: Notebook, code: int
) -> None:
    double.fail(Fault("sendMessage", code, "Bad Gateway", times=2))
    await told(double, door, marit, notebook, Reply("Female 4 holds."))
    assert marit.texts == ["Female 4 holds."]


@pytest.mark.parametrize("arrived", [True, False])
async def test_an_answer_that_may_be_lost_is_given_once_more_and_says_so(
    double: Double, door: Telegram, marit: Member, notebook: Notebook, arrived: bool
) -> None:
    double.fail(Fault("sendMessage", hang_up=True, after=arrived))
    await told(double, door, marit, notebook, Reply("Female 4 holds."))
    assert marit.texts == ["Female 4 holds."] * arrived + ["(may repeat) Female 4 holds."]
    assert notebook.said == ["go"]


async def test_a_pause_in_one_chat_does_not_hold_up_another(
    double: Double, door: Telegram, marit: Member, oleg: Member, notebook: Notebook
) -> None:
    double.fail(Fault("sendMessage", 429, "Too Many Requests: retry after 1", {"retry_after": 1}, chat=marit.chat.id))
    marit.say("hello")
    oleg.say("hello")
    await double.until(lambda: bool(oleg.texts), 0.8)
    assert marit.texts == []
    await settled(double, door)
    refused, sent = double.calls_of("sendMessage", marit.chat.id)
    assert sent.at - refused.at >= 1.0
    assert marit.texts == ["noted: hello"]


async def test_an_answer_nobody_can_get_does_not_stop_the_bot(
    double: Double, door: Telegram, marit: Member, oleg: Member, notebook: Notebook
) -> None:
    marit.say("2 dead in tank 3")
    marit.block()
    oleg.say("hello")
    await settled(double, door)
    assert sorted(notebook.said) == ["2 dead in tank 3", "hello"]
    assert oleg.texts == ["noted: hello"]


async def test_an_answer_that_cannot_go_out_now_is_given_later_and_told_once(
    double: Double, door: Telegram, marit: Member, notebook: Notebook
) -> None:
    fault = double.fail(Fault("sendMessage", 502, "Bad Gateway", times=1000))
    marit.say("2 dead in tank 3")
    await double.until(lambda: double.count("sendMessage") >= 3)
    fault.times = 0
    await double.until(lambda: bool(marit.texts))
    await settled(double, door)
    assert marit.texts == ["noted: 2 dead in tank 3"]
    assert notebook.said == ["2 dead in tank 3"]


async def test_a_photo_that_cannot_be_fetched_now_is_taken_later(
    double: Double, door: Telegram, marit: Member, notebook: Notebook
) -> None:
    double.fail(Fault("getFile", 502, "Bad Gateway"))
    marit.photo(picture(), "batch B")
    await double.until(lambda: bool(marit.texts))
    assert notebook.said == [f"photo of {len(picture())} bytes: batch B"]


async def test_presses_are_acknowledged_while_their_chat_is_busy(
    double: Double, door: Telegram, marit: Member, notebook: Notebook, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("bot.telegram.application.GRACE", 0.1)
    await told(double, door, marit, notebook, Reply("A", buttons("Done")))
    double.fail(Fault("sendMessage", 429, "Too Many Requests", {"retry_after": 2}))
    marit.say("slow")
    await double.until(lambda: double.count("sendMessage") == 2)
    query = marit.press("Done")
    await double.until(lambda: double.queries[query] is not None, 1.0)
    await asyncio.sleep(0)
    assert "press Done" not in notebook.said
