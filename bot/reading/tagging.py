"""Tokens told what they are in this club: fish, batches, places, people, strains, days, and the words of the trade.

Left to right, the longest known phrase wins: days first, then labels ("f4", "tank 2", "#12"), names of the club, words of the trade.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, replace

from bot.reading import days
from bot.reading.mending import mended
from bot.reading.names import PLACE_TYPES, Names
from bot.reading.tokens import Token, cut
from bot.reading.vocabulary import Meanings, vocabulary

SEX_WORDS = {"female", "male", "unsexed"}
_LABEL_AFTER = {"female", "male"}
_PRONOUN_LETTERS = frozenset("ainurwxkystmflgpvhoj")
"""Letters that are words or units when small; such a batch needs its capital or a word like "of" before it."""
_BEFORE_BATCH = frozenset(
    "of from off in into batch out and to with w for under brood lot counted fed measured sexed moved offer sell culled split merged mvd vented".split()
)
_AFTER_ARTICLE_LETTER = frozenset(
    "is was has now to into in at on today yesterday for from and are have moved down still back with off under w ready again went goes holds".split()
)
_DAY_UNITS = frozenset("day days week weeks wk wks night nights hour hours hrs".split())


@dataclass(frozen=True)
class Fish:
    """A fish as it was named: its sex and label; `plural` where the word was ("females 15"), which may also be a count."""

    sex: str
    label: str
    plural: bool = False
    named: bool = False


@dataclass(frozen=True)
class Spot:
    """A place as it was named: its own name, or only its type ("the box"), or words for a place that does not exist here."""

    name: str | None
    type: str | None = None
    said: str = ""


@dataclass
class _Run:
    """The walk over the tokens of one message."""

    message: str
    names: Names
    tokens: list[Token]
    out: list[Token]

    def __post_init__(self) -> None:
        self.offsets: list[int] = []
        at = 0
        parts = []
        for token in self.tokens:
            self.offsets.append(at)
            parts.append(token.text)
            at += len(token.text) + 1
        self.flat = " ".join(parts)
        self.index = {offset: n for n, offset in enumerate(self.offsets)}

    def at(self, n: int) -> Token | None:
        return self.tokens[n] if 0 <= n < len(self.tokens) else None

    def text(self, n: int) -> str:
        token = self.at(n)
        return token.text if token else ""

    def raw(self, n: int) -> str:
        token = self.at(n)
        return self.message[token.start : token.end] if token else ""

    def span(self, n: int, length: int, kind: str, value: object, means: Meanings = frozenset()) -> Token:
        first, last = self.tokens[n], self.tokens[n + length - 1]
        text = " ".join(token.text for token in self.tokens[n : n + length])
        return Token(kind, text, first.start, last.end, value, means)

    def means(self, n: int) -> Meanings:
        token = self.at(n)
        return vocabulary().meanings(token.text) if token and token.kind == "word" else frozenset()


_Step = Callable[[_Run, int], int]


def tagged(message: str, names: Names) -> list[Token]:
    """The message's tokens with their meanings in this club."""
    tokens = [_mended(token, names) for token in cut(message) if not _joining_hyphen(token, message)]
    run = _Run(message, names, tokens, [])
    n = 0
    while n < len(tokens):
        n += next(taken for step in _STEPS if (taken := step(run, n)))
    return _put_down_for(run.out)


def _put_down_for(tokens: list[Token]) -> list[Token]:
    """ "put Priya down for 6": reserving, with the member in the middle of the verb."""
    for n in range(len(tokens) - 3):
        if tokens[n].text in ("put", "mark", "sign") and tokens[n + 1].kind == "member" and tokens[n + 2].text in ("down", "up", "in") and tokens[n + 3].text == "for":
            tokens[n] = replace(tokens[n], means=frozenset({"verb:reserve", "form:done"}))
            tokens[n + 1], tokens[n + 3] = replace(tokens[n + 3], text="for"), tokens[n + 1]
            return [*tokens[: n + 1], tokens[n + 1], tokens[n + 3], *tokens[n + 4 :]]
    return tokens


