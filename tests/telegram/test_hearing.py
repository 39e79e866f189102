"""What members do in the app reaches the conversation as it was meant."""

from __future__ import annotations

from bot.conversation.message import Origin, Other, Picture, Press, Reply, Text
from bot.telegram import Telegram
from tests.telegram.conftest import settled
from tests.telegram.double import Double, Member
from tests.telegram.notebook import Notebook, buttons, picture


async def test_a_text_is_heard_and_answered(double: Double, door: Telegram, marit: Member, notebook: Notebook) -> None:
    notebook.names[str(marit.user["id"])] = "p1"
    message = marit.say("female 4 holding")
    await settled(double, door)
    chat = str(marit.chat.id)
    assert notebook.incoming == [Text(Origin("p1", "telegram", chat, str(message["message_id"])), "female 4 holding")]
    assert marit.texts == ["noted: female 4 holding"]


async def test_a_stranger_is_nobodys_id(double: Double, door: Telegram, oleg: Member, notebook: Notebook) -> None:
    oleg.say("hello")
    await settled(double, door)
    assert notebook.incoming[0].origin.person == f"telegram:{oleg.user['id']}"


async def test_an_invitation_comes_in_the_payload_of_start(
    double: Double, door: Telegram, oleg: Member, notebook: Notebook
) -> None:
    oleg.start("inv-3kf9")
    await settled(double, door)
    number = str(oleg.user["id"])
    assert notebook.arrivals == [("telegram", number, number, "Oleg", "inv-3kf9", "False")]
    assert oleg.texts == ["Welcome, Oleg."]


async def test_commands_are_heard_as_words(double: Double, door: Telegram, marit: Member, notebook: Notebook) -> None:
    for text in ("/help", "/settings@frywire_test_bot", "/help@some_other_bot", "/settings morning 07:00"):
        marit.say(text)
    await settled(double, door)
    assert notebook.said == ["help", "settings", "settings morning 07:00"]


async def test_an_edit_is_the_same_message_with_a_later_revision(
    double: Double, door: Telegram, marit: Member, notebook: Notebook
) -> None:
    marit.say("2 dead in tank 3")
    marit.edit("3 dead in tank 3")
    marit.edit("4 dead in tank 3")
    await settled(double, door)
    first, second, third = [one for one in notebook.incoming if isinstance(one, Text)]
    assert first.origin == second.origin == third.origin
    assert (first.revision, [one.text for one in (second, third)]) == (0, ["3 dead in tank 3", "4 dead in tank 3"])
    assert 0 < second.revision < third.revision


async def test_a_photo_comes_in_its_largest_size_with_its_caption(
    double: Double, door: Telegram, marit: Member, notebook: Notebook
) -> None:
    content = picture(640, 480)
    message = marit.photo(content, "batch B")
    marit.edit("batch C", message)
    await settled(double, door)
    pictures = [one for one in notebook.incoming if isinstance(one, Picture)]
    assert [(one.content, one.caption) for one in pictures] == [(content, "batch B"), (content, "batch C")]
    assert pictures[0].origin == pictures[1].origin
    assert {one.file for one in pictures} == {message["photo"][-1]["file_id"]}


async def test_the_caption_of_an_album_is_meant_for_all_its_photos(
    double: Double, door: Telegram, marit: Member, notebook: Notebook
) -> None:
    marit.photo(picture(), "batch B", album="a1")
    marit.photo(picture(), album="a1")
    marit.photo(picture())
    await settled(double, door)
    pictures = [one for one in notebook.incoming if isinstance(one, Picture)]
    assert [(one.caption, one.more) for one in pictures] == [("batch B", False), ("batch B", True), ("", False)]


async def test_a_photo_sent_as_a_file_is_a_photo(double: Double, door: Telegram, marit: Member, notebook: Notebook) -> None:
    kept = double.keep(picture(), "documents/fish.png", file_name="fish.png", mime_type="image/png")
    double.deliver(message=marit.chat.add(marit.user, document=kept, caption="tank 2"))
    await settled(double, door)
    assert notebook.said == [f"photo of {len(picture())} bytes: tank 2"]


async def test_a_voice_note_a_sticker_and_a_document_are_named(
    double: Double, door: Telegram, marit: Member, notebook: Notebook
) -> None:
    marit.voice()
    marit.sticker()
    marit.document("list.pdf", b"%PDF")
    await settled(double, door)
    assert [one.what for one in notebook.incoming if isinstance(one, Other)] == ["voice note", "sticker", "document"]


async def test_a_press_is_acknowledged_heard_and_its_message_replaced(
    double: Double, door: Telegram, marit: Member, notebook: Notebook
) -> None:
    notebook.answers["female 4 holding"] = [Reply("Female 4 holds.", buttons("Take back", "Later"))]
    marit.say("female 4 holding")
    await settled(double, door)
    query = marit.press("Take back")
    await settled(double, door)
    press = notebook.incoming[-1]
    assert isinstance(press, Press)
    assert (press.token, press.origin.message, press.origin.chat) == ("Take-back", query, str(marit.chat.id))
    assert double.queries[query] is not None
    assert marit.texts == ["noted: press Take-back"]
    methods = [call.method for call in double.calls]
    assert methods.index("answerCallbackQuery") < methods.index("editMessageText")


async def test_a_button_of_foreign_make_changes_nothing_and_says_so(
    double: Double, door: Telegram, marit: Member, notebook: Notebook
) -> None:
    marit.say("hello")
    await settled(double, door)
    query = marit.press_data("take-back-everything", marit.chat.from_bot[0])
    await settled(double, door)
    assert notebook.said == ["hello"]
    assert "no longer works" in marit.texts[-1]
    assert double.queries[query] is not None


async def test_a_press_too_old_to_acknowledge_is_heard_all_the_same(
    double: Double, door: Telegram, marit: Member, notebook: Notebook
) -> None:
    notebook.answers["a"] = [Reply("A", buttons("Done"))]
    marit.say("a")
    await settled(double, door)
    query = marit.press("Done")
    del double.queries[query]
    await settled(double, door)
    assert notebook.said == ["a", "press Done"]


async def test_the_group_is_heard_only_where_it_speaks_to_the_bot(
    double: Double, door: Telegram, marit: Member, notebook: Notebook
) -> None:
    group = double.group("The club")
    marit.say("did anybody see my net?", group=group)
    asked = marit.say("@frywire_test_bot what's available?", group=group)
    await settled(double, door)
    marit.say("and yellow labs?", group=group, reply_to=group.from_bot[-1])
    marit.say("/help", group=group)
    marit.say("@somebody_else hello", group=group)
    await settled(double, door)
    assert notebook.said == ["what's available?", "and yellow labs?", "help"]
    assert all(one.origin.group for one in notebook.incoming)
    assert group.from_bot[0]["reply_to_message"]["message_id"] == asked["message_id"]
    assert marit.texts == []


async def test_bots_channels_and_service_messages_are_not_heard(
    double: Double, door: Telegram, marit: Member, notebook: Notebook
) -> None:
    double.deliver(message=marit.chat.add({**marit.user, "is_bot": True}, text="beep"))
    double.deliver(message=marit.chat.add(marit.user, new_chat_title="Fish"))
    await settled(double, door)
    assert notebook.incoming == []
    assert double.count("sendMessage") == 0


async def test_the_conversation_keeps_to_one_thread(double: Double, door: Telegram, notebook: Notebook) -> None:
    for number in range(12):
        double.member(f"Member {number}").say("hello")
    await settled(double, door)
    assert len(notebook.threads) == 1
