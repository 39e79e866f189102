"""A message cut into sentences and pieces: full stops, commas, "and"; the verbs of a piece, and which of them counts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import lru_cache

from bot.reading.tokens import Token
from bot.reading.vocabulary import Meanings
from bot.reading.walk import Fish, Spot

TALK_MARKS = ("negation", "plan", "hedge", "hearsay", "habit")
ENTITIES = ("fish", "batch", "place", "reservation", "hash")
_SENTENCE_ENDS = (".", "?", "!", "…")
_SOFT = (",", "/", ";", "+", "&", "(", ")", "-", "–")
_WEAK = frozenset({"filler"})


@dataclass
class Clause:
    """The tokens of one clause with its verb ("" where none is said), form and whether it is only talk."""

    tokens: list[Token]
    verb: str = ""
    form: str = "done"
    talk: bool = False
    implied: bool = False
    again: bool = False
    """The verb of the clause before is meant again, and no price stood there."""

    def having(self, *kinds: str) -> list[Token]:
        """The tokens of these kinds, in order."""
        return [token for token in self.tokens if token.kind in kinds]


@dataclass
class Sentence:
    """The tokens of one sentence and whether it ends in a question mark."""

    tokens: list[Token] = field(default_factory=list)
    asked: bool = False


def _goes_on(last: Sentence, following: Sentence) -> bool:
    """ "Stripped 6 last night. 27 fry went into box 2": the fry of the sentence before."""
    if (
        _bare_subject(last, following)
        or _bare_values(last, following)
        or _bare_place(last, following)
        or _bare_verb(last, following)
        or _bare_label(last, following)
    ):
        return True
    told = any(verb_of(token) in ("strip", "release") for token in last.tokens) and not last.asked and not following.asked
    own = any(token.kind in ("fish", "batch", "reservation", "hash", "percent") for token in following.tokens)
    if told and not own and _bare_count(last, following):
        return True
    brood = any(token.has("fry", "egg", "live", "they") for token in following.tokens[:4])
    told_count = any(token.has("fry", "egg") for token in last.tokens)
    strange = any(
        verb_of(token) in ("feed", "change_water", "note", "undo") or token.has(*TALK_MARKS) or token.has("condition")
        for token in following.tokens
    )
    return (
        told
        and brood
        and not own
        and not strange
        and not (told_count and any(token.has("verb:die") for token in following.tokens))
    )


def _bare_count(last: Sentence, following: Sentence) -> bool:
    """ "F6 let them all go. I counted 17": the brood's number in a sentence of its own."""
    numbers = [token for token in following.tokens if token.kind == "number"]
    plain = all(token.kind in ("number", "punct") or token.has("verb:count", "fry", "filler", "they") for token in following.tokens)
    counted = any(token.has("verb:count") for token in following.tokens)
    return plain and counted and len(numbers) == 1 and not any(token.kind == "number" and token.note != "spelt" for token in last.tokens)


def _bare_values(last: Sentence, following: Sentence) -> bool:
    """ "Vented A. 18m 23f": nothing but the numbers of the sentence before."""
    verbs = {verb_of(token) for token in last.tokens} & {"sex", "count", "measure", "strip", "sold", "cull", "release"}
    values = all(
        token.kind in ("number", "suffixed", "sex", "length", "punct") or token.has("fry", "egg", "filler")
        for token in following.tokens
    )
    told = any(token.kind in ("number", "suffixed", "length") for token in last.tokens)
    new = any(token.kind in ("number", "suffixed", "length") for token in following.tokens)
    return bool(verbs) and values and new and not told and not last.asked and not following.asked


def _bare_subject(last: Sentence, following: Sentence) -> bool:
    """ "f4... holding": whom, and then what."""
    named = [token for token in last.tokens if token.kind == "fish"]
    only = all(token.kind in ("fish", "punct") or token.has("with", "filler") for token in last.tokens)
    told = bool(following.tokens) and verb_of(following.tokens[0]) in ("hold", "spawn", "strip", "release", "lose_brood", "die")
    own = any(token.kind == "fish" for token in following.tokens)
    return bool(named) and only and told and not own and not last.asked and not following.asked