def _joining_hyphen(token: Token, message: str) -> bool:
    return (
        token.text in "-–"
        and token.kind == "punct"
        and message[token.start - 1 : token.start].isalnum()
        and message[token.end : token.end + 1].isalnum()
    )


def _mended(token: Token, names: Names) -> Token:
    return replace(token, text=mended(token.text, names)) if token.kind == "word" else token


def _day(run: _Run, n: int) -> int:
    if run.tokens[n].kind in ("punct", "newline", "arrow", "money", "percent"):
        return 0
    found = days.find(run.flat, run.offsets[n])
    if found is None:
        return 0
    end, span = found
    last = run.index.get(end + 1, len(run.tokens)) if end < len(run.flat) else len(run.tokens)
    length = last - n
    if length <= 0 or _not_a_day(run, n, last, span):
        return 0
    run.out.append(run.span(n, length, "day", span))
    return length


def _not_a_day(run: _Run, n: int, last: int, span: days.DaySpan) -> bool:
    """ "sat on eggs", "sun tank", "1/2 of": words that only look like a day."""
    after = run.text(last)
    if span.form == "ago:held":
        return not (run.out and run.out[-1].has("verb:hold"))
    if span.form == "weekday" and span.words in ("sat", "sun", "mon", "wed"):
        name_follows = after in ("on", "tank", "and", "lamp", "light") and run.text(last + 1) in (
            "eggs",
            "her",
            "the",
            "dad",
            "leaking",
            "is",
        )
        return name_follows and after != "and" or (after == "and" and run.text(last + 1) == "dad")
    return span.form == "digits" and after in ("of", "full", "the")


def _fish_label(run: _Run, n: int) -> int:
    """ "female 4", "f4", "fem #4", "female no 4", "females 1, 2 and 3"."""
    sexes = run.means(n) & _LABEL_AFTER
    if not sexes or run.tokens[n].kind != "word":
        return 0
    step = n + 1
    if run.text(step) in ("#", "number", "no", "num", "nr"):
        step += 1 + (run.text(step + 1) == "." and run.text(step) != "#")
    token = run.at(step)
    spelt = step > n + 1
    if token is None or token.kind != "number" or not isinstance(token.value, int) or token.note == "approx":
        return 0
    if _counts_fish(run, n, step) and not spelt:
        return 0
    sex = next(iter(sexes))
    letter = run.raw(n)
    if days.find(run.flat, run.offsets[step]) and step == n + 1 and token.start > run.tokens[n].end and letter.upper() in ("M", "F") and run.text(step + 1) in _DAY_UNITS:
        return 0
    if letter in ("M", "F") and letter in run.names.batches and token.start > run.tokens[n].end:
        if str(token.value) not in run.names.fish(sex) or run.text(n - 1) in _BEFORE_BATCH:
            return 0
    plural = run.text(n).endswith("s") and len(run.text(n)) > 2
    run.out.append(run.span(n, step + 1 - n, "fish", Fish(sex, str(token.value), plural)))
    return step + 1 - n + _more_labels(run, step + 1, sex, plural)


def _counts_fish(run: _Run, n: int, step: int) -> bool:
    """ "15 m 20 f": the sex belongs to the number before it, unless that one is spoken for."""
    before = run.out[-1] if run.out else None
    adjacent = run.tokens[step].start == run.tokens[n].end
    return bool(before and before.kind == "number" and before.end >= run.tokens[n].start - 1 and not adjacent)


def _more_labels(run: _Run, n: int, sex: str, plural: bool) -> int:
    """Further labels of a list: "females 1, 2 and 3", "f5 + 7 holding"; a number with a noun behind it is a count."""
    taken = 0
    while True:
        step = n + taken
        comma = run.text(step) == ","
        joined = run.text(step) in ("and", "&", "+")
        if comma and run.text(step + 1) in ("and", "&"):
            step, joined = step + 1, True
        token = run.at(step + 1)
        if not (joined or (comma and plural)) or token is None or token.kind != "number" or not isinstance(token.value, int):
            return taken
        follows = run.means(step + 2)
        label = str(token.value)
        is_verb = any(meaning.startswith("verb:") for meaning in follows)
        if label not in run.names.fish(sex) or (
            not is_verb
            and run.text(step + 2) not in ("", ",", "and", "&", "+", "both", "are", ".", ";", "have", "still", "all", "to")
        ):
            return taken
        run.out.append(replace(run.tokens[step], text="and", means=frozenset({"with", "filler"})))
        run.out.append(run.span(step + 1, 1, "fish", Fish(sex, label, plural)))
        taken = step + 2 - n


