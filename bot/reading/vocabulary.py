"""What a word means: the vocabulary file, loaded once, as phrases with their meanings."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from importlib.resources import files

import yaml

Meanings = frozenset[str]

NUMBER_WORDS = {
    word: number
    for number, word in enumerate(
        [
            "one",
            "two",
            "three",
            "four",
            "five",
            "six",
            "seven",
            "eight",
            "nine",
            "ten",
            "eleven",
            "twelve",
            "thirteen",
            "fourteen",
            "fifteen",
            "sixteen",
            "seventeen",
            "eighteen",
            "nineteen",
            "twenty",
        ],
        start=1,
    )
} | {
    "zero": 0,
    "nil": 0,
    "single": 1,
    "couple": 2,
    "dozen": 12,
    "thirty": 30,
    "forty": 40,
    "fourty": 40,
    "fifty": 50,
    "sixty": 60,
    "seventy": 70,
    "eighty": 80,
    "ninety": 90,
    "hundred": 100,
}


@dataclass(frozen=True)
class Vocabulary:
    """Phrases and their meanings: verbs as "hold" (with "done" or "base"), marks and slots as their names."""

    phrases: dict[str, Meanings]
    verbs: frozenset[str]
    longest: int
    words: frozenset[str]
    telling: frozenset[str]
    """The words that carry a meaning: what a misspelt word may be mended to."""

    def meanings(self, phrase: str) -> Meanings:
        """What the phrase can mean; empty where it is unknown."""
        return self.phrases.get(phrase, frozenset())


_UNTELLING = frozenset({"filler", "thing", "foreign", "deformed", "vague", "food"})


def _listed(text: str) -> list[str]:
    return [" ".join(phrase.split()) for phrase in str(text).split(",") if phrase.strip()]


@cache
def vocabulary() -> Vocabulary:
    """The vocabulary of the trade, from the data file beside this module."""
    loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
    data = yaml.load((files(__package__) / "vocabulary.yaml").read_text("utf-8"), loader)  # noqa: S506 a safe loader
    found: dict[str, set[str]] = {}
    for verb, forms in data["verbs"].items():
        for form, text in forms.items():
            for phrase in _listed(text):
                found.setdefault(phrase, set()).update((f"verb:{verb}", f"form:{form}"))
    for section in ("marks", "slots", "talk"):
        for name, text in data[section].items():
            for phrase in _listed(text):
                found.setdefault(phrase, set()).add(name)
    phrases = {phrase: frozenset(meanings) for phrase, meanings in found.items()}
    return Vocabulary(
        phrases=phrases,
        verbs=frozenset(data["verbs"]),
        longest=max(len(phrase.split()) for phrase in phrases),
        words=frozenset(word for phrase in phrases for word in phrase.split()),
        telling=frozenset(
            word
            for phrase, means in phrases.items()
            if means - _UNTELLING
            for word in phrase.split()
            if phrases.get(word, {""}) - _UNTELLING
        ),
    )


@cache
def ordinary_words() -> frozenset[str]:
    """Everyday words that look like a misspelt word of the trade, and are never mended to one."""
    lines = (files(__package__) / "ordinary_words.txt").read_text("utf-8").splitlines()
    return frozenset(word for line in lines if not line.startswith("#") for word in line.split())
