"""Who took what was reserved: "Ruth took 6, leaving 4", "#3 took all", "Nel took 1 male and 4 females, 2 left".

What is left is checked against the book: where the two numbers do not add up, it is asked.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from bot.reading.facts import Facts
from bot.reading.kinds_fish import on_day
from bot.reading.kinds_orders import members_named, put_mix, the_reservation
from bot.reading.partial import Partial, Trouble
from bot.reading.pieces import Clause
from bot.reading.scene import Scene
from bot.reading.tokens import Token

# ruff: noqa: E501 - a pattern is read as one line
_LEFT = r"(?: ?,? ?(?:and |which |but )?(?:leaves|leaving|left|leave)(?: behind)? \d+(?: (?:here|left|still|to come|for later|for next time))?| ?,? ?(?:and |so |still )?\d+ (?:are |is |still )?(?:left|to come|to go|still here|remain(?:ing|s)?))"
_FISH = r"\d+(?: ?(?:fish|males?|females?|boys?|girls?|m|f))?(?: of (?:them|his|hers|theirs|the fish))?"
_NUMBERS = rf"{_FISH}(?: ?(?:,|and|\+)? ?\d+ ?(?:males?|females?|boys?|girls?|m|f))?"
TAKEN = rf"^(?:# ?\d+|[a-z][\w'’ -]*?) (?:only |just )?(?:took|has taken|has picked up|picked up|came and took)\b(?: (?:only|just|home|him|her))?(?: (?:all|both|everything|the lot|(?:his|her|their|the) (?:fish|order)|all (?:of )?(?:his|her|their|the) fish|{_NUMBERS}))??{_LEFT}?(?: (?:today|yesterday|this morning|this afternoon|last night|just now))?$"
"""Such a sentence, in words joined by single blanks."""


def taken_home(tokens: Sequence[Token], flat: str, scene: Scene) -> list[Partial] | None:
    """What was fetched, all or in part; None where the words are about something else."""
    if any(token.kind in ("fish", "batch", "place", "strain") or token.has("negation", "condition", "plan") for token in tokens):
        return None
    facts = Facts(Clause(list(tokens), "collected"), scene)
    named = facts.where("reservation", "hash", "member")
    if not named or any(str(facts.tokens[n].value) == scene.by for n in facts.where("member")):
        return None
    if len(members_named(facts)) > 1:
        return _each_by_itself(tokens, scene)
    partial = Partial("collected")
    the_reservation(facts, partial)
    left = _left_over(facts, flat)
    _fetched(facts, partial, left)
    on_day(facts, partial)
    return [partial]


def _each_by_itself(tokens: Sequence[Token], scene: Scene) -> list[Partial] | None:
    """ "Ruth took 3 and Nel took 4": the parts one by one; None where one of them does not stand alone."""
    parts: list[list[Token]] = [[]]
    for token in tokens:
        if token.kind == "member" and any(one.kind == "member" for one in parts[-1]):
            parts.append([])
        parts[-1].append(token)
    found: list[Partial] = []
    for part in parts:
        while part and part[-1].text in ("and", ",", ";"):
            part.pop()
        flat = " ".join(token.text for token in part)
        read = taken_home(part, flat, scene) if re.match(TAKEN, flat) else None
        if read is None:
            return None
        found += read
    return found


def _left_over(facts: Facts, flat: str) -> int | None:
    """The number said to be left, if one is."""
    found = re.search(rf"{_LEFT}(?: (?:today|yesterday|this morning|this afternoon|last night|just now))?$", flat)
    numbers = re.findall(r"\d+", found.group(0)) if found else []
    quantity = next((one for one in reversed(facts.free()) if str(one.value) in numbers), None)
    return int(facts.use(quantity).value or 0) if quantity is not None else None


def _fetched(facts: Facts, partial: Partial, left: int | None) -> None:
    counts = facts.free()
    book = facts.names.reservations.get(str(partial.slots.get("reservation")), {}).get("count")
    if not put_mix(facts, partial, counts):
        if len(counts) == 1 and isinstance(counts[0].value, int):
            partial.put("count", facts.use(counts[0]).value)
        elif counts:
            partial.put("count", Trouble("count", "ambiguous"))
    if left is None or not isinstance(book, int) or partial.troubles:
        return
    count = partial.slots.get("count")
    if count is None:
        partial.put("count", book - left if book > left else Trouble("count", "ambiguous"))
    elif isinstance(count, int) and count + left != book:
        partial.slots.pop("count")
        partial.put("count", Trouble("count", "ambiguous", f"{count} / {left}"))