def _place_label(run: _Run, n: int) -> int:
    """ "tank 2", "tank2", "t2", "box #1", "tanks 1 2 3"; a number that no place has stays an unknown place."""
    types = run.means(n) & set(PLACE_TYPES)
    short = {"t": "tank", "b": "box"}.get(run.text(n), "")
    type_ = next(iter(types), short)
    step = n + 1 + (run.text(n + 1) in ("#", "no", "number", "nr"))
    token = run.at(step)
    if not type_ or token is None or token.kind != "number" or not isinstance(token.value, int):
        return 0
    name = f"{type_} {token.value}"
    if short and not types and (token.start != run.tokens[n].end or name not in run.names.places):
        return 0
    numbered = any(place.startswith(f"{type_} ") and place.split()[-1].isdigit() for place in run.names.places)
    if name not in run.names.phrases and not numbered and type_ in run.names.phrases and run.text(n - 1) not in ("new", "add", "added", "another"):
        return 0
    run.out.append(run.span(n, step + 1 - n, "place", _spot(run.names, name, type_)))
    plural = run.text(n) in ("tanks", "boxes", "tubs", "ponds")
    return step + 1 - n + _more_places(run, step + 1, type_, plural)


def _spot(names: Names, name: str, type_: str) -> Spot:
    known = names.phrases.get(name)
    return Spot(known[1], said=name) if known and known[0] == "place" else Spot(None, None, name)


def _more_places(run: _Run, n: int, type_: str, plural: bool) -> int:
    taken = 0
    while True:
        step = n + taken
        joiner = run.text(step) in ("and", "&", "+", ",", "/")
        number = run.at(step + 1) if joiner else run.at(step)
        here = step + 1 if joiner else step
        if joiner and run.text(step) == "," and run.text(step + 1) in ("and", "&"):
            here, number = step + 2, run.at(step + 2)
        fits = number is not None and number.kind == "number" and f"{type_} {number.value}" in run.names.places
        noun = run.means(here + 1) & {"fry", "female", "male", "unsexed", "egg", "food", "verb:die"}
        if not fits or noun or not (plural or run.text(step) in ("and", "&", "+")) or run.text(here + 1) in ("of", "from"):
            return taken
        run.out.append(run.span(here, 1, "place", _spot(run.names, f"{type_} {run.tokens[here].value}", type_)))
        taken = here + 1 - n


def _reservation(run: _Run, n: int) -> int:
    """ "#12", "res 12", "reservation #12", "order no 12"."""
    step = n
    worded = "reservation" in run.means(n)
    if worded:
        step += 1
        if run.text(step) in ("no", "number", "num", "nr"):
            step += 1 + (run.text(step + 1) == ".")
    hashed = run.text(step) == "#"
    step += hashed
    token = run.at(step)
    if not (worded or hashed) or token is None or token.kind != "number" or not isinstance(token.value, int) or token.note:
        return 0
    run.out.append(run.span(n, step + 1 - n, "reservation" if worded else "hash", str(token.value)))
    return step + 1 - n


def _batch_label(run: _Run, n: int) -> int:
    """ "batch B", "batches C and E": after the word, any letters are a batch; a number is one that does not exist."""
    if run.text(n) not in ("batch", "batches", "btch", "bach", "brood"):
        return 0
    token = run.at(n + 1)
    letters = run.raw(n + 1)
    if token is None or not _could_be_letters(run, n + 1):
        return 0
    run.out.append(run.span(n, 2, "batch", letters.upper()))
    taken = 2
    while run.text(n) == "batches":
        step = n + taken + (run.text(n + taken) in ("and", "&", "+", ","))
        if step == n + taken or not _could_be_letters(run, step):
            break
        run.out.append(replace(run.tokens[step - 1], text="and", means=frozenset({"with", "filler"})))
        run.out.append(run.span(step, 1, "batch", run.raw(step).upper()))
        taken = step + 1 - n
    return taken


