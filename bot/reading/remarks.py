"""What is only remarked of somebody beside a report: "(f6 holding,) f7 looks thin", "tank 2 cloudy", "m2 chasing f5", "all good in C".

A remark has a subject of its own and says of it what nothing records; the verb of its neighbour is not meant of that subject.
"""

from __future__ import annotations

from collections.abc import Sequence

from bot.reading.moods import ahead
from bot.reading.pieces import content
from bot.reading.tokens import Token

_SUBJECTS = ("fish", "batch", "place")
_COUNTED = ("number", "suffixed", "length", "percent", "volume", "weight", "temp", "range", "money", "clock")
_BETWEEN = frozenset(
    [
        *["is", "are", "was", "were", "still", "very", "really", "quite", "all", "so", "a", "an", "the", "bit", "has", "have", "had", "got"],
        *["now", "just", "not", "rather", "too"],
    ]
)
_APPEARS = frozenset(
    ["looks", "look", "looking", "looked", "seems", "seem", "seemed", "stays", "stay", "stayed", "staying", "eats", "acts", "acting"]
)
_STATES = frozenset(
    [
        *["fine", "good", "ok", "okay", "happy", "great", "well", "better", "best", "fat", "thin", "skinny", "big", "bigger", "huge"],
        *["small", "smaller", "tiny", "sick", "weak", "bad", "poor", "poorly", "lively", "healthy", "growing", "beautiful", "lovely"],
        *["gorgeous", "nice", "quiet", "ready", "next", "hungry", "clean", "dirty", "cloudy", "clear", "weird", "strange", "close"],
        *["safe", "busy", "calm", "bored", "shy", "bloated", "ragged", "stunning", "full grown", "doing"],
    ]
)
_ALL = frozenset(["all", "everything", "everyone", "everybody", "rest", "others", "the rest", "nothing"])


def is_remark(piece: Sequence[Token]) -> bool:
    """Whether a piece without a verb of the trade is a remark; one with a number is none."""
    inner = [token for token in content(piece) if token.kind != "punct"]
    if _of_people(inner):
        return True
    if any(token.kind in _COUNTED for token in inner):
        return False
    at = 0
    while at < len(inner) and inner[at].text in ("the", "my", "our", "and", "but", "also", "then", "while", "with"):
        at += 1
    if at >= len(inner):
        return False
    if inner[at].text in _ALL:
        return any(token.text in _STATES for token in inner[at + 1 : at + 3]) and any(token.kind in _SUBJECTS for token in inner)
    end = at
    while end < len(inner) and (inner[end].kind in _SUBJECTS or (end > at and inner[end].text in ("and", "&", "+"))):
        end += 1
    while at < end < len(inner) and inner[end].text in _BETWEEN:
        end += 1
    return at < end < len(inner) and (_says_something(inner[end]) or _is_to_be(inner, end))


def _of_people(inner: Sequence[Token]) -> bool:
    """ "3 of us are driving over sunday"."""
    texts = [token.text for token in inner[:3]]
    return len(inner) > 3 and inner[0].kind == "number" and texts[1] == "of" and texts[2] in ("us", "you", "ours")


def suits_somebody(piece: Sequence[Token]) -> bool:
    """ "7 pm is fine for me": an hour that is no hour of what was done."""
    inner = [token for token in content(piece) if token.kind != "punct"]
    fine = any(token.text in ("fine", "ok", "okay", "good", "great", "works", "suits", "suit", "perfect") for token in inner[1:4])
    return len(inner) > 1 and inner[0].kind in ("clock", "day") and fine


def _is_to_be(inner: Sequence[Token], n: int) -> bool:
    """ "box 3 to be cleaned"."""
    following = inner[n + 1] if n + 1 < len(inner) else None
    to_be = inner[n].text == "to be" or (inner[n].text == "to" and following is not None and following.text == "be")
    return to_be and following is not None and following.kind == "word"


def _says_something(token: Token) -> bool:
    unknown = token.kind == "word" and not token.means and token.note != "suspect"
    return unknown or (token.kind == "day" and ahead(token)) or token.text in _APPEARS or token.text in _STATES


def remarked_of(piece: Sequence[Token], following: Sequence[Token]) -> list[Token]:
    """Whom a remark is about, where what follows has no subject: "Rook and f2 were shaking and then spawned", "f7 looks thin, moved to qt"."""
    if not is_remark(piece):
        return []
    said = [token for token in content(piece) if token.text not in ("the", "my", "our")]
    end = next((n for n, token in enumerate(said) if token.kind not in _SUBJECTS and token.text not in ("and", "&", "+")), len(said))
    kinds = {token.kind for token in said[:end] if token.kind in _SUBJECTS}
    own = {token.kind for token in following} & {"fish", "batch", "reservation", "hash", *(("number",) if "fish" in kinds else ())}
    pointed = any(token.has("bare_pronoun", "he", "they") for token in following)
    others = any(token.kind in _SUBJECTS for token in said[end:])
    own |= kinds & {token.kind for token in following}
    return said[:end] if len(kinds) == 1 and not own and not pointed and not others else []


def without_remark(piece: list[Token]) -> list[list[Token]]:
    """ "f3 holding f5 fighting", "f3 holding with rook chasing f5": the report, and the remark behind it as a piece of its own."""
    if sum(token.kind in _SUBJECTS for token in piece) < 2:
        return [piece]
    for n in range(2, len(piece)):
        earlier = any(token.kind in _SUBJECTS for token in piece[: n - 1]) and any(_tells(token) for token in piece[1:n])
        begins = piece[n].kind in _SUBJECTS and (_tells(piece[n - 1]) or piece[n - 1].text == "with")
        doing = piece[n + 1 : n + 2] and piece[n + 1].text.endswith("ing")
        if earlier and begins and is_remark(piece[n:]) and (doing or piece[n - 1].text != "with"):
            cut = n - (piece[n - 1].text == "with")
            return [piece[:cut], piece[cut:]]
    return [piece]


def _tells(token: Token) -> bool:
    return any(meaning.startswith("verb:") for meaning in token.means)
