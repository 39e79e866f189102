"""Prices by sex: "price of B males 5, females 7.50", "B for sale, males at 5 and females at 7".

A number behind a sex is taken for a price only where something says so ("price", "at", a sign, cents): it may as well be fish.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from bot.reading.facts import Facts
from bot.reading.partial import Partial
from bot.reading.pieces import Clause
from bot.reading.scene import Scene
from bot.reading.tokens import Token
from bot.reading.walk import Fish

BY_SEX = r"\b(?:males?|females?|boys?|girls?)\b.*\d"
"""In words joined by single blanks."""
_BEFORE = ("at", "@", "for", "are", "is", "cost", "costs", "=", ":")


def prices_by_sex(tokens: Sequence[Token], flat: str, scene: Scene) -> list[Partial] | None:
    """A price for each sex named, and the offer where the batch is said to be for sale; None where it is not that."""
    if any(
        (token.kind == "fish" and not _amount_of_fish(token))
        or token.kind in ("member", "reservation", "hash", "place", "day", "length") or token.has("negation", "condition")
        for token in tokens
    ):
        return None
    facts = Facts(Clause(list(tokens), "offer"), scene)
    batches, strains = facts.batches(), facts.where("strain")
    pairs, marked = _pairs(tokens)
    amounts = [token for token in tokens if token.kind in ("money", "number") or _amount_of_fish(token)]
    priced = re.search(r"\bprices?\b|\bcosts?\b", flat) is not None or marked
    if not priced or len(amounts) != len(pairs) or not pairs or len({sex for sex, _ in pairs}) != len(pairs):
        return None
    if len(batches) + len(strains) != 1 or (batches and not isinstance(batches[0], str)):
        return None
    whose: dict[str, object] = {"batch": batches[0]} if batches else {"strain": str(tokens[strains[0]].value)}
    sells = batches and any(token.has("verb:offer") or token.text == "sell" for token in tokens)
    offer = [Partial("offered", dict(whose))] if sells and len(pairs) > 1 else []
    if sells and not offer:
        return None
    return [*offer, *(Partial("price", {**whose, "sex": sex, "price": price}) for sex, price in pairs)]


def _amount_of_fish(token: Token) -> bool:
    """ "Males 5" names no fish (that would be "male 5"): a sex with a number behind it."""
    return isinstance(token.value, Fish) and token.value.plural and token.value.label.isdigit()


def _pairs(tokens: Sequence[Token]) -> tuple[list[tuple[str, str]], bool]:
    """Each sex with the amount behind it, and whether all of them are said to be prices by themselves."""
    found, marked = [], True
    for n, token in enumerate(tokens):
        if isinstance(token.value, Fish) and _amount_of_fish(token):
            found.append((token.value.sex, f"{int(token.value.label)}.00"))
            marked = False
            continue
        at = n + 1
        while token.kind == "sex" and at < len(tokens) and tokens[at].text in _BEFORE:
            at += 1
        if token.kind != "sex" or at >= len(tokens) or tokens[at].kind not in ("money", "number"):
            continue
        value = tokens[at].value
        if not isinstance(value, str | int | float):
            return [], False
        found.append((str(token.value), f"{float(value):.2f}"))
        marked = marked and (tokens[at].kind == "money" or at > n + 1 or isinstance(value, float))
    return found, marked and bool(found)