def _could_be_letters(run: _Run, n: int) -> bool:
    token = run.at(n)
    if token is None:
        return False
    if token.kind == "number" and run.text(n - 1) in ("batch", "batches") and isinstance(token.value, int):
        return not vocabulary().meanings(run.text(n + 1)) & {"fry", "female", "male", "verb:die"}
    raw = run.raw(n)
    if token.kind != "word" or not raw.isascii() or not raw.isalpha():
        return False
    return len(raw) == 1 or (len(raw) == 2 and (raw.isupper() or raw.upper() in run.names.batches))


def _batch_letter(run: _Run, n: int) -> int:
    """A letter by itself: the batch of that letter, unless it is a word or a unit here."""
    raw = run.raw(n)
    if run.tokens[n].kind != "word" or not raw.isascii() or not raw.isalpha() or len(raw) > 2:
        return 0
    letters = raw.upper()
    known = letters in run.names.batches
    if len(raw) == 2 and not (known and raw.isupper()):
        return 0
    if not _letter_is_batch(run, n, raw, known):
        return 0
    run.out.append(run.span(n, 1, "batch", letters))
    return 1


def _letter_is_batch(run: _Run, n: int, raw: str, known: bool) -> bool:
    before, after = run.text(n - 1), run.text(n + 1)
    if run.raw(n - 1) in ("'", "°") or after == "'":
        return False
    if run.out and run.out[-1].has("call_it") and run.out[-1].text not in ("to", "as", "to be", "label") and len(raw) == 1:
        return True
    if raw in ("a", "A"):
        return known and _is_batch_a(run, n, raw)
    if raw in ("i", "I"):
        return before in ("batch", "of", "from", "into", "off")
    if known and (raw.isupper() or raw not in _PRONOUN_LETTERS):
        return not (raw == "c" and _is_degrees(run, n))
    if raw.isupper() and raw not in "XUWRNKYFMCTP":
        return before in _BEFORE_BATCH or bool(run.means(n - 1)) or n == 0
    if raw in _PRONOUN_LETTERS:
        return known and before in _BEFORE_BATCH
    return before in ("of", "from", "off", "into", "counted", "moved", "fed", "in") or (n == 0 and not known and raw in "bdez")


def _is_degrees(run: _Run, n: int) -> bool:
    """ "25 c": a temperature where a word for it, or a place, stands before the number."""
    number, before = run.at(n - 1), run.out[-2] if len(run.out) > 1 else None
    return bool(number and number.kind == "number" and before and (before.kind == "place" or before.has("temp_c")))


def _is_batch_a(run: _Run, n: int, raw: str) -> bool:
    """ "a" is an article before a noun; it is the batch before a number, a verb, a preposition or at the end."""
    before, after = run.text(n - 1), run.text(n + 1)
    following = run.at(n + 1)
    if before in ("of", "from", "off", "into", "batch", "out") and not (
        run.means(n + 1) & {"tank", "box", "tub", "pond", "vague"}
        or after in ("new", "spare", "few", "couple", "friend", "mate", "shop")
    ):
        return True
    if following is None or following.kind in ("punct", "newline", "arrow", "length", "suffixed", "range", "fraclen"):
        return bool(following is None or following.text not in ("'", "♀", "♂"))
    if raw == "A" and n > 0 and run.out and run.out[-1].kind != "newline" and run.text(n - 1) not in (".", "!", "?"):
        return True
    if following.kind == "number":
        return following.note != "spelt"
    length = _trade_phrase(run, n + 1)
    means = vocabulary().meanings(" ".join(token.text for token in run.tokens[n + 1 : n + 1 + length]))
    if after in _AFTER_ARTICLE_LETTER or means & {"sample", "mean"} or run.means(n + 1) & {"sample", "mean"}:
        return True
    return "form:done" in means and bool(means & _BATCH_A_VERBS) and not means & {"filler", "verb:die"}


_BATCH_A_VERBS = frozenset(f"verb:{verb}" for verb in "move sex merge offer withdraw measure feed split cull left_over".split())


