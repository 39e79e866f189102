"""What of a reservation changes: "change #1 to 4", "my reservation should be 1 male and 5 females", "2 fewer for #3", "make it 6".

A reservation without a number is the writer's only open one, that of the member named, or ("it") the one just spoken of. A number said
as a difference ("2 more") is reckoned from what is still to be fetched.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from bot.reading.facts import Facts
from bot.reading.partial import Partial, Trouble
from bot.reading.pieces import Clause
from bot.reading.scene import Quantity, Scene
from bot.reading.tokens import Token

# ruff: noqa: E501 - a pattern is read as one line
_CHANGE = r"(?:please |pls |can you |could you |can i |could i |id like to |i want to |i would like to )?(?:change|make|reduce|increase|amend|alter|swap|cut|raise|lower)"
_MINE = r"(?:reservation|res|booking|order)"
_SOME_OFF = rf"^(?:please |pls )?cancel \d+ (?:fish )?(?:of|from) (?:mine|them|those|my fish|my {_MINE}|#|{_MINE})"
CHANGED = (
    rf"^{_CHANGE}\b.*\d|^{_CHANGE} (?:it|that|my {_MINE}|the {_MINE})\b"
    rf"|^(?:res|reservation|#|booking|order) ?#? ?\d+ ?:? ?(?:is )?(?:now|to|becomes|should be|make it|instead|only)\b|^(?:res|reservation|booking|order) ?#? ?\d+\b.*\binstead$"
    rf"|^(?:my|the) {_MINE} (?:is now|should be|becomes|to)\b"
    r"|^(?:i |we )?(?:now |actually )?(?:only|just) (?:need|want|take) \d+\b|^(?:actually|rather|better|make that|sorry|oh) \d+(?: please)?$|^(?:actually )?\d+ (?:is|are|will be|would be) (?:enough|plenty|fine after all)\b|^(?:i(?: ?ll| will| need| want| would like|d like)? |we )?(?:please )?(?:take |have )?\d+ (?:more|fewer|less|extra)(?: please)?$"
    rf"|{_SOME_OFF}"
    rf"|^(?:please |pls )?(?:add|\d+ (?:more|fewer|less|extra)\b).*\b(?:to|on|for) (?:#|{_MINE} |my {_MINE}|the {_MINE})"
)
"""How a sentence begins that changes a reservation, in words joined by single blanks."""
_MORE, _LESS = re.compile(r"\b(?:more|extra|another|additional|add)\b"), re.compile(r"\b(?:fewer|less)\b")


def reservation_changed(tokens: Sequence[Token], flat: str, scene: Scene) -> list[Partial] | None:
    """Another number, sex, mix or batch of a reservation; None where the words are about something else."""
    if any(
        token.kind in ("day", "clock", "money", "fish")
        or token.has("verb:collected", "verb:no_show", "verb:pickup", "verb:deposit", "condition")
        or (token.has("verb:cancel") and not re.match(_SOME_OFF, flat))
        or (token.has("negation") and token.text != "instead of")
        or token.text in ("took", "takes", "paid")
        for token in tokens
    ):
        return None
    end = next((n for n, token in enumerate(tokens) if token.text in ("instead of", "rather than")), len(tokens))
    facts = Facts(Clause(list(tokens[:end]), ""), scene)
    partial = Partial("reservation_changed")
    number = _which(facts, flat, scene)
    if number is None:
        return None
    partial.put("reservation", number)
    _to_what(facts, partial, flat)
    batches = facts.batches()
    partial.put("batch", batches[-1] if batches else None)
    return [partial] if len(partial.slots) + len(partial.troubles) > 1 else None


def _which(facts: Facts, flat: str, scene: Scene) -> str | Trouble | None:
    """The number of the reservation; None where none is meant."""
    numbered = facts.where("reservation", "hash")
    known = scene.names.reservations
    if numbered:
        facts.used.update(numbered)
        number = str(facts.tokens[numbered[0]].value)
        return number if number in known else Trouble("reservation", "unknown", number)
    member = facts.member()
    if re.search(rf"\b(?:my|the|this|that|s) {_MINE}\b", flat) or isinstance(member, str):
        mine = scene.names.open_reservations(member if isinstance(member, str) else scene.by)
        return mine[0] if len(mine) == 1 else Trouble("reservation", "ambiguous" if mine else "missing", "", mine)
    if re.match(rf"^{_CHANGE} (?:it|that)\b", flat):
        return _spoken_of(facts, scene)
    if not re.match(rf"^{_CHANGE}\b", flat):
        mine = scene.names.open_reservations(scene.by)
        return mine[0] if len(mine) == 1 and _fits_alone(facts, flat, known[mine[0]].get("count")) else None
    bare = [quantity for quantity in facts.quantities if str(quantity.value) in known and quantity.bare]
    return str(facts.use(bare[0]).value) if bare else None


def _fits_alone(facts: Facts, flat: str, book: object) -> bool:
    """Whether "I only need 4" or "2 more" can be about the one reservation: nothing else is named, and "only" is fewer.

    Of somebody with a fishroom "2 more" may as well be fish in the water.
    """
    if facts.names.places:
        return False
    named = facts.where("batch", "strain", "place", "profile", "member")
    numbers = [quantity.value for quantity in facts.quantities]
    if named or len(numbers) != 1 or not isinstance(numbers[0], int) or not isinstance(book, int):
        return False
    return bool(_difference(flat)) or numbers[0] <= book


def _spoken_of(facts: Facts, scene: Scene) -> str | None:
    """The reservation just spoken of; with a pickup day a bare number may as well be an hour, and is not taken."""
    number = scene.context.reservation
    row = scene.names.reservations.get(number or "")
    hour = row is not None and row.get("pickup") and all(quantity.bare for quantity in facts.free())
    return None if number is None or hour or number not in scene.names.open_reservations() else number


def _to_what(facts: Facts, partial: Partial, flat: str) -> None:
    counts = [
        quantity
        for quantity in facts.free()
        if (isinstance(quantity.value, int) and facts.before(quantity.at) not in ("of", "from")) or quantity.sex
    ]
    if _difference(flat):
        partial.put("count", _from_now(partial, counts, flat, facts))
    elif len(counts) == 1:
        partial.put("count", counts[0].value)
        partial.put("sex", counts[0].sex)
    elif sorted(str(quantity.sex) for quantity in counts) == ["female", "male"] and all(
        isinstance(quantity.value, int) for quantity in counts
    ):
        for quantity in counts:
            partial.put(f"{quantity.sex}s", quantity.value)
        partial.put("count", sum(int(quantity.value or 0) for quantity in counts))
    elif counts:
        partial.put("count", Trouble("count", "ambiguous"))
    else:
        sexes = {str(token.value) for token in facts.tokens if token.kind == "sex"}
        partial.put("sex", sexes.pop() if len(sexes) == 1 else None)


def _difference(flat: str) -> int:
    """1 where the number is to be added, -1 where it is to be taken off, 0 where it is the new number."""
    if _LESS.search(flat) or re.match(_SOME_OFF, flat) or re.search(r"\b(?:reduce|cut|lower)\b.*\bby\b", flat):
        return -1
    return int(bool(_MORE.search(flat) or re.search(r"\b(?:increase|raise)\b.*\bby\b", flat)))


def _from_now(partial: Partial, counts: Sequence[Quantity], flat: str, facts: Facts) -> int | Trouble:
    """The new number from the one in the book; asked for where a sex is named, or the book does not know."""
    book = facts.names.reservations.get(str(partial.slots.get("reservation")), {}).get("count")
    if len(counts) != 1 or counts[0].sex or not isinstance(counts[0].value, int) or not isinstance(book, int):
        return Trouble("count", "ambiguous")
    new = book + _difference(flat) * counts[0].value
    return new if new > 0 else Trouble("count", "impossible", str(new))
