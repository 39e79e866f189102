"""Labels told of together: "f3-f6", "females 2 to 5", "boxes 1-3" are each of them; "males 3, females 7" of a batch are numbers of fish."""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterator, Sequence
from dataclasses import replace

from bot.reading.names import PLACE_TYPES, Names
from bot.reading.pieces import verb_of
from bot.reading.tokens import Token
from bot.reading.walk import Fish, Spot

_THROUGH = frozenset(["to", "through", "thru", "till", "until"])
_MOST = 40
_AND = frozenset({"with", "filler"})


def label_lists(tokens: Sequence[Token], message: str, names: Names) -> list[Token]:
    """The tokens with ranges of labels as each label, and counts by sex of a batch as counts."""
    kinds = {token.kind for token in tokens}
    out = list(tokens)
    if "fish" in kinds or ("sex" in kinds and "range" in kinds):
        out = _fish_ranges(out, message, names)
    if "place" in kinds:
        out = _place_ranges(out, names)
    if "sex" in kinds or "suffixed" in kinds:
        out = _not_sure(out)
    if "reservation" in kinds or "hash" in kinds:
        out = _reservations(out, names)
    return _counts_by_sex(_unsexed_first(out)) if "batch" in kinds and "fish" in kinds else out


def _unsexed_first(tokens: list[Token]) -> list[Token]:
    """ "f 23, m 14, unsexed 4": the number behind the word, as behind the others."""
    for n, token in enumerate(tokens[:-1]):
        following = tokens[n + 2] if n + 2 < len(tokens) else None
        last = following is None or following.kind in ("punct", "newline", "day")
        if token.kind == "sex" and token.value == "unsexed" and tokens[n + 1].kind == "number" and last and n and tokens[n - 1].kind != "number":
            return [*tokens[:n], tokens[n + 1], token, *tokens[n + 2 :]]
    return tokens


def _not_sure(tokens: list[Token]) -> list[Token]:
    """ "11 male, 12 female, 4 not sure yet": so many unsexed."""
    out = list(tokens)
    counted = any(a.kind == "number" and b.kind == "sex" for a, b in itertools.pairwise(out))
    if not counted and not any(verb_of(token) == "sex" for token in out):
        return out
    for n in range(len(out) - 1, 1, -1):
        if out[n].text not in _UNSURE or out[n - 1].kind != "number":
            continue
        end = n + 1 + (n + 1 < len(out) and out[n + 1].text in ("yet", "still"))
        said = " ".join(token.text for token in out[n:end])
        out[n:end] = [Token("sex", said, out[n].start, out[end - 1].end, "unsexed", frozenset({"unsexed"}))]
    return out


_UNSURE = {
    *("not sure", "unsure", "unknown", "unknowns", "?", "undecided", "unclear"),
    *("cant tell", "hard to tell", "to be decided", "too early", "too early to tell"),
}


def _reservations(tokens: list[Token], names: Names) -> list[Token]:
    """ "res 11 and 13 collected": each number of the list that a reservation has, where nothing is counted."""
    out = list(tokens)
    for n in range(2, len(out)):
        before, joiner, token = out[n - 2], out[n - 1], out[n]
        following = out[n + 1] if n + 1 < len(out) else None
        plural = before.text.partition(" ")[0].endswith("s")
        listed = before.kind in ("reservation", "hash") and (joiner.text in ("and", "&", "+") or (plural and joiner.text == ","))
        alone = following is None or following.kind in ("punct", "newline", "day") or verb_of(following) or following.has("aux", "negation")
        if listed and alone and token.kind == "number" and str(token.value) in names.reservations:
            out[n] = replace(token, kind=before.kind, value=str(token.value), text=f"{before.text.partition(' ')[0]} {token.value}")
            out[n - 1] = replace(joiner, kind="word", text="and", means=_AND)
    return out


def _fish_ranges(tokens: list[Token], message: str, names: Names) -> list[Token]:
    out: list[Token] = []
    n = 0
    while n < len(tokens):
        found = _fish_range(tokens, n, message)
        if found is None:
            out.append(tokens[n])
            n += 1
            continue
        sex, first, last, taken = found
        ends = tokens[n + taken - 1]
        labels = [label for label in range(first, last + 1) if label in (first, last) or str(label) in names.fish(sex)]
        for label in labels:
            if label != first:
                out.append(Token("word", "and", ends.start, ends.start, None, _AND))
            out.append(Token("fish", f"{sex} {label}", tokens[n].start, ends.end, Fish(sex, str(label), plural=False)))
        n += taken
    return out


