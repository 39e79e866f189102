"""What a writer puts right in the same breath: "culled 3 in B, wait no, 2", "holding since mon... no sorry, tues", "f5, I mean f6".

The words behind the mark are put in the place of what they correct: a number for a number, a day for a day. Where it cannot be told what
they correct, that is left in doubt and asked about.
"""

# ruff: noqa: E501 - a pattern is read as one line

from __future__ import annotations

import re
from collections.abc import Collection, Sequence
from dataclasses import replace

from bot.reading.names import Names
from bot.reading.pieces import ENTITIES
from bot.reading.scene import Scene
from bot.reading.tagging import tagged
from bot.reading.tokens import Token
from bot.reading.walk import Fish

_MARKED = re.compile(
    r"(?:(?:(?:no|nope)(?= (?:,|wait|sorry|sry|its|it|i|make|that|hang)\b| ,)|wait|hang on|hold on|sorry|sry|oops|oopsie|whoops|ops|actually|correction|or rather|rather"
    r"|i mean|i meant|i ment|meant|make (?:that|it)|scratch that|strike that|my mistake|my bad|typo|wrong|ignore that|(?<=wait )no|(?<=sorry )no|(?<=oops )no"
    r"|(?:it|that)(?:s| is| was| should have been| should read)|its|should (?:have been|read))(?!\w) ?[,:.…]* ?)+"
)
"""The words that say that something was said wrongly."""
_STRONG = re.compile(r"\b(?:no wait|wait no|no sorry|sorry no|no ,? ?wait|wait|i mean|i meant|i ment|meant|make (?:that|it)|scratch that|strike that|correction|or rather|typo|oops|whoops|should (?:have been|read))\b")
"""Words that say it for certain: what cannot be put right then is in doubt."""
_FIRST_WORDS = frozenset(
    [
        *["no", "nope", "wait", "hang", "hold", "sorry", "sry", "oops", "oopsie", "whoops", "ops", "actually", "correction", "or", "rather", "i"],
        *["meant", "make", "scratch", "strike", "my", "typo", "wrong", "ignore", "it", "its", "that", "thats", "should"],
    ]
)
_CLASSES = {
    **{kind: kind for kind in ("day", "place", "batch", "fish", "member", "strain", "sex", "money", "clock", "percent", "length")},
    **{kind: kind for kind in ("volume", "weight", "temp", "suffixed", "number", "reservation")},
    "profile": "strain", "hash": "reservation", "ordinal": "day",
}  # fmt: skip
_MEASURES = ("percent", "length", "volume", "weight", "temp", "money")
_LINKS = frozenset(["to", "into", "in", "on", "at", "since", "from", "of", "for", "the", "with", "about", "around", "only", "just", "there", "were"])
_ENDS = frozenset([",", ";", ".", "!", "?", "…", "and", "but", "(", ")", "then", "also"])
_LONGEST = 6


def corrected(tokens: Sequence[Token], scene: Scene) -> list[Token]:
    """The tokens with what was put right put in place; what cannot be placed is remembered as not understood."""
    out = list(tokens)
    at = 1
    while at < len(out):
        ends = _mark_ends(out, at)
        if ends == at:
            at += 1
            continue
        marked = " ".join(token.text for token in out[at:ends])
        head = out[:at]
        again = {meaning for token in head for meaning in token.means if meaning.startswith("verb:")}
        tail = _tail(out, ends, again if _STRONG.search(marked) else ())
        fitted = _put_right(head, tail) if tail else None
        if fitted is not None:
            out = [*fitted, *out[_behind(out, ends + len(tail)) :]]
            at = len(fitted) + 1
        else:
            following = out[ends : ends + 1]
            strange = [token for token in following if token.kind == "word" and not token.means and len(token.text) < 5]
            doubted = tail or strange or [token for token in following if token.kind in _CLASSES]
            if doubted and _STRONG.search(marked) and any(_reports(token) for token in head):
                scene.memory.unread.append(" ".join(token.text for token in doubted))
            at = ends
    return out


def begins_as_correction(words: str) -> bool:
    """Whether the first word can be the mark of a correction."""
    first = re.match(r"\W*([a-z']+)", words.lower())
    return first is not None and first.group(1).replace("'", "") in _FIRST_WORDS


def put_right(said: str, words: str, names: Names, whole: bool = False) -> str | None:
    """What was said with the correction behind it in one message ("oops 30 fry" behind "stripped 6, 20 fry"); None where it corrects nothing.

    `words` must be nothing but the correction, and every value in it must have its place in what was said. Where the words are a `whole`
    report by themselves ("actually 2 dead in A"), they correct only numbers and days of the same fish, batch or place.
    """
    tokens = [token for token in tagged(words, names) if token.kind != "newline"]
    ends = _mark_ends(tokens, 0) if tokens else 0
    tail = _tail(tokens, ends) if ends else []
    rest = [token for token in tokens[_behind(tokens, ends + len(tail)) :] if token.kind != "punct"]
    if not tail or rest:
        return None
    before = tagged(said, names)
    if whole and not {token.value for token in tail if token.kind in ENTITIES} <= {token.value for token in before}:
        return None
    fitted = _put_right(before, tail)
    if fitted is None or [token.value for token in fitted] == [token.value for token in before]:
        return None
    return f"{said.rstrip(' .!')}. {words}"


def _behind(tokens: Sequence[Token], end: int) -> int:
    """The position behind the tail and behind ", not 4", which only says what it is not."""
    at = end + (end < len(tokens) and tokens[end].text == ",")
    if at >= len(tokens) or tokens[at].text != "not":
        return end
    at += 1
    while at < len(tokens) and (tokens[at].kind in _CLASSES or tokens[at].text in _LINKS):
        at += 1
    return at


