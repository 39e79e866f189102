"""Tokens told what they are in this club: fish, batches, places, people, strains, days, and the words of the trade.

Left to right, the longest known phrase wins: days first, then labels ("f4", "tank 2", "#12"), names of the club, words of the trade.
"""

from __future__ import annotations

import re
from dataclasses import replace

from bot.reading import days
from bot.reading.label_lists import label_lists
from bot.reading.labels import batch_label, batch_letter, fish_label, reservation, trade_phrase
from bot.reading.mending import mended, suspect
from bot.reading.names import PLACE_TYPES, Names
from bot.reading.place_labels import lettered_place, misspelt_place, place_label
from bot.reading.spaces import spaced
from bot.reading.spelt_numbers import whole_numbers
from bot.reading.spelt_units import with_units
from bot.reading.tokens import Token, cut
from bot.reading.vocabulary import vocabulary
from bot.reading.walk import Fish, Run, Spot, Step

SEX_WORDS = {"female", "male", "unsexed"}


def tagged(message: str, names: Names) -> list[Token]:
    """The message's tokens with their meanings in this club."""
    cuts = [token for token in cut(message) if not _joining_hyphen(token, message)]
    pieces = with_units(whole_numbers(spaced(cuts, message, names)))
    whole = [token for piece in pieces for token in _letter_apart(piece, message, names)]
    tokens = [
        _mended(token, names, _stands_as_name(whole, n, message), _whom(whole, n)) if token.kind == "word" else token for n, token in enumerate(whole)
    ]
    run = Run(message, names, tokens, [])
    n = 0
    while n < len(tokens):
        n += next(taken for step in _STEPS_OF.get(tokens[n].kind, _STEPS) if (taken := step(run, n)))
    return label_lists(_let_go(_picked_up(_put_down_for(run.out))), message, names)


def _letter_apart(token: Token, message: str, names: Names) -> list[Token]:
    """ "4 G" and "4 L" are so many of a batch of that letter, not grams and litres; "batchB" is two words."""
    written = message[token.start : token.end]
    joined = token.kind == "word" and len(written) == 6 and token.text.startswith("batch") and written[-1].isupper()
    if joined and written[-1] in names.batches:
        return [replace(token, text="batch", end=token.end - 1), Token("word", token.text[-1], token.end - 1, token.end)]
    found = re.fullmatch(r"(\d+) ([A-Z])", written) if token.kind in ("weight", "volume") else None
    if found is None or found.group(2) not in names.batches:
        return [token]
    middle = token.start + len(found.group(1))
    number = Token("number", found.group(1), token.start, middle, int(found.group(1)))
    return [number, Token("word", found.group(2).lower(), middle + 1, token.end)]


def _put_down_for(tokens: list[Token]) -> list[Token]:
    """ "put Priya down for 6": reserving, with the member in the middle of the verb."""
    for n in range(len(tokens) - 3):
        if (
            tokens[n].text in ("put", "mark", "sign", "book", "pencil")
            and tokens[n + 1].kind == "member"
            and tokens[n + 2].text in ("down", "up", "in")
            and tokens[n + 3].text == "for"
        ):
            tokens[n] = replace(tokens[n], means=frozenset({"verb:reserve", "form:done"}))
            tokens[n + 1], tokens[n + 3] = replace(tokens[n + 3], text="for"), tokens[n + 1]
            return [*tokens[: n + 1], tokens[n + 1], tokens[n + 3], *tokens[n + 4 :]]
    return tokens


def _picked_up(tokens: list[Token]) -> list[Token]:
    """ "pick mine up", "picked them up": one verb with its object in the middle."""
    for n, token in enumerate(tokens):
        if token.text not in ("pick", "picks", "picking", "picked"):
            continue
        up = next((k for k in (n + 2, n + 3) if k < len(tokens) and tokens[k].text == "up"), None)
        if up is not None and all(other.kind == "word" for other in tokens[n + 1 : up]):
            verb = "verb:collected" if token.text == "picked" else "verb:pickup"
            whole = replace(token, text=f"{token.text} up", means=frozenset({verb, "form:done"}))
            return [*tokens[:n], whole, *tokens[n + 1 : up], *tokens[up + 1 :]]
    return tokens


def _let_go(tokens: list[Token]) -> list[Token]:
    """ "let 17 fry go": releasing, with the young in the middle of the verb."""
    for n, token in enumerate(tokens):
        if token.text == "let" and (all_gone := _all_go(tokens, n)):
            released = replace(token, text="let go", means=frozenset({"verb:release", "form:done"}))
            return [*tokens[:n], released, *tokens[n + 1 : all_gone], *tokens[all_gone + 1 :]]
        if token.text != "let" or n + 2 >= len(tokens):
            continue
        at = n + 1 + tokens[n + 1].has("approx")
        gone = next((k for k in (at + 1, at + 2) if k < len(tokens) and tokens[k].text in ("go", "out", "loose", "swim", "free")), None)
        if gone is None or tokens[at].kind != "number" or (gone == at + 2 and not tokens[at + 1].has("fry")):
            continue
        end = gone + 1 + 2 * ([later.text for later in tokens[gone + 1 : gone + 3]] == ["by", "herself"])
        released = replace(token, text="let go", means=frozenset({"verb:release", "form:done"}))
        return [*tokens[:n], released, *tokens[n + 1 : gone], *tokens[end:]]
    return tokens