def _bare_verb(last: Sentence, following: Sentence) -> bool:
    """ "Spawning! Biscuit and male 2": the verb called out first."""
    alone = [token for token in last.tokens if token.kind != "punct" and not token.has("greeting")]
    shouted = (
        len(alone) == 1
        and verb_of(alone[0]) in ("spawn", "hold", "strip", "release", "lose_brood", "die")
        and not is_weak(alone[0])
    )
    return shouted and not last.asked and not following.asked and not any(verb_of(token) for token in following.tokens)


def _bare_place(last: Sentence, following: Sentence) -> bool:
    """ "Stripped 6, 24 fry. Box 2": where they went."""
    verbs = {verb_of(token) for token in last.tokens} & {"strip", "move", "split", "join"}
    only = all(token.kind in ("place", "punct") or token.has("filler", "lot", "all", "they") for token in following.tokens)
    return (
        bool(verbs)
        and only
        and not any(token.kind == "place" for token in last.tokens)
        and not last.asked
        and not following.asked
    )


def _bare_label(last: Sentence, following: Sentence) -> bool:
    """ "Stripped 6, 24 fry. Name the batch H": under what letter."""
    verbs = {verb_of(token) for token in last.tokens} & {"strip", "split", "release", "join"}
    letters = [token for token in following.tokens if token.kind == "batch"]
    words = all(
        token.kind in ("batch", "punct") or token.has("filler", "call_it", "verb:name", "they", "batch_word")
        for token in following.tokens
    )
    named = any(token.has("call_it", "verb:name") or token.text in ("is", "its", "this") for token in following.tokens)
    own = any(token.kind == "batch" and verb_of(before) != "split" for before, token in zip(last.tokens, last.tokens[1:], strict=False))
    own = own and not any(verb_of(token) == "split" for token in last.tokens)
    return bool(verbs) and len(letters) == 1 and words and named and not own and not last.asked and not following.asked


def joined_sentences(found: Sequence[Sentence]) -> list[Sentence]:
    """The sentences, where one goes on with the brood of the one before put together with it."""
    out: list[Sentence] = []
    for sentence in found:
        if out and _goes_on(out[-1], sentence):
            stop = Token("punct", ",", sentence.tokens[0].start, sentence.tokens[0].start)
            out[-1] = Sentence([*out[-1].tokens, stop, *sentence.tokens], False)
        else:
            out.append(sentence)
    return out


def sentences(tokens: Sequence[Token]) -> list[Sentence]:
    """The sentences of a message: cut at full stops, question and exclamation marks and line ends."""
    out = [Sentence()]
    for n, token in enumerate(tokens):
        if _abbreviated(tokens, n):
            continue
        ends = token.kind == "newline" or (token.kind == "punct" and token.text in _SENTENCE_ENDS) or _note_follows(tokens, n)
        if not ends:
            out[-1].tokens.append(token)
            continue
        if token.text == "?" and out[-1].tokens:
            out[-1].asked = True
        elif token.text == "?" and len(out) > 1:
            out[-2].asked = True
        if out[-1].tokens:
            out.append(Sentence())
    return [sentence for sentence in out if sentence.tokens]


def _abbreviated(tokens: Sequence[Token], n: int) -> bool:
    """The stop of "approx. 25"."""
    last, following = tokens[n - 1] if n else None, tokens[n + 1] if n + 1 < len(tokens) else None
    tied = tokens[n].text == "." and last is not None and last.end == tokens[n].start
    short = tied and last is not None and last.text in ("approx", "abt", "ca", "est", "avg", "av", "min", "max")
    return short and following is not None and following.kind in ("number", "length", "weight", "range", "percent", "volume")


def _note_follows(tokens: Sequence[Token], n: int) -> bool:
    """ ", note D: pale": a note begins a sentence of its own."""
    if not _soft(tokens[n]) or n + 2 >= len(tokens) or tokens[n + 1].text not in ("note", "nb", "memo", "add a note"):
        return False
    return tokens[n + 2].kind in ("fish", "batch", "place") or tokens[n + 2].text in (":", "for", "on", "to")


