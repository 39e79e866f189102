"""The one place that decides what a message is: events, a query, a question back, or nothing.

Reading wrongly is far worse than asking. All of a message that reports something must be readable, or the whole of it is asked about;
talk, negations and plans beside an event block nothing.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime

from bot.reading import setting_up
from bot.reading.asking import has_report, parted
from bot.reading.checks import troubles
from bot.reading.clauses import clauses
from bot.reading.corrections import corrected
from bot.reading.days import DaySpan
from bot.reading.echoes import echoed
from bot.reading.exceptions import left_out
from bot.reading.facts import Facts
from bot.reading.figures import only_thanks
from bot.reading.kinds import doubtful_slot, read_clause
from bot.reading.kinds_holding import father_told
from bot.reading.kinds_water import noted
from bot.reading.names import Names
from bot.reading.naming import named_plainly
from bot.reading.partial import Partial, Trouble
from bot.reading.pickup_proposals import put_forward
from bot.reading.pieces import Clause, Sentence, content, joined_sentences, names_something, sentences, without_greeting
from bot.reading.politeness import without_courtesies, without_wanting_to_know
from bot.reading.questions import queries_of
from bot.reading.scene import Memory, Scene
from bot.reading.tagging import tagged
from bot.reading.talk import before_condition, conditional, foreign, idle, only_values
from bot.reading.tokens import MOST, Token
from bot.reading.two_in_one import question_apart, set_up_apart
from bot.reading.values import Ask, Context, Events, Item, Nothing, Query, Reading
from bot.reading.walk import Fish, Spot

_MARKUP = re.compile(
    r"</?[a-zA-Z][^<>]*>|<!--|<script|(?i:\b(?:select|insert|delete|drop|update)\b[^.!?]*\b(?:from|into|table|set)\b[^.!?]*;)"
)
"""Page markup or a database statement: no member at a tank writes that."""
MANY = 40
"""More items than this in one message are not believed."""


def read(text: str, *, now: datetime, by: str, names: Names, context: Context | None = None) -> Reading:
    """What a member's message means, against the names of the club; `now` is the writer's local time. Records nothing."""
    if len(text) > MOST:
        return Ask("text", why="too_long", value=text[:40], draft={"text": text[:200]})
    text = _clean(text)
    scene = Scene(names, now, by, context or Context(), Memory(), text)
    if _MARKUP.search(text):
        return Nothing()
    tokens = tagged(text, names)
    if text == "?":
        return Query(Item("help", {}))
    if not any(token.kind not in ("punct", "newline") for token in tokens):
        return Nothing()
    return _decided(*_items(text, tokens, scene), scene=scene, text=text)


def _clean(text: str) -> str:
    """Control characters out and runs of blanks to one; line ends stay."""
    plain = text
    if not text.isprintable():
        plain = "".join(letter if letter.isprintable() or letter == "\n" else " " for letter in text)
    return re.sub(r"[ \u00a0]{2,}", " ", plain).strip()


def _items(text: str, tokens: Sequence[Token], scene: Scene) -> tuple[list[Partial], list[Partial]]:
    """The events and the queries of a message, each still with its troubles."""
    events: list[Partial] = []
    queries: list[Partial] = []
    whole = joined_sentences(sentences(corrected(echoed(left_out(tokens)), scene)))
    skip_to = -1
    for n, sentence in enumerate(whole):
        if sentence.tokens[0].start < skip_to:
            continue
        note = _note(text, sentence, whole[n + 1 :], scene)
        if note is not None:
            partials, skip_to = note
            _remember(events, partials, scene)
            continue
        _sentence(sentence, scene, events, queries)
    if events and scene.memory.unread and not any(partial.troubles for partial in events):
        slot = doubtful_slot(events[-1])
        events[-1].put(slot, Trouble(slot, "uncertain", scene.memory.unread[0]))
    return events, queries


def _sentence(sentence: Sentence, scene: Scene, events: list[Partial], queries: list[Partial]) -> None:
    sentence = without_greeting(sentence)
    tokens = without_wanting_to_know(sentence.tokens)
    sentence = Sentence(without_courtesies(tokens), sentence.asked or len(tokens) < len(sentence.tokens))
    parts = [sentence.tokens] if sentence.asked else set_up_apart(sentence.tokens, scene)
    for part in parts:
        _part(Sentence(part, sentence.asked), scene, events, queries)


def _part(sentence: Sentence, scene: Scene, events: list[Partial], queries: list[Partial]) -> None:
    tokens = sentence.tokens
    if not sentence.asked and father_told(tokens, events[-1] if events else None, scene):
        return
    told = setting_up.read_sentence(tokens, scene, sentence.asked)
    if told is not None:
        _remember(events, told, scene)
        return
    day = put_forward(tokens, scene, sentence.asked)
    if day is not None:
        _remember(events, day, scene)
        return
    statement, question = parted(sentence, scene)
    behind: list[Token] = []
    if question and not sentence.asked:
        question, behind = question_apart(question)
    if statement:
        _head_day(statement, scene)
        for partials in _statement(statement, scene):
            _remember(events, partials, scene)
    queries.extend(queries_of(_with_there(question, scene), scene, sentence.asked) if question else ())
    if behind:
        _part(Sentence(behind, sentence.asked), scene, events, queries)


def _head_day(tokens: Sequence[Token], scene: Scene) -> None:
    """A day at the head of the message covers every clause that has none of its own."""
    for token in tokens:
        if token.kind == "day" and isinstance(token.value, DaySpan):
            if not any(scene.memory.taken) and not scene.memory.batches and not scene.memory.places and not scene.memory.female:
                scene.memory.head_day = token.value
            return
        if not (token.kind == "punct" or (token.has("filler") and token.text not in ("to",))) or token.text in ("tank", "batch"):
            return


def _statement(tokens: Sequence[Token], scene: Scene) -> list[list[Partial]]:
    """The items of a sentence that states, clause by clause."""
    tokens = before_condition(tokens)
    if conditional(tokens):
        return []
    out: list[list[Partial]] = []
    for clause in clauses(tokens):
        partials = _clause(clause, scene)
        if partials:
            out.append(partials)
            _learn(partials, scene)
    return out


def _clause(clause: Clause, scene: Scene) -> list[Partial] | None:
    if clause.talk or foreign(clause):
        _spoken_of(clause, scene)
        return None
    if clause.verb == "name" and (named := named_plainly(content(clause.tokens), "", scene)):
        return named
    clause.tokens = clause.tokens if clause.verb == "leave" else _with_there(clause.tokens, scene)
    facts = Facts(clause, scene)
    if not clause.verb:
        if only_values(clause):
            scene.memory.unread.append(" ".join(token.text for token in clause.tokens))
        elif any(token.note == "suspect" for token in clause.tokens) and names_something(clause):
            scene.memory.unread.append(" ".join(token.text for token in clause.tokens if token.note == "suspect"))
        if any(str(token.value) not in scene.names.batches for token in clause.having("batch")):
            scene.memory.unread.append(" ".join(token.text for token in clause.having("batch")))  # "nae the batch H"
        _spoken_of(clause, scene)
        return setting_up.bare_number(facts)
    if idle(clause, facts):
        _place_spoken_of(clause, scene)
        return None
    partials = read_clause(facts)
    people = {str(token.value) for token in clause.having("member")} - {scene.by}
    if people:
        scene.memory.member = people.pop() if len(people) == 1 else None
    return partials


def _with_there(tokens: Sequence[Token], scene: Scene) -> list[Token]:
    """ "2 female saulosi into tank 2, 40% w/c there": the place just spoken of; "there are 20 left" names none."""
    place = scene.memory.there
    if place is None or any(token.kind == "place" for token in tokens):
        return list(tokens)
    behind = [*tokens[1:], None]
    return [
        replace(token, kind="place", value=Spot(place, said=place))
        if token.text == "there" and not (after is not None and after.text in ("is", "are", "was", "were", "to"))
        else token
        for token, after in zip(tokens, behind, strict=True)
    ]


def _spoken_of(clause: Clause, scene: Scene) -> None:
    """ "f8 hasn't let go, still holding", "took rook out and put him in qt": whom the next clause is about."""
    named = [token.value for token in clause.tokens if isinstance(token.value, Fish)]
    if not named and clause.verb in ("hold", "lose_brood", "release"):
        numbers = [str(token.value) for token in clause.having("number")]
        named = [Fish("female", label) for label in numbers if label in scene.names.females]
    spoken = {sex: [fish.label for fish in named if fish.sex == sex and fish.label in scene.names.fish(sex)] for sex in ("female", "male")}
    if named and len(spoken["female"]) <= 1 and len(spoken["male"]) <= 1:
        scene.memory.female, scene.memory.male = (next(iter(spoken[sex]), None) for sex in ("female", "male"))


def _place_spoken_of(clause: Clause, scene: Scene) -> None:
    """ "heater died in tub, 70F now": where the next clause is about, though this one reports nothing."""
    names = [spot.name for token in clause.tokens if token.kind == "place" and isinstance(spot := token.value, Spot) and spot.name]
    if len(names) == 1 and not scene.memory.places:
        scene.memory.places = (names[0],)


def _learn(partials: Sequence[Partial], scene: Scene) -> None:
    """What was just spoken of, for the clauses that follow; of several fish none is "she"."""
    memory = scene.memory
    told = {
        slot: tuple(dict.fromkeys(str(partial.slots[slot]) for partial in partials if slot in partial.slots)) for slot in _SPOKEN
    }
    if told["female"]:
        memory.female = told["female"][0] if len(told["female"]) == 1 else None
    if told["male"]:
        memory.male = told["male"][0] if len(told["male"]) == 1 else None
    if told["reservation"]:
        memory.reservation = told["reservation"][0] if len(told["reservation"]) == 1 else None
    batches = () if any(partial.kind == "stripped" for partial in partials) else told["batch"]
    if batches or told["place"]:
        memory.batches, memory.places = batches, told["place"]
    if gone := told["to"] or told["place"]:
        memory.there = gone[0] if len(gone) == 1 else None


_SPOKEN = ("female", "male", "batch", "place", "to", "reservation")


def _remember(events: list[Partial], partials: Sequence[Partial], scene: Scene) -> None:
    events.extend(partials)
    _learn(partials, scene)


def _note(text: str, sentence: Sentence, rest: Sequence[Sentence], scene: Scene) -> tuple[list[Partial], int] | None:
    """A note: its subject, and its text as it was written, to the end of the line or to the next report."""
    tokens = sentence.tokens
    at = next((n for n, token in enumerate(tokens) if token.has("verb:note")), None)
    if at is None or only_thanks(tokens[at:]):
        return None
    if any(
        not (token.has("filler") or token.kind in ("fish", "batch", "place", "day", "punct")) for token in tokens[:at]
    ):
        return None
    tokens = _labelled(tokens, at)
    _head_day(tokens, scene)
    colon = next((n for n in range(at + 1, len(tokens)) if tokens[n].text in (":", "-", "–", ",")), None)
    subject = _subject_end(tokens, at, colon)
    if (
        colon == at + 1
        and colon + 2 < len(tokens)
        and tokens[colon + 1].kind in ("fish", "batch", "place")
        and tokens[colon + 2].text in (":", "-", "–")
    ):
        colon, subject = colon + 2, colon + 2
    start = (
        tokens[colon].end
        if colon is not None and colon <= subject + 1
        else tokens[min(subject, len(tokens) - 1)].start
        if subject < len(tokens)
        else tokens[-1].end
    )
    end = _note_end(text, start, rest, scene)
    words = text[start:end].strip().strip(":-– ").strip()
    if words.startswith("that "):
        words = words[5:]
    in_front = (
        subject if subject > at + 1 or any(token.kind in ("fish", "batch", "place") for token in tokens[:at]) else len(tokens)
    )
    partials = noted(Facts(Clause(list(tokens), "note"), scene), words, in_front)
    return (partials, end) if words or any(partial.slots.keys() - {"text", "on"} for partial in partials) else None


def _subject_end(tokens: Sequence[Token], at: int, colon: int | None) -> int:
    """The position behind the subject that follows "note"."""
    n = at + 1
    while n < len(tokens) and tokens[n].text in (
        "for",
        "on",
        "about",
        "re",
        "to",
        "the",
        "in",
        "of",
        "at",
        "regarding",
        "down",
        "that",
        ",",
        "-",
    ):
        n += 1
    if n < len(tokens) and (tokens[n].kind in ("fish", "batch", "place") or tokens[n].note == "label"):
        return n + 1
    return at + 1


def _labelled(tokens: list[Token], at: int) -> list[Token]:
    """ "note 8: thin", "note for 3 - torn fin": the number is whom the note is about."""
    n = at + 1 + (at + 1 < len(tokens) and tokens[at + 1].text in ("for", "on", "about"))
    stops = n + 1 < len(tokens) and tokens[n + 1].text in (":", "-", "–", ",")
    if not stops or tokens[n].kind != "number" or not isinstance(tokens[n].value, int):
        return tokens
    return [*tokens[:n], replace(tokens[n], note="label"), *tokens[n + 1 :]]


def _note_end(text: str, start: int, rest: Sequence[Sentence], scene: Scene) -> int:
    newline = text.find("\n", start)
    end = len(text) if newline < 0 else newline
    for sentence in rest:
        if sentence.tokens[0].start < end and has_report(sentence.tokens) and not conditional(sentence.tokens):
            return sentence.tokens[0].start
    return end


def _decided(events: list[Partial], queries: list[Partial], *, scene: Scene, text: str) -> Reading:
    """All of it, or a question about the first thing in the way."""
    if len(events) > MANY:
        return Ask("text", why="too_long", value=text[:40], draft={"text": text[:200]})
    found = [(partial, troubles(partial, scene.names)) for partial in [*events, *queries]]
    return settle([partial for partial, _ in found], len(events), [trouble for _, trouble in found], scene, text)


def settle(partials: list[Partial], events: int, found: Sequence[Sequence[object]], scene: Scene, text: str) -> Reading:
    """A reading of items and their troubles; the first `events` of them are events, the rest queries."""
    for n, partial in enumerate(partials):
        standing = troubles(partial, scene.names)
        if standing:
            first = standing[0]
            partial.troubles = standing
            draft = draft_of(partials, events, n, scene, text)
            return Ask(first.slot, first.options, draft, first.why, first.value)
    items = tuple(Item(partial.kind, partial.slots) for partial in partials)
    taken = tuple(scene.memory.taken)
    if items[:events]:
        return Events(items[:events], items[events] if len(items) > events else None, taken, _further(items[events:]))
    return Query(items[0], taken, _further(items)) if items else Nothing()


def _further(queries: Sequence[Item]) -> tuple[Item, ...]:
    """The questions behind the first, each once."""
    return tuple(item for n, item in enumerate(queries) if n and item not in queries[:n])


def draft_of(partials: Sequence[Partial], events: int, at: int, scene: Scene, text: str) -> Mapping[str, object]:
    """What is known so far, in plain values: the items, which of them is asked about, and when and by whom it was written."""
    return {
        "items": [partial.as_json() for partial in partials],
        "events": events,
        "at": at,
        "now": scene.now.isoformat(timespec="minutes"),
        "by": scene.by,
        "text": text,
        "taken": list(scene.memory.taken),
    }
