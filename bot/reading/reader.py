"""The one place that decides what a message is: events, a query, a question back, or nothing.

Reading wrongly is far worse than asking. All of a message that reports something must be readable, or the whole of it is asked about;
talk, negations and plans beside an event block nothing.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from datetime import datetime

from bot.reading import setting_up
from bot.reading.checks import troubles
from bot.reading.clauses import Clause, Sentence, clauses, content, joined_sentences, names_something, segments, sentences
from bot.reading.days import DaySpan
from bot.reading.facts import Facts, Memory, Scene
from bot.reading.kinds import read_clause
from bot.reading.kinds_water import noted
from bot.reading.names import Names
from bot.reading.partial import Partial
from bot.reading.queries import is_question, query_of
from bot.reading.tagging import tagged
from bot.reading.tokens import MOST, Token
from bot.reading.values import Ask, Context, Events, Item, Nothing, Query, Reading

_MARKUP = re.compile(r"</?[a-zA-Z][^<>]*>|<!--|<script|(?i:\b(?:select|insert|delete|drop|update)\b[^.!?]*\b(?:from|into|table|set)\b[^.!?]*;)")
"""Page markup or a database statement: no member at a tank writes that."""
MANY = 40
"""More items than this in one message are not believed."""


def read(text: str, *, now: datetime, by: str, names: Names, context: Context | None = None) -> Reading:
    """What a member's message means, against the names of the club; `now` is the writer's local time. Records nothing."""
    if len(text) > MOST:
        return Ask("text", why="too_long", value=text[:40], draft={"text": text[:200]})
    scene = Scene(names, now, by, context or Context(), Memory(), text)
    if _MARKUP.search(text):
        return Nothing()
    tokens = tagged(_clean(text), names)
    if not any(token.kind not in ("punct", "newline") for token in tokens):
        return Nothing()
    return _decided(*_items(text, tokens, scene), scene=scene, text=text)


def _clean(text: str) -> str:
    """Control characters out, one for one, so that offsets still point into the message."""
    return "".join(letter if letter.isprintable() or letter == "\n" else " " for letter in text)


def _items(text: str, tokens: Sequence[Token], scene: Scene) -> tuple[list[Partial], list[Partial]]:
    """The events and the queries of a message, each still with its troubles."""
    events: list[Partial] = []
    queries: list[Partial] = []
    whole = joined_sentences(sentences(tokens))
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
    return events, queries


def _sentence(sentence: Sentence, scene: Scene, events: list[Partial], queries: list[Partial]) -> None:
    tokens = sentence.tokens
    told = setting_up.read_sentence(tokens, scene, sentence.asked)
    if told is not None:
        _remember(events, told, scene)
        return
    statement, question = _parted(sentence, scene)
    if statement:
        _head_day(statement, scene)
        for partials in _statement(statement, scene):
            _remember(events, partials, scene)
    if question:
        query = query_of(question, scene, sentence.asked)
        if query is not None:
            queries.append(query)


def _parted(sentence: Sentence, scene: Scene) -> tuple[list[Token], list[Token]]:
    """The part that states and the part that asks."""
    tokens = sentence.tokens
    if _is_request(tokens):
        return _request(tokens), []
    pieces = segments(tokens)
    for n in range(1, len(pieces)):
        head = [token for piece in pieces[:n] for token in piece]
        tail = [token for piece in pieces[n:] for token in content(piece)] if n == len(pieces) - 1 else content([token for piece in pieces[n:] for token in piece])
        if _opens_question(tail) and not is_question(head, False) and _has_report(head):
            return head, tail
    if not sentence.asked and re.match(r"^(?:i )?can (?:pick ?up|collect|fetch|come)\b", _flat(tokens)) and any(token.kind == "day" for token in tokens):
        return list(tokens[1:]), []
    if not sentence.asked and _reports_after_aux(tokens) and _has_report(tokens):
        return tokens, []
    if sentence.asked and not _tagged_statement(tokens):
        return [], tokens
    opens = is_question(tokens, False) and not _only_begins_so(tokens)
    named = _NAMED_QUERY.search(_flat(tokens)) is not None
    query = query_of(tokens, scene, False) if opens or named or not _has_report(tokens) else None
    if query is not None:
        return [], tokens
    if opens and _opens_question(tokens) and not _reports_after_aux(tokens):
        return [], tokens
    return tokens, []


_PERSONS = frozenset("i we you u he she it they the that this these those my our any anyone anybody someone there her his".split())


def _only_begins_so(tokens: Sequence[Token]) -> bool:
    """ "should have stripped 6", "was going to cull 3", "when f6 releases, …": no questions, though they begin like one."""
    if len(tokens) < 2:
        return False
    first, second = tokens[0].text, tokens[1]
    if first in ("should", "would", "could", "was", "were", "will", "may", "shall", "have", "has", "had", "am"):
        return second.kind == "word" and second.text not in _PERSONS
    verbs = any(token.has("verb:release", "verb:hold", "verb:lose_brood", "verb:spawn", "verb:strip", "verb:die", "verb:move") for token in tokens[1:4])
    return first == "when" and second.kind in ("fish", "number", "batch", "sex") and verbs


_NAMED_QUERY = re.compile(r"\bstrip(?:ping)? (?:date|day|window|time)\b|^(?:status|history|forecast|chart|family|ration|bags?|where|wheres)\b")
_QUESTION_HEAD = re.compile(r"^(?:whats?|whos?|wheres?|whens?|hows?|which|why|is|are|can|could|do|does|did|will|would|should|am|any|anyone|anything|shall|whose|what|who|where|when|how)\b")
_REQUEST = re.compile(
    r"^(?:(?:hi|hey|hello|please|pls|ok|so|yo|hiya|bot|frywire|,)\s)*(?:(?:can|could|would|will) (?:you|u|i|we)\b|may i|may we|can i|could i)(?: please| pls| kindly| just| also| maybe)* "
    r"(?:put (?:me|us|\w+) down for|reserve|book|save|set aside|put aside|hold|have|get|take|cancel|move pickup|change|add|put|undo|take back|keep|log|note|mark|record|please|kindly|request)\b"
)


def _flat(tokens: Sequence[Token]) -> str:
    return " ".join(token.text for token in tokens)


def _is_request(tokens: Sequence[Token]) -> bool:
    """ "Can you put me down for 6 of A?" asks for it to be done."""
    flat = _flat(tokens)
    if not re.match(r"^(?:(?:hi|hey|hello|please|pls|ok|so|yo|hiya|bot|frywire|,|\w+ ,)\s)*(?:can|could|would|will|may)\b", flat):
        return False
    return bool(_REQUEST.match(flat)) and any(token.kind in ("batch", "strain", "reservation", "hash") for token in tokens) and any(
        token.kind in ("number", "reservation", "hash") for token in tokens
    ) and not re.search(r"\b(?:when|if|how)\b", flat)


def _request(tokens: Sequence[Token]) -> list[Token]:
    """The request without its "can you"."""
    start = next((n for n, token in enumerate(tokens) if any(meaning.startswith("verb:") for meaning in token.means)), 0)
    return list(tokens[start:])


def _opens_question(tokens: Sequence[Token]) -> bool:
    return bool(_QUESTION_HEAD.match(_flat([token for token in tokens if token.text not in ("so", "and", "but", "ok", ",", "also", "then", "hi", "hey")])))


def _has_report(tokens: Sequence[Token]) -> bool:
    return any(clause.verb and (names_something(clause) or clause.having("number")) for clause in clauses(tokens))


def _reports_after_aux(tokens: Sequence[Token]) -> bool:
    """ "did a 30% water change on tank 1", "got 2 dead in B", "has anyone …" only asks."""
    first = next((token for token in tokens if token.text not in ("so", "and", "ok", "hi", "just")), tokens[0])
    if first.text in ("did", "got", "have", "had", "do") or first.text.startswith("did"):
        follows = [token.text for token in tokens[1:3]]
        return not ({"you", "u", "we", "i", "anyone", "he", "she", "they", "any", "somebody"} & set(follows))
    return any(meaning.startswith("verb:") for meaning in first.means) and "what" not in first.text


def _tagged_statement(tokens: Sequence[Token]) -> bool:
    """ "2 dead in B, ok?": a question mark that asks nothing."""
    tail = _flat(tokens).rsplit(",", 1)[-1].strip()
    return tail in ("ok", "okay", "right", "yes", "got it", "got that", "ok ok") and _has_report(tokens)


def _head_day(tokens: Sequence[Token], scene: Scene) -> None:
    """A day at the head of the message covers every clause that has none of its own."""
    for token in tokens:
        if token.kind == "day" and isinstance(token.value, DaySpan):
            if not any(scene.memory.taken) and not scene.memory.batches and not scene.memory.places and not scene.memory.female:
                scene.memory.head_day = token.value
            return
        if not (token.kind == "punct" or token.has("filler") and token.text not in ("to",)) or token.text in ("tank", "batch"):
            return


_CONDITION_ENDS = ("once", "while", "before", "even if", "if")


def _conditional(tokens: Sequence[Token]) -> bool:
    """Whether a condition stands over the sentence ("if 6 spits, …"): then nothing of it has happened."""
    for n, token in enumerate(tokens):
        if not token.has("condition"):
            continue
        following = tokens[n + 1] if n + 1 < len(tokens) else None
        if token.text in ("once", "while", "otherwise") and (following is None or following.kind == "punct"):
            continue
        if token.text in ("until", "till", "before", "by the time", "the day") and (following is None or following.kind in ("day", "clock") or following.has("food")):
            continue
        if token.text in ("before", "while", "when", "once") and n > 0 and any(meaning.startswith("verb:") for earlier in tokens[:n] for meaning in earlier.means):
            if token.text in ("before", "while", "when") and not any(meaning.startswith("verb:") for later in tokens[n:] for meaning in later.means):
                continue
        return True
    return False


def _statement(tokens: Sequence[Token], scene: Scene) -> list[list[Partial]]:
    """The items of a sentence that states, clause by clause."""
    if _conditional(tokens):
        return []
    out: list[list[Partial]] = []
    for clause in clauses(tokens):
        partials = _clause(clause, scene)
        if partials:
            out.append(partials)
            _learn(partials, scene)
    return out


def _clause(clause: Clause, scene: Scene) -> list[Partial] | None:
    if clause.talk or _foreign(clause):
        return None
    facts = Facts(clause, scene)
    if not clause.verb:
        return setting_up.bare_number(facts)
    if _idle(clause, facts):
        return None
    return read_clause(facts)


def _foreign(clause: Clause) -> bool:
    """ "Oleg's f4 is holding", "my friend's male died": somebody else's fish."""
    if any(token.has("foreign") and not token.has("filler") for token in clause.tokens):
        return True
    return any(
        token.kind == "member" and token.note == "possessive" and n + 1 < len(clause.tokens) and clause.tokens[n + 1].kind in ("fish", "sex", "batch", "number", "strain", "place")
        for n, token in enumerate(clause.tokens)
    )