def _all_go(tokens: list[Token], n: int) -> int:
    """ "had let all of her fry go": the position of "go"; 0 where something else was let."""
    words = [token.text for token in tokens[n + 1 : n + 6]]
    gone = next((k for k, word in enumerate(words) if word in ("go", "out", "loose", "swim", "free")), 0)
    between = tokens[n + 1 : n + 1 + gone]
    young = any(token.has("fry", "brood_word", "lot") for token in between)
    return n + 1 + gone if young and all(token.has("fry", "filler", "brood_word", "all", "mine", "lot") for token in between) else 0


def _joining_hyphen(token: Token, message: str) -> bool:
    return (
        token.text in "-–"
        and token.kind == "punct"
        and message[token.start - 1 : token.start].isalnum()
        and message[token.end : token.end + 1].isalnum()
    )


def _stands_as_name(tokens: list[Token], n: int, message: str) -> bool:
    """Whether a word stands where a name does: with a capital in "from Rolf", "for Bo"; with none in "3 of E for lars"."""
    capital = message[tokens[n].start].isupper() and not message[tokens[n].start : tokens[n].end].isupper()
    if _whom(tokens, n):
        return True
    return (
        capital
        and n > 0
        and tokens[n - 1].text in ("from", "for", "to", "by", "with", "guest", "called", "named", "call", "name")
    )


def _whom(tokens: list[Token], n: int) -> bool:
    """ "3 of E for lars": the last word behind a number, for whom it is."""
    behind = tokens[n + 1] if n + 1 < len(tokens) else None
    last = behind is None or behind.kind in ("punct", "newline") or behind.text in ("please", "pls", "plz", "and", "too")
    return last and n > 1 and tokens[n - 1].text == "for" and any(token.kind == "number" for token in tokens[: n - 1])


def _mended(token: Token, names: Names, a_name: bool, whom: bool) -> Token:
    text = mended(token.text, names, a_name)
    if whom and names.phrases.get(text, ("",))[0] in ("strain", "profile"):
        text = token.text  # "lars" is no misspelt "labs"
    if text != token.text:
        return replace(token, text=text)
    return replace(token, note="suspect") if not a_name and suspect(text, names) else token


def _day(run: Run, n: int) -> int:
    if run.tokens[n].kind in ("punct", "newline", "arrow", "money", "percent", "weight", "volume", "length", "temp"):
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


def _not_a_day(run: Run, n: int, last: int, span: days.DaySpan) -> bool:
    """ "sat on eggs", "sun tank", "1/2 of": words that only look like a day."""
    after = run.text(last)
    if span.form == "vague" and run.names.phrases.get(span.words.split()[-1], ("",))[0] == "member":
        return True
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
        return (name_follows and after != "and") or (after == "and" and run.text(last + 1) == "dad")
    fraction = run.text(n - 1) == "and" and run.at(n - 2) is not None and run.tokens[n - 2].kind == "number"  # "1 and 3/4 ibches"
    return span.form == "digits" and (after in ("of", "full", "the") or fraction)


def _name(run: Run, n: int) -> int:
    """A name of this club, the longest that fits."""
    longest = min(run.names.longest, len(run.tokens) - n)
    for length in range(longest, 0, -1):
        phrase = " ".join(token.text for token in run.tokens[n : n + length])
        for text in (phrase, phrase[:-1] if phrase.endswith("s") else ""):
            known = run.names.phrases.get(text)
            if known and (text == phrase or known[0] in ("member", "female", "male")):
                return _append_name(run, n, length, known, possessive=text != phrase)
    return 0


_BEFORE_PLACE = ("to", "into", "onto", "in", "the", "at", "from", "hows", "whats", "status", "history", "wc", "fed")


def _append_name(run: Run, n: int, length: int, known: tuple[str, str], possessive: bool) -> int:
    kind, key = known
    if length == 1 and run.tokens[n].kind not in ("word",):
        return 0
    if kind == "place" and "live" in run.means(n) and run.text(n - 1) not in _BEFORE_PLACE:
        return 0
    if kind in ("female", "male"):
        if trade_phrase(run, n) > length:
            return 0
        run.out.append(run.span(n, length, "fish", Fish(kind, key, named=True)))
        return length
    value: object = Spot(key, said=key) if kind == "place" else key
    following = run.at(n + length + 1)
    typed = kind == "place" and run.means(n + length) & set(PLACE_TYPES) and not run.text(n + length).endswith("s")
    if typed and (following is None or following.kind != "number") and not run.text(n).startswith(PLACE_TYPES):
        length += 1
    token = run.span(n, length, kind, value)
    run.out.append(replace(token, note="possessive") if possessive or re.search(r"['’]s$", run.raw(n).lower()) else token)
    return length


