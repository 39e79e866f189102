"""Misspelt words put right: one slip in a short word, two in a long one, and only where a single word of the trade is meant.

Numbers, labels, letters, words of dates and everyday words are never touched.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import lru_cache

from rapidfuzz.distance import DamerauLevenshtein
from rapidfuzz.process import extract

from bot.reading.days import DATE_WORDS, FULL_NAMES
from bot.reading.names import MENDABLE, Names
from bot.reading.vocabulary import NUMBER_WORDS, ordinary_words, vocabulary

SHORTEST = MENDABLE
LONGEST = 24
LONG = 6
"""Letters from which a word that says nothing ("noticed") is known for itself, so that it is not mended to one that does ("noted")."""


@lru_cache(maxsize=1)
def _trade_words() -> tuple[str, ...]:
    fillers = {
        phrase for phrase, means in vocabulary().phrases.items() if "filler" in means and len(phrase) >= LONG and phrase.isalpha()
    }
    return tuple(sorted(word for word in vocabulary().telling | FULL_NAMES | fillers if len(word) >= SHORTEST))


@lru_cache(maxsize=1)
def _other_words() -> tuple[str, ...]:
    """Words of dates, numbers and doubt: nothing is mended to them, but what looks like one is not passed over."""
    vague = {word for phrase, means in vocabulary().phrases.items() if "vague" in means for word in phrase.split()}
    dates = {word for word in DATE_WORDS - FULL_NAMES if word.isalpha()}
    return tuple(sorted(word for word in dates | vague | set(NUMBER_WORDS) if len(word) > SHORTEST or word in _SHORT_DAYS))


_SHORT_DAYS = frozenset(["yday", "yest", "tmrw", "half"])


@lru_cache(maxsize=1)
def _everyday() -> tuple[str, ...]:
    return tuple(sorted(ordinary_words()))


def _near(word: str, words: tuple[str, ...]) -> tuple[tuple[str, int], ...]:
    reach = 2 if len(word) >= 6 else 1
    found = extract(word, words, scorer=DamerauLevenshtein.distance, score_cutoff=reach, limit=4)
    return tuple((hit, int(distance)) for hit, distance, _ in found if hit[0] == word[0] or distance == 1)


def mended(word: str, names: Names, a_name: bool = False) -> str:
    """The word of the trade or the name that a misspelt word was meant to be; the word itself where that is unsure.

    Where the word stands as `a_name` ("from Rolf"), only the club's own names are looked at.
    """
    if word in vocabulary().words or word in names.words or word in DATE_WORDS or word in ordinary_words() or len(word) > LONGEST:
        return word
    if word in SWAPPED_SMALL:
        return SWAPPED_SMALL[word]
    if len(word) < SHORTEST:
        return _swapped(word, [name for name in names.words if len(name) == len(word)])
    hits = [*_near(word, names.mendable), *(() if a_name else _near_in(word, "trade"))]
    least = min((distance for _, distance in hits), default=LONGEST)
    return word if least > _nearest_other(word, least) else _best(word, hits) or word


SWAPPED_SMALL = {
    small[:n] + small[n + 1] + small[n] + small[n + 2 :]: small
    for small in ("into", "with", "since", "about", "their", "there", "this", "help")
    for n in range(1, len(small) - 1)
}
"""Small words with two letters swapped ("itno", "wiht")."""


def _nearest_other(word: str, least: int) -> int:
    """How near the word is to one of a date, a number or, where two slips would be needed, to an everyday word."""
    others = [*_near_in(word, "other"), *(_near_in(word, "everyday") if least > 1 else ())]
    return min((distance for _, distance in others), default=LONGEST)


def suspect(word: str, names: Names) -> bool:
    """Whether an unknown word looks like a misspelt word that matters, of the trade, of the club or of a date, without being surely one."""
    if word in vocabulary().words or word in names.words or word in DATE_WORDS or word in ordinary_words():
        return False
    if not SHORTEST <= len(word) <= LONGEST:
        return False
    return bool(_near(word, names.mendable) or _near_in(word, "trade") or _near_in(word, "other"))


def _swapped(word: str, candidates: Iterable[str]) -> str:
    """Three letters with two neighbours swapped ("tbu"): safe enough for the names of places and fish."""
    found = [name for name in candidates if sorted(name) == sorted(word) and DamerauLevenshtein.distance(name, word) == 1]
    return found[0] if len(word) == 3 and len(found) == 1 else word


_LISTS = {"trade": _trade_words, "other": _other_words, "everyday": _everyday}


@lru_cache(maxsize=8192)
def _near_in(word: str, name: str) -> tuple[tuple[str, int], ...]:
    """As `_near`, in one of the lists of the vocabulary: kept by the list's name, for a long tuple is slow to hash."""
    return _near(word, _LISTS[name]())


def _best(word: str, hits: Sequence[tuple[str, int]]) -> str | None:
    """The nearest; the same first letter before others, and a letter dropped, doubled or swapped before one put for another."""
    if len(word) == SHORTEST:  # "hans" is no misspelt "hens": in so short a word one letter put for another says too little
        hits = [hit for hit in hits if len(hit[0]) != len(word) or sorted(hit[0]) == sorted(word) or not _tells_much(hit[0])]
    if not hits:
        return None
    least = min(distance for _, distance in hits)
    nearest = {hit for hit, distance in hits if distance == least}
    alike = {hit for hit in nearest if hit[0] == word[0]} or nearest
    slipped = {hit for hit in alike if len(hit) != len(word) or sorted(hit) == sorted(word)}
    return _same_meaning(slipped or alike)


def _tells_much(word: str) -> bool:
    """Whether a word says what happened, or of which sex a fish is."""
    return any(meaning.startswith("verb:") or meaning in ("female", "male") for meaning in vocabulary().meanings(word))


def _same_meaning(words: set[str]) -> str | None:
    """The one word, or any of several that mean the same."""
    if len(words) == 1:
        return next(iter(words))
    known = vocabulary()
    meanings = {word: known.meanings(word) for word in words}
    if len(set(meanings.values())) == 1 and frozenset() not in meanings.values():
        return min(words)
    verbs = [frozenset(meaning for meaning in each if meaning.startswith("verb:")) for each in meanings.values()]
    told = [word for word, each in meanings.items() if "form:done" in each]
    return max(told) if len(set(verbs)) == 1 and verbs[0] and told else None