_ALWAYS = frozenset({"undo"})
_NEEDS_SUBJECT = frozenset("hold lose_brood release die lose move feed spawn count measure sex split merge hold_back cull join leave offer withdraw pickup collected cancel no_show deposit want reserve left_over strip change_water name confirm decline mix change_reservation".split())


def _idle(clause: Clause, facts: Facts) -> bool:
    """Whether words of the trade are only talk here: figures of speech, things, or nothing that could be meant."""
    tokens = clause.tokens
    if clause.verb == "undo":
        return len([token for token in tokens if token.kind not in ("punct", "day") and not token.has("filler", "verb:undo")]) > 2
    if any(token.has("thing") and _beside(tokens, n, clause) for n, token in enumerate(tokens)):
        return True
    if clause.verb in ("die", "lose") and clause.having("money"):
        return True
    if clause.verb == "test" and any(token.text in ("set", "turned", "raised", "lowered", "adjusted", "adjust", "setting", "thermostat", "dialled", "outside") for token in tokens):
        return True
    if clause.verb == "want" and len(facts.unknown_words()) == 1 and not facts.has("thing") and tokens[0].text in ("wanted", "wtb", "iso"):
        return False
    if clause.verb == "hold_back" and not facts.quantities:
        return True
    if clause.verb == "hold_back" and clause.having("fish") and not clause.having("batch"):
        return True
    if clause.verb == "join" and any(token.kind == "place" for token in tokens) and not (clause.having("sex", "strain", "fish", "batch") or facts.has("fry", "batch_word")):
        return True
    if clause.verb == "feed" and not clause.having("batch", "place", "fish", "strain") and len(facts.unknown_words()) > 0:
        return True
    named = names_something(clause) or bool(clause.having("strain", "length", "temp", "percent"))
    unknown = len(facts.unknown_words())
    counted = bool(facts.quantities) or bool(clause.having("money"))
    if named:
        return unknown > 6 and not clause.having("fish", "batch", "place", "reservation", "hash")
    if clause.verb in ("hold",) and facts.has("bare_pronoun", "he", "they") and not counted:
        return unknown > 1 or not (scene_has(facts))
    if clause.verb in ("pickup", "cancel", "no_show", "collected", "deposit"):
        told = bool(clause.having("member", "day", "clock", "money")) or facts.has("mine", "reservation")
        return unknown > 2 or (not told and (len(tokens) > 3 or unknown > 0)) or (clause.verb == "cancel" and not clause.having("member") and unknown > 0)
    if facts.scene.context.here and unknown == 0 and clause.verb in ("feed", "change_water", "die", "lose", "count", "move", "cull"):
        return False
    if unknown <= 1 and _goes_on(facts) and clause.verb in _NEEDS_SUBJECT - {"join", "want", "reserve", "offer"}:
        return False
    if counted:
        return unknown > 2 or (facts.has("thing")) or _about_people(tokens)
    bare = [token for token in tokens if token.kind != "punct" and not token.has("filler")]
    if clause.verb == "hold" and unknown == 1 and facts.unknown_words()[0] < facts.verb_at() and len(bare) <= 4 and not facts.has("mine", "they"):
        return False
    if facts.has("bare_pronoun", "they", "he", "fry", "egg", "batch_word") or clause.having("sex"):
        return unknown > 1 or (clause.verb in ("leave", "want", "reserve", "join", "offer", "count", "move") and not clause.having("sex") and not facts.has("fry", "egg", "batch_word"))
    return len(bare) > 1 or clause.verb not in _LONELY