def _trade(run: Run, n: int) -> int:
    """A word or phrase of the trade, the longest that fits."""
    if run.tokens[n].kind != "word":
        return 0
    length = trade_phrase(run, n)
    if run.text(n) in run.names.place_heads and length <= 1 and not run.means(n) & set(PLACE_TYPES):
        run.out.append(run.span(n, 1, "place", Spot(None, run.text(n), run.text(n)), run.means(n) - {"thing"}))
        return 1
    if length > 1 and run.text(n + length - 1) == "on" and days.find(run.flat, run.offsets[n + length - 1]) is not None:
        length -= 1
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


def _clock_word(run: Run, n: int) -> int:
    dotted = re.fullmatch(r"([01]?\d|2[0-3])\.([0-5]\d)", run.text(n)) if run.tokens[n].kind == "number" else None
    if dotted and run.text(n - 1) in ("at", "@") and not _priced(run, n):
        run.out.append(run.span(n, 1, "clock", f"{int(dotted.group(1)):02}:{dotted.group(2)}"))
        return 1
    if run.text(n) not in ("noon", "midday"):
        return 0
    run.out.append(run.span(n, 1, "clock", "12:00"))
    return 1


def _priced(run: Run, n: int) -> bool:
    return any(token.has("verb:offer", "verb:leave", "verb:deposit") for token in run.out) or "each" in run.means(n + 1)


def _money_words(run: Run, n: int) -> int:
    """ "ten bucks"."""
    if run.tokens[n].kind != "number" or run.text(n + 1) not in ("bucks", "dollars", "euro", "euros", "quid"):
        return 0
    run.out.append(run.span(n, 2, "money", f"{run.tokens[n].number:.2f}"))
    return 2


_READS_AT = frozenset(
    [
        ":",
        "is at",
        "stands at",
        "is",
        "at",
        "now",
        "was",
        "are",
        "reads",
        "reading",
        "showing",
        "about",
        "still",
        "currently",
        "=",
        "its",
    ]
)
"""Words between a place and its temperature."""


def _degrees(run: Run, n: int) -> int:
    """ "41 c": degrees behind a place or a word for temperature."""
    number, letter, before = run.tokens[n], run.text(n + 1), run.out[-1] if run.out else None
    if (
        number.kind != "number"
        or letter not in ("c", "f")
        or before is None
        or (run.at(n + 2) is not None and run.text(n + 2).isalnum() and letter == "f" and not 60 <= number.number <= 100)
    ):
        return 0
    behind = [token for token in run.out if token.text not in _READS_AT]
    before = behind[-1] if behind else before
    if not (
        before.kind == "place" or before.has("temp_c") or _after_volume(behind) or _after_water(behind, number.number, letter)
    ):
        return 0
    run.out.append(run.span(n, 2, "suffixed", (number.number, letter)))
    return 2


_WATER = ("ph", "tan_mg_l", "nitrite_mg_l", "nitrate_mg_l", "kh_dkh", "gh_dgh")


def _after_water(behind: list[Token], number: float, letter: str) -> bool:
    """ "ph 8.2 ammonia 0.5 26 c": behind another reading of the water, where the number can be its warmth."""
    told = [token for token in behind if token.kind != "punct" and token.text not in (",", "ppm", "mg/l", "mg")]
    likely = 15 <= number <= 36 if letter == "c" else 59 <= number <= 97
    return likely and len(told) > 1 and told[-1].kind == "number" and told[-2].has(*_WATER)


def _after_volume(behind: list[Token]) -> bool:
    """ "55 gal, 78 f"."""
    told = [token for token in behind if token.kind != "punct" and token.text != ","]
    return bool(told) and told[-1].kind == "volume"


def _anything(run: Run, n: int) -> int:
    token = run.tokens[n]
    if token.kind == "slash":
        token = replace(token, kind="fraction")
    run.out.append(token)
    return 1


_STEPS: tuple[Step, ...] = (
    _day,
    _clock_word,
    _money_words,
    _degrees,
    lettered_place,
    fish_label,
    place_label,
    misspelt_place,
    reservation,
    batch_label,
    batch_letter,
    _name,
    _trade,
    _anything,
)
_MEASURE: tuple[Step, ...] = (_day, _name, _anything)
_STEPS_OF: dict[str, tuple[Step, ...]] = {
    "punct": (reservation, _anything),
    "newline": (_anything,),
    "arrow": (_anything,),
    "number": (_day, _clock_word, _money_words, _degrees, _name, _anything),
    **dict.fromkeys(("length", "percent", "volume", "weight", "temp", "money", "suffixed", "clock", "slash", "dotted", "iso", "ordinal"), _MEASURE),
}
"""Which steps can take a token of a kind at all; a word may be any of them."""