def _reports(token: Token) -> bool:
    return any(meaning.startswith("verb:") for meaning in token.means) or token.kind in ("fish", "batch", "place")


def _mark_ends(tokens: Sequence[Token], at: int) -> int:
    """The position behind the mark that begins here; `at` where none does."""
    if tokens[at].text.partition(" ")[0] not in _FIRST_WORDS or (at and not _loose(tokens, at)):
        return at
    words = [token.text for token in tokens[at : at + 8]]
    found = _MARKED.match(" ".join(words))
    if found is None:
        return at
    length, ends = len(found.group().rstrip()), at
    while ends < len(tokens) and length > 0:
        length -= len(tokens[ends].text) + 1
        ends += 1
    said = " ".join(token.text for token in tokens[at:ends])
    lone = said in ("no", "wrong", "that is", "it is", "its", "thats", "it was", "that was", "wait", "hold on", "hang on")
    return at if lone else ends


def _loose(tokens: Sequence[Token], at: int) -> bool:
    """Whether a mark may begin here: behind a stop or a dash, or where the mark is sure by itself."""
    before = tokens[at - 1]
    if before.kind in ("punct", "newline"):
        return True
    return bool(re.match(r"(?:no wait|wait no|no sorry|i mean|i meant|make that|scratch that|or rather|correction)\b", " ".join(token.text for token in tokens[at : at + 2])))


def _tail(tokens: Sequence[Token], start: int, again: Collection[str] = ()) -> list[Token]:
    """The few words behind the mark that say what it should be (a verb `again` too); none where they say more than that."""
    out: list[Token] = []
    for token in tokens[start:]:
        if (token.text in _ENDS and token.kind != "number") or token.kind == "newline":
            break
        known = token.kind in _CLASSES or token.text in _LINKS or token.has("fry", "egg", "live") or token.text in ("dead", "left", "not")
        known = known or any(meaning in again for meaning in token.means)
        if not known:
            return []
        out.append(token)
    out = out[: next((n for n, token in enumerate(out) if token.text == "not"), len(out))] if any(t.text == "not" for t in out[1:]) else out
    return out if 0 < len(out) <= _LONGEST and any(token.kind in _CLASSES for token in out) else []


def _put_right(head: Sequence[Token], tail: Sequence[Token]) -> list[Token] | None:
    """What was said before with every value of the tail in the place of the one it corrects; None where one has no place."""
    out = list(head)
    while out and out[-1].text in (",", "-", "–", "(", ".", "…", ";"):
        out.pop()
    for n, token in enumerate(tail):
        if token.kind not in _CLASSES:
            continue
        noun = _noun(tail, n)
        place = _counterpart(out, token, noun)
        if place is None:
            return None
        out[place] = _in_place(out[place], token)
    return out


def _noun(tokens: Sequence[Token], n: int) -> str:
    following = tokens[n + 1] if n + 1 < len(tokens) else None
    if following is None or tokens[n].kind != "number":
        return ""
    return "dead" if following.has("verb:die") else "egg" if following.has("egg") else "fry" if following.has("fry", "live") else ""


def _counterpart(head: Sequence[Token], token: Token, noun: str) -> int | None:
    """The position of what a value corrects."""
    class_ = _CLASSES[token.kind]
    piece = next((n + 1 for n in range(len(head) - 1, -1, -1) if head[n].text in _ENDS or head[n].kind == "newline"), 0)
    for start in (piece, 0):
        alike = [n for n in range(start, len(head)) if _CLASSES.get(head[n].kind) == class_]
        if class_ == "number":
            chosen = _number_for(head, alike, noun, token, start)
            if chosen is not None or alike:
                return chosen
        elif alike:
            return (_same_sex(head, alike, token) or alike)[-1]
    return None


def _same_sex(head: Sequence[Token], alike: Sequence[int], token: Token) -> list[int]:
    """Of several fish those of the same sex."""
    return [n for n in alike if isinstance(fish := head[n].value, Fish) and isinstance(token.value, Fish) and fish.sex == token.value.sex]


def _number_for(head: Sequence[Token], alike: Sequence[int], noun: str, token: Token, start: int) -> int | None:
    nouned = {n: _noun(head, n) for n in alike}
    if noun:
        same = [n for n in alike if nouned[n] == noun] or ([n for n in alike if not nouned[n]] if noun == "fry" and len(alike) == 1 else [])
        return same[-1] if len(same) == 1 else None
    if len(alike) > 1:
        counted = [n for n in alike if nouned[n] == "fry"]
        return counted[0] if len(counted) == 1 and len(alike) - 1 == sum(not nouned[n] for n in alike) else None
    if alike:
        return alike[0]
    measured = [n for n in range(start, len(head)) if head[n].kind in _MEASURES]
    fish = [n for n in range(start, len(head)) if head[n].kind == "fish"]
    return measured[0] if len(measured) == 1 and not fish else fish[0] if len(fish) == 1 and not measured else None


def _in_place(old: Token, new: Token) -> Token:
    """The new value where the old one stood; a bare number keeps the old one's unit or sex."""
    if new.kind == "number" and isinstance(old.value, Fish):
        return replace(old, text=f"{old.value.sex} {new.value}", value=Fish(old.value.sex, str(new.value)))
    if new.kind == "number" and old.kind == "money":
        return replace(old, value=f"{new.number:.2f}")
    if new.kind == "number" and old.kind == "percent":
        return replace(old, value=new.number)
    if new.kind == "number" and isinstance(old.value, tuple):
        return replace(old, value=(new.number, old.value[1]))
    return replace(new, start=old.start, end=old.end)