def _fish_range(tokens: Sequence[Token], n: int, message: str) -> tuple[str, int, int, int] | None:
    """The sex, the first and last label, and how many tokens say so."""
    token = tokens[n]
    following = [*tokens[n + 1 : n + 3], *(Token("end", "", 0, 0),) * 2]
    if token.kind == "sex" and following[0].kind == "range" and (ends := _numbers(following[0])):
        labelled = following[0].start == token.end or token.text.endswith("s")
        counted = any(other.has("verb:reserve", "verb:want", "verb:offer", "verb:sex") for other in tokens)
        return (str(token.value), *ends, 2) if labelled and not counted and token.value in ("female", "male") else None
    if not isinstance(token.value, Fish) or not token.value.label.isdigit():
        return None
    sex, first = token.value.sex, int(token.value.label)
    dashed = message[token.end : token.end + 1] in ("-", "–") and following[0].start - token.end <= 2
    last, taken = (following[0], 2) if dashed and following[0].text not in "-–" else (following[1], 3)
    if taken == 3 and following[0].text not in (*_THROUGH, "-", "–"):
        return None
    if isinstance(last.value, Fish) and last.value.sex == sex and last.value.label.isdigit():
        end = int(last.value.label)
    elif last.kind == "number" and isinstance(last.value, int) and (dashed or token.value.plural):
        end = last.value
    else:
        return None
    return (sex, first, end, taken) if first < end <= first + _MOST else None


def _numbers(token: Token) -> tuple[int, int] | None:
    ends = re.fullmatch(r"(\d+)[-–](\d+)", token.text)
    first, last = (int(end) for end in ends.groups()) if ends else (0, 0)
    return (first, last) if 0 < first < last <= first + _MOST else None


def _place_ranges(tokens: list[Token], names: Names) -> list[Token]:
    out: list[Token] = []
    n = 0
    while n < len(tokens):
        places, taken = _places(tokens, n, names)
        if not places:
            places, taken = _every_place(tokens, n, names)
        if not places:
            out.append(tokens[n])
        for place in places:
            if place != places[0]:
                out.append(Token("word", "and", tokens[n].end, tokens[n].end, None, _AND))
            out.append(Token("place", place, tokens[n].start, tokens[n + taken - 1].end, Spot(place, said=place)))
        n += taken or 1
    return out


def _every_place(tokens: Sequence[Token], n: int, names: Names) -> tuple[list[str], int]:
    """ "all tanks", "every box", "all the tubs": the places of that type, where there are several."""
    if tokens[n].text not in ("all", "every", "each", "all the", "both"):
        return [], 0
    at = n + 1 + (n + 1 < len(tokens) and tokens[n + 1].text in ("the", "my", "our"))
    spot = tokens[at].value if at < len(tokens) else None
    if not isinstance(spot, Spot) or spot.name is not None or not spot.type:
        return [], 0
    if spot.type == "tank" and any(not set(place.split()) & set(PLACE_TYPES) for place in names.places):
        return [], 0  # whether "quarantine" is one of all tanks is not known
    places = list(names.places_of_type(spot.type))
    numbered = [place for place in places if place.split()[-1].isdigit()]
    return (places, at + 1 - n) if len(places) > 1 and places == numbered and (tokens[n].text != "both" or len(places) == 2) else ([], 0)


def _places(tokens: Sequence[Token], n: int, names: Names) -> tuple[list[str], int]:
    """The places of "boxes 1-3" or "tanks 1 to 3", all of them known, and how many tokens say so."""
    spot = tokens[n].value
    if tokens[n].kind != "place" or not isinstance(spot, Spot):
        return [], 0
    following = tokens[n + 1 : n + 3]
    ends, taken, type_ = None, 0, spot.type or ""
    if spot.name is None and spot.type and following[:1] and following[0].kind == "range":
        ends, taken = _numbers(following[0]), 2
    elif spot.name and tokens[n].text.split()[0].endswith("s") and len(following) == 2 and following[0].text in _THROUGH:
        type_, _, first = spot.name.rpartition(" ")
        last = following[1]
        if first.isdigit() and last.kind == "number" and isinstance(last.value, int) and int(first) < last.value <= int(first) + _MOST:
            ends, taken = (int(first), last.value), 3
    places = [f"{type_} {number}" for number in range(ends[0], ends[1] + 1)] if ends else []
    return (places, taken) if places and set(places) <= set(names.places) else ([], 0)


def _counts_by_sex(tokens: list[Token]) -> list[Token]:
    """ "B males 3 females 7": so many of each; a plural with a number behind it, both sexes told of."""
    many = [n for n, token in enumerate(tokens) if isinstance(token.value, Fish) and token.value.plural]
    sexes = {fish.sex for n in many if isinstance(fish := tokens[n].value, Fish)}
    if len(many) != 2 or len(sexes) != 2 or sum(token.kind == "fish" for token in tokens) != 2:
        return tokens
    return [each for n, token in enumerate(tokens) for each in (_counted(token) if n in many else (token,))]


def _counted(token: Token) -> Iterator[Token]:
    assert isinstance(token.value, Fish)  # noqa: S101 chosen for that
    yield Token("number", token.value.label, token.start, token.end, int(token.value.label))
    yield Token("sex", f"{token.value.sex}s", token.end, token.end, token.value.sex, frozenset({token.value.sex}))