_LONELY = frozenset({"strip", "cull", "change_water", "split", "merge"})
"""Verbs that by themselves are a report begun."""


def _goes_on(facts: Facts) -> bool:
    """Whether the message has already spoken of something that this clause can be about."""
    memory = facts.scene.memory
    return bool(memory.female or memory.male or memory.batches or memory.places)


def scene_has(facts: Facts) -> bool:
    """Whether somebody was spoken of whom "she" could mean."""
    scene = facts.scene
    return bool(scene.memory.female or scene.context.female or scene.memory.batches or scene.context.batch)


def _about_people(tokens: Sequence[Token]) -> bool:
    return any(token.text in ("us", "people", "members", "guys", "pm", "oclock", "euros") for token in tokens if token.kind == "word" and not token.has("fry"))


def _beside(tokens: Sequence[Token], n: int, clause: Clause) -> bool:
    """Whether a thing is what the verb or a number is said of: "the heater died", "2 snails", "fed the dog"."""
    before = next((token for token in reversed(tokens[:n]) if token.kind != "punct" and token.text not in ("the", "a", "an", "my", "new", "our", "some")), None)
    numbered = before is not None and before.kind == "number"
    if numbered or any(token.kind in ("fish", "batch", "reservation", "hash") for token in tokens):
        return numbered
    verb = next((k for k, token in enumerate(tokens) if f"verb:{clause.verb}" in token.means), -1)
    return n < verb or before is None or bool(before.means & {f"verb:{clause.verb}"}) or not clause.having("sex", "strain", "number", "place", "percent")