def _name(run: _Run, n: int) -> int:
    """A name of this club, the longest that fits."""
    longest = min(run.names.longest, len(run.tokens) - n)
    for length in range(longest, 0, -1):
        phrase = " ".join(token.text for token in run.tokens[n : n + length])
        for text in (phrase, phrase[:-1] if phrase.endswith("s") else ""):
            known = run.names.phrases.get(text)
            if known and (text == phrase or known[0] in ("member", "female", "male")):
                return _append_name(run, n, length, known, possessive=text != phrase)
    return 0


def _append_name(run: _Run, n: int, length: int, known: tuple[str, str], possessive: bool) -> int:
    kind, key = known
    if length == 1 and run.tokens[n].kind not in ("word",):
        return 0
    if kind in ("female", "male"):
        if _trade_phrase(run, n) > length:
            return 0
        run.out.append(run.span(n, length, "fish", Fish(kind, key, named=True)))
        return length
    value: object = Spot(key, said=key) if kind == "place" else key
    token = run.span(n, length, kind, value)
    run.out.append(replace(token, note="possessive") if possessive or re.search(r"['’]s$", run.raw(n)) else token)
    return length


def _trade_phrase(run: _Run, n: int) -> int:
    known = vocabulary()
    for length in range(min(known.longest, len(run.tokens) - n), 0, -1):
        if " ".join(token.text for token in run.tokens[n : n + length]) in known.phrases:
            return length
    return 0


def _trade(run: _Run, n: int) -> int:
    """A word or phrase of the trade, the longest that fits."""
    if run.tokens[n].kind != "word":
        return 0
    length = _trade_phrase(run, n)
    if not length:
        return 0
    phrase = " ".join(token.text for token in run.tokens[n : n + length])
    means = vocabulary().meanings(phrase)
    sexes, types = means & SEX_WORDS, means & set(PLACE_TYPES)
    if sexes:
        run.out.append(run.span(n, length, "sex", next(iter(sexes)), means))
    elif types:
        type_ = next(iter(types))
        run.out.append(run.span(n, length, "place", Spot(None, type_, phrase), means))
    else:
        run.out.append(run.span(n, length, "word", phrase, means))
    return length


def _clock_word(run: _Run, n: int) -> int:
    dotted = re.fullmatch(r"([01]?\d|2[0-3])\.([0-5]\d)", run.text(n))
    if dotted and run.text(n - 1) in ("at", "@"):
        run.out.append(run.span(n, 1, "clock", f"{int(dotted.group(1)):02}:{dotted.group(2)}"))
        return 1
    if run.text(n) not in ("noon", "midday"):
        return 0
    run.out.append(run.span(n, 1, "clock", "12:00"))
    return 1


def _money_words(run: _Run, n: int) -> int:
    """ "ten bucks"."""
    if run.tokens[n].kind != "number" or run.text(n + 1) not in ("bucks", "dollars", "euro", "euros", "quid"):
        return 0
    run.out.append(run.span(n, 2, "money", f"{run.tokens[n].number:.2f}"))
    return 2


def _degrees(run: _Run, n: int) -> int:
    """ "41 c": degrees behind a place or a word for temperature."""
    number, letter, before = run.tokens[n], run.text(n + 1), run.out[-1] if run.out else None
    if number.kind != "number" or letter not in ("c", "f") or before is None or run.at(n + 2) is not None and run.text(n + 2).isalnum() and letter == "f":
        return 0
    if before.text == ":" and len(run.out) > 1:
        before = run.out[-2]
    if not (before.kind == "place" or before.has("temp_c")):
        return 0
    run.out.append(run.span(n, 2, "suffixed", (number.number, letter)))
    return 2


def _anything(run: _Run, n: int) -> int:
    token = run.tokens[n]
    if token.kind == "slash":
        token = replace(token, kind="fraction")
    run.out.append(token)
    return 1


_STEPS: tuple[_Step, ...] = (
    _day, _clock_word, _money_words, _degrees, _fish_label, _place_label, _reservation, _batch_label, _batch_letter, _name, _trade, _anything,
)
