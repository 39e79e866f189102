"""Which part of a sentence states and which asks, and when a question is a request."""

# ruff: noqa: E501 - a pattern is read as one line

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from bot.reading.clauses import clauses
from bot.reading.pieces import ENTITIES, Sentence, content, names_something, segments
from bot.reading.queries import is_question, query_of
from bot.reading.scene import Scene
from bot.reading.tokens import Token


def parted(sentence: Sentence, scene: Scene) -> tuple[list[Token], list[Token]]:
    """The part that states and the part that asks."""
    tokens = sentence.tokens
    turned = _turned_question(tokens)
    if turned is not None and not _is_request(tokens):
        named = any(token.kind in ENTITIES for token in tokens[:turned])
        return [], tokens if named else tokens[turned:]
    if _ASKS_TO_COME.match(_flat(tokens)) and _numbered_day(tokens):
        return [replace(tokens[2], means=frozenset({"verb:pickup", "form:done"})), *tokens[3:]], []
    if _is_request(tokens):
        return _request(tokens), []
    pieces = segments(tokens)
    for n in range(1, len(pieces)):
        head = [token for piece in pieces[:n] for token in piece]
        tail = (
            [token for piece in pieces[n:] for token in content(piece)]
            if n == len(pieces) - 1
            else content([token for piece in pieces[n:] for token in piece])
        )
        if (
            _opens_question(tail)
            and not _goes_on(pieces[n])
            and not (_offers_to_come(tail) and not sentence.asked)
            and not (tail[0].text in ("which", "who", "where") and not sentence.asked)
            and not (_reports_after_aux(tail) and not sentence.asked)
            and not is_question(head, False)
            and has_report(head)
        ):
            return head, tail
    if not sentence.asked and _offers_to_come(tokens):
        return list(tokens[1:]), []
    named = _NAMED_QUERY.search(_flat(tokens)) is not None
    if not sentence.asked and not named and _reports_after_aux(tokens) and has_report(tokens):
        return tokens, []
    if sentence.asked and not _tagged_statement(tokens):
        return [], tokens
    opens = is_question(tokens, False) and not _only_begins_so(tokens)
    query = query_of(tokens, scene, False) if opens or named or not has_report(tokens) else None
    if query is not None:
        return [], tokens
    if opens and _opens_question(tokens) and not _reports_after_aux(tokens):
        return [], tokens
    return tokens, []


_AUXILIARY = frozenset(
    ["is", "are", "was", "were", "did", "does", "do", "has", "have", "had", "isnt", "arent", "wasnt", "werent", "didnt", "doesnt", "hasnt", "havent"]
)
_SUBJECTS = frozenset(["anyone", "anybody", "someone", "somebody", "everyone", "you", "u", "he", "she", "they", "it", "we", "her", "any"])
_SUBJECT_KINDS = ("fish", "batch", "reservation", "hash", "member", "place")


def _turned_question(tokens: Sequence[Token]) -> int | None:
    """The position of "is f6" in "hey, quick one, is f6 still holding": a verb before its subject, with nothing reported before it."""
    for n, token in enumerate(tokens[:-1]):
        if token.text not in _AUXILIARY or not _subject_follows(tokens, n + 1):
            continue
        if n and tokens[n - 1].text in ("that", "it", "this", "there", "what"):
            continue  # "that was female 4"
        if n == 0 or tokens[n - 1].kind == "punct" or all(_leads_in(other) for other in tokens[:n]):
            return None if n and has_report(tokens[:n]) else n
    return None


def _leads_in(token: Token) -> bool:
    return (token.has("filler", "greeting", "hedge") and not token.has("wonder")) or token.kind in ("member", "punct") or (token.kind == "word" and not token.means)


def _subject_follows(tokens: Sequence[Token], n: int) -> bool:
    """Whether a subject stands here, and something is said of it."""
    n += tokens[n].text in ("the", "my", "our", "your") and n + 1 < len(tokens)
    subject = tokens[n]
    behind = tokens[n + 1 :]
    if subject.kind == "number":
        return bool(behind) and behind[0].has("form:base", "verb:spawn", "verb:hold", "verb:lose_brood") and tokens[n - 1].text not in ("had", "have")
    named = subject.kind in _SUBJECT_KINDS or (subject.kind == "percent" and tokens[n - 1].text in ("is", "was")) or subject.text in _SUBJECTS
    return named and bool(behind) and not (subject.kind == "place" and tokens[n - 1].text in ("did", "do", "had", "have"))


_ASKS_TO_COME = re.compile(r"^(?:can|could|may) (?:i|we) (?:come|collect|fetch|pick up|pickup)\b")


def _numbered_day(tokens: Sequence[Token]) -> bool:
    """ "can I come sunday for #12?": the buyer puts forward a day for a reservation."""
    kinds = {token.kind for token in tokens}
    return "day" in kinds and bool(kinds & {"reservation", "hash"})