def _learn(partials: Sequence[Partial], scene: Scene) -> None:
    """What was just spoken of, for the clauses that follow."""
    memory = scene.memory
    for partial in partials:
        slots = partial.slots
        memory.female = str(slots["female"]) if "female" in slots else memory.female
        memory.male = str(slots["male"]) if "male" in slots else memory.male
        if "batch" in slots and partial.kind != "stripped":
            memory.batches, memory.places = (str(slots["batch"]),), ()
        if "place" in slots:
            memory.places, memory.batches = (str(slots["place"]),), ()


def _remember(events: list[Partial], partials: Sequence[Partial], scene: Scene) -> None:
    events.extend(partials)
    _learn(partials, scene)


def _note(text: str, sentence: Sentence, rest: Sequence[Sentence], scene: Scene) -> tuple[list[Partial], int] | None:
    """A note: its subject, and its text as it was written, to the end of the line or to the next report."""
    tokens = sentence.tokens
    at = next((n for n, token in enumerate(tokens) if token.has("verb:note")), None)
    if at is None or any(not (token.has("filler") or token.kind in ("fish", "batch", "place", "day", "punct")) for token in tokens[:at]):
        return None
    _head_day(tokens, scene)
    colon = next((n for n in range(at + 1, len(tokens)) if tokens[n].text in (":", "-", "–", ",")), None)
    subject = _subject_end(tokens, at, colon)
    if colon == at + 1 and colon + 2 < len(tokens) and tokens[colon + 1].kind in ("fish", "batch", "place") and tokens[colon + 2].text in (":", "-", "–"):
        colon, subject = colon + 2, colon + 2
    start = tokens[colon].end if colon is not None and colon <= subject + 1 else tokens[min(subject, len(tokens) - 1)].start if subject < len(tokens) else tokens[-1].end
    end = _note_end(text, start, rest, scene)
    words = text[start:end].strip().strip(":-– ").strip()
    if words.startswith("that "):
        words = words[5:]
    in_front = subject if subject > at + 1 or any(token.kind in ("fish", "batch", "place") for token in tokens[:at]) else len(tokens)
    partials = noted(Facts(Clause(list(tokens), "note"), scene), words, in_front)
    return (partials, end) if words or any(partial.slots.keys() - {"text", "on"} for partial in partials) else None


def _subject_end(tokens: Sequence[Token], at: int, colon: int | None) -> int:
    """The position behind the subject that follows "note"."""
    n = at + 1
    while n < len(tokens) and tokens[n].text in ("for", "on", "about", "re", "to", "the", "in", "of", "at", "regarding", "down", "that", ",", "-"):
        n += 1
    if n < len(tokens) and tokens[n].kind in ("fish", "batch", "place"):
        return n + 1
    return at + 1


def _note_end(text: str, start: int, rest: Sequence[Sentence], scene: Scene) -> int:
    newline = text.find("\n", start)
    end = len(text) if newline < 0 else newline
    for sentence in rest:
        if sentence.tokens[0].start < end and _has_report(sentence.tokens) and not _conditional(sentence.tokens):
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
        return Events(items[:events], items[events] if len(items) > events else None, taken)
    return Query(items[0], taken) if items else Nothing()


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
