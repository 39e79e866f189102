"""Blanks that a thumb left out or put in: "f3 toqt", "holding sincetues", "fr om", "de ad in tank 2".

Only a word that is none is cut or joined, and only into words of the trade, of the club or of a date; what else it could be is left.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from bot.reading.days import DATE_WORDS
from bot.reading.mending import SWAPPED_SMALL
from bot.reading.names import Names
from bot.reading.tokens import Token
from bot.reading.vocabulary import NUMBER_WORDS, ordinary_words, vocabulary

_SMALL = frozenset(["to", "into", "in", "from", "of", "since", "and", "on", "for", "at", "with", "no", "is", "the", "has", "both", "it"])
_BESIDE_SMALL = frozenset(["like", "want", "need", "going", "have", "longer", "away", "out", "fry", "dead", "eggs", "still", "ten", "sorry", "wait"])
_BEHIND_LETTER = frozenset(["to", "into", "from", "moved", "counted", "sexed", "is", "as"])
_SHORTEST = 4
"""Letters of a word that is put together again from two pieces, or cut in two."""


def spaced(tokens: Sequence[Token], message: str, names: Names) -> list[Token]:
    """The tokens with words put together that a blank had parted, and words parted that had no blank between them."""
    if not any(_strange(token, names) for token in tokens):
        return list(tokens)
    out: list[Token] = []
    n = 0
    while n < len(tokens):
        following = tokens[n + 1] if n + 1 < len(tokens) else None
        if following is not None and (whole := _joined(tokens[n], following, message, names)):
            out.append(whole)
            n += 2
            continue
        out.extend(_parted(tokens[n], message, names))
        n += 1
    return out


def _strange(token: Token, names: Names) -> bool:
    return token.kind == "word" and len(token.text) > 1 and not _known(token.text, names)


def _known(word: str, names: Names) -> bool:
    word = word[:-1] if word.endswith("s") and word[:-1] in DATE_WORDS else word
    return (
        word in vocabulary().words or word in names.words or word in DATE_WORDS or word in NUMBER_WORDS or word in ordinary_words()
    )


def _telling(word: str, names: Names) -> bool:
    return word in vocabulary().telling or word in names.words or word in DATE_WORDS


def _joined(first: Token, second: Token, message: str, names: Names) -> Token | None:
    """ "fr om", "sund ay": two pieces, one of them no word, with one blank between them, that are a word together."""
    if first.kind != "word" or second.kind != "word" or message[first.end : second.start] != " ":
        return None
    letter = any(len(each.text) == 1 and message[each.start].isupper() and message[each.start] in names.batches for each in (first, second))
    if letter or not (_strange(first, names) or _strange(second, names)):
        return None
    word = first.text + second.text
    if word in NUMBER_WORDS and len(word) >= _SHORTEST:
        value = NUMBER_WORDS[word]
        return replace(first, kind="number", text=str(value) if value > 10 else word, end=second.end, value=value, note="spelt")
    whole = len(word) >= _SHORTEST and (_telling(word, names) or word in vocabulary().words)
    return replace(first, text=word, end=second.end) if whole else None


def _parted(token: Token, message: str, names: Names) -> list[Token]:
    """ "toqt", "Dinto": one word that is none, where a single cut makes two."""
    if not _strange(token, names) or token.text in SWAPPED_SMALL or token.end - token.start != len(token.text):
        return [token]
    written, word = message[token.start : token.end], token.text
    if written[0].isupper() and written[0] in names.batches and word[1:] in _BEHIND_LETTER:
        return _cut(token, 1)
    camel = re.fullmatch(r"([a-z]{2,})([A-Z][a-z]+)", written)
    if camel and (camel.group(1) in _SMALL or camel.group(1) in vocabulary().telling):
        return _cut(token, len(camel.group(1)))  # "fromHank"
    if written[-1].isupper() and written[:-1].islower() and written[-1] in names.batches and _telling(word[:-1], names):
        return _cut(token, len(word) - 1)
    cuts = [n for n in range(2, len(word) - 1) if _two_words(word[:n], word[n:], names)] if len(word) >= _SHORTEST else []
    return _cut(token, cuts[0]) if len(cuts) == 1 else [token]


def _two_words(first: str, second: str, names: Names) -> bool:
    if first in _SMALL or second in _SMALL:
        other = second if first in _SMALL else first
        return (_telling(other, names) and len(other) > 1) or other in _BESIDE_SMALL
    return min(len(first), len(second)) > 2 and _telling(first, names) and _telling(second, names)


def _cut(token: Token, n: int) -> list[Token]:
    middle = token.start + n
    return [replace(token, text=token.text[:n], end=middle), replace(token, text=token.text[n:], start=middle)]