def _offers_to_come(tokens: Sequence[Token]) -> bool:
    """ "can pick up sunday"."""
    return bool(re.match(r"^(?:i )?can (?:pick ?up|collect|fetch|come)\b", _flat(tokens))) and any(
        token.kind == "day" for token in tokens
    )


_PERSONS = frozenset(
    [
        "i",
        "we",
        "you",
        "u",
        "he",
        "she",
        "it",
        "they",
        "the",
        "that",
        "this",
        "these",
        "those",
        "my",
        "our",
        "any",
        "anyone",
        "anybody",
        "someone",
        "there",
        "her",
        "his",
    ]
)


def _only_begins_so(tokens: Sequence[Token]) -> bool:
    """ "should have stripped 6", "was going to cull 3", "when f6 releases, …": no questions, though they begin like one."""
    if len(tokens) < 2:
        return False
    first, second = tokens[0].text, tokens[1]
    if first in ("should", "would", "could", "was", "were", "will", "may", "shall", "have", "has", "had", "am"):
        return second.kind == "word" and second.text not in _PERSONS
    verbs = any(
        token.has("verb:release", "verb:hold", "verb:lose_brood", "verb:spawn", "verb:strip", "verb:die", "verb:move")
        for token in tokens[1:4]
    )
    return first == "when" and second.kind in ("fish", "number", "batch", "sex") and verbs


_NAMED_QUERY = re.compile(
    r"\bstrip(?:ping)? (?:date|day|window|time)\b|^(?:status|history|forecast|chart|family|ration|bags?|where|wheres|feeding (?:plan|ration|amount)|list (?:the )?(?:tank|box|tub|pond)|(?:the |show |me )*wanted list|(?:full|whole|complete) history)\b"
)
QUESTION_HEAD = re.compile(
    r"^(?:whats?|whos?|wheres?|whens?|hows?|which|why|is|are|can|could|do|does|did|will|would|should|am|any|anyone|anything|shall|whose|what|who|where|when|how)\b"
)
_REQUEST = re.compile(
    r"^(?:(?:hi|hey|hello|please|pls|ok|so|yo|hiya|bot|frywire|,)\s)*(?:(?:can|could|would|will) (?:you|u|i|we)\b|may i|may we|can i|could i)(?: please| pls| kindly| just| also| maybe)* "
    r"(?:put (?:me|us|\w+) down for|reserve|book|save|set aside|put aside|hold|have|get|take|cancel|withdraw|move pickup|change|add|put|undo|take back|keep|log|note|mark|record|please|kindly|request)\b"
)


def _flat(tokens: Sequence[Token]) -> str:
    return " ".join(token.text for token in tokens)


def _is_request(tokens: Sequence[Token]) -> bool:
    """ "Can you put me down for 6 of A?" asks for it to be done."""
    flat = _flat(tokens)
    if not re.match(r"^(?:(?:hi|hey|hello|please|pls|ok|so|yo|hiya|bot|frywire|,|\w+ ,)\s)*(?:can|could|would|will|may)\b", flat):
        return False
    return (
        bool(_REQUEST.match(flat))
        and any(token.kind in ("batch", "strain", "reservation", "hash") for token in tokens)
        and any(token.kind in ("number", "reservation", "hash") or token.has("verb:withdraw") for token in tokens)
        and not re.search(r"\b(?:when|if|how)\b", flat)
    )


def _request(tokens: Sequence[Token]) -> list[Token]:
    """The request without its "can you"."""
    named = ("fish", "batch", "reservation", "hash")
    start = next(
        (
            n
            for n, token in enumerate(tokens)
            if token.kind in named or any(meaning.startswith("verb:") for meaning in token.means)
        ),
        0,
    )
    return list(tokens[start:])


def _opens_question(tokens: Sequence[Token]) -> bool:
    return bool(
        QUESTION_HEAD.match(
            _flat([token for token in tokens if token.text not in ("so", "and", "but", "ok", ",", "also", "then", "hi", "hey")])
        )
    )


def _goes_on(piece: Sequence[Token]) -> bool:
    """ "biscuit spawned and is holding", "counted C, is 25": no question, but more of the same."""
    if [token.text for token in piece[:2]] in ([",", "is"], [",", "its"]) and len(piece) == 3 and piece[2].kind == "number":
        return True
    return len(piece) > 2 and piece[0].text in ("and", "but") and piece[1].text in ("is", "was", "has") and piece[2].has("form:done", "still")


def has_report(tokens: Sequence[Token]) -> bool:
    """Whether the words report something."""
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
    return tail in ("ok", "okay", "got it", "got that", "ok ok") and has_report(tokens)