def _greeted(tokens: list[Token], n: int) -> int:
    """How many tokens at a position greet, or announce a list ("3 things:")."""
    if tokens[n].kind == "number" and n + 3 < len(tokens) and tokens[n + 1].text in _LISTED and tokens[n + 2].text == ":":
        return 3
    if tokens[n].text in ("update", "morning", "evening") and tokens[n + 1].kind != "punct":
        return 0
    return int(tokens[n].has("greeting") or (n > 0 and tokens[n].text in (",", ":", "-", "–")))


_LISTED = ("things", "updates", "points", "items", "notes", "bits", "reports")


def without_greeting(sentence: Sentence) -> Sentence:
    """The sentence without "hi all," and "ok so" at its head."""
    tokens = sentence.tokens
    n = 0
    while n < len(tokens) - 1 and (skipped := _greeted(tokens, n)):
        n += skipped
    return Sentence(tokens[n:], sentence.asked) if n else sentence


def verb_of(token: Token) -> str | None:
    """The verb a token can be."""
    return _verb_among(token.means) if token.means else None


@lru_cache(maxsize=4096)
def _verb_among(means: Meanings) -> str | None:
    return next((meaning[5:] for meaning in sorted(means) if meaning.startswith("verb:")), None)


def is_weak(token: Token) -> bool:
    """A verb that is also an everyday word ("put", "got", "new")."""
    return bool(token.means & _WEAK)


def _soft(token: Token) -> bool:
    return (token.kind == "punct" and token.text in _SOFT) or (
        token.kind == "word" and token.text in ("and", "then", "also", "but", "plus", "so")
    )


def segments(tokens: Sequence[Token]) -> list[list[Token]]:
    """The pieces between soft separators; the separators stay at the head of the piece that follows."""
    out: list[list[Token]] = [[]]
    for n, token in enumerate(tokens):
        if _soft(token) and not _between_fish(tokens, n) and not _in_number_list(tokens, n) and not _between_sexes(tokens, n):
            out.append([token])
        else:
            out[-1].append(token)
    return [piece for piece in out if piece]


def _in_number_list(tokens: Sequence[Token], n: int) -> bool:
    """The comma of "40, 42, 38 mm"."""
    around = [tokens[n + step].kind if 0 <= n + step < len(tokens) else "" for step in (-1, 1, 2)]
    measures = ("number", "length")
    if tokens[n].text != "," or around[0] not in measures or around[1] not in measures:
        return False
    behind = tokens[n + 3].kind if n + 3 < len(tokens) else ""
    joined = tokens[n + 2].text == "," or (tokens[n + 2].text == "and" and behind in measures) if n + 2 < len(tokens) else False
    return around[1] == "length" or around[2] in ("", "length") or joined


def _between_fish(tokens: Sequence[Token], n: int) -> bool:
    """The stroke of "f8/m3"."""
    return tokens[n].text == "/" and 0 < n < len(tokens) - 1 and tokens[n - 1].kind == tokens[n + 1].kind == "fish"


def _between_sexes(tokens: Sequence[Token], n: int) -> bool:
    """The "and" of "10 males and 14 females"."""
    if not 0 < n < len(tokens) - 1 or tokens[n - 1].kind not in ("sex", "suffixed"):
        return False
    following = tokens[n + 1]
    return following.kind == "suffixed" or (following.kind == "number" and n + 2 < len(tokens) and tokens[n + 2].kind == "sex")


def content(tokens: Sequence[Token]) -> list[Token]:
    """The tokens without the separators at the head."""
    n = 0
    while n < len(tokens) and _soft(tokens[n]):
        n += 1
    return list(tokens[n:])


def names_something(clause: Clause) -> bool:
    """Whether the clause names a fish, a batch, a place or a reservation that a report could be about."""
    return any(
        token.kind in ENTITIES or (token.kind == "place" and isinstance(token.value, Spot)) or isinstance(token.value, Fish)
        for token in clause.tokens
    )
