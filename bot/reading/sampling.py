"""Sentences that Frywire understands, made from the vocabulary and a club's own names, each with what it means."""

from __future__ import annotations

import random
import re
from collections.abc import Callable, Mapping
from datetime import datetime, timedelta
from functools import cache
from importlib.resources import files

import yaml

from bot.reading.names import Names
from bot.reading.values import Item
from bot.reading.vocabulary import vocabulary

_GAP = re.compile(r"\{([a-z_]+)(?::([a-z_]+))?\}")
_TODAYS = frozenset(
    [
        "spawned",
        "holding",
        "still_holding",
        "brood_lost",
        "released",
        "stripped",
        "moved",
        "counted",
        "died",
        "measured",
        "sexed",
        "split",
        "held_back",
        "culled",
        "joined",
        "left",
        "water_tested",
        "water_changed",
        "fed",
        "noted",
        "collected",
        "sold",
        "no_show",
    ]
)
"""Kinds that always say when they happened."""
_SPANS = (("today", "today"), ("tomorrow", "tomorrow"), ("week", "week"))
MORNING = datetime.fromisoformat("2026-03-18T09:30")


@cache
def sentences() -> Mapping[str, list[str]]:
    """The patterns of the data file, by kind."""
    found: Mapping[str, list[str]] = yaml.safe_load((files(__package__) / "sentences.yaml").read_text("utf-8"))
    return found


class _Filler:
    """Fills the gaps of one sentence."""

    def __init__(self, names: Names, dice: random.Random, now: datetime) -> None:
        self.names, self.dice, self.now = names, dice, now
        self.slots: dict[str, object] = {}
        self.batch = dice.choice([letter for letter, row in names.batches.items() if int(row.get("count") or 0) >= 4] or [""])

    def fill(self, match: re.Match[str]) -> str:
        """The words for a gap; its slot is remembered."""
        name, verb = match.groups()
        if verb:
            return self.dice.choice(_plain_words(verb))
        maker = _MAKERS.get(name)
        return maker(self) if maker else self._number(name)

    def _number(self, name: str) -> str:
        low, high = _RANGES[name]
        value = self.dice.randint(low, high)
        self.slots[{"brood": "count", "few": "count", "all": "count"}.get(name, name)] = value
        return str(value)

    def keep(self, slot: str, value: object, words: str | None = None) -> str:
        """Remember a slot; its words."""
        self.slots[slot] = value
        return words if words is not None else str(value)

    def place(self, slot: str) -> str:
        """Any place of the club."""
        return self.keep(slot, self.dice.choice(list(self.names.places)))

    def nickname(self) -> str:
        """A female with a nickname."""
        named = [(label, row["nickname"]) for label, row in self.names.females.items() if row.get("nickname")]
        label, nickname = self.dice.choice(named)
        return self.keep("female", label, str(nickname))

    def held(self) -> str:
        """A female recorded as holding."""
        held = [label for label, row in self.names.females.items() if row.get("holding_since")]
        return self.keep("female", self.dice.choice(held))

    def strain(self) -> str:
        """A strain by one of its names."""
        key = self.dice.choice(list(self.names.strains))
        return self.keep("strain", key, str(self.names.strains[key]["names"][0]))

    def day(self) -> str:
        """Yesterday, some days ago."""
        back = self.dice.choice((1, 2, 3))
        words = "yesterday" if back == 1 else f"{back} days ago"
        return self.keep("on", (self.now.date() - timedelta(days=back)).isoformat(), words)

    def pickup(self) -> str:
        """Tomorrow, or in some days."""
        ahead = self.dice.choice((1, 2, 5))
        words = "tomorrow" if ahead == 1 else f"in {ahead} days"
        return self.keep("pickup", (self.now.date() + timedelta(days=ahead)).isoformat(), words)

    def lengths_of(self) -> str:
        """A handful of lengths in mm."""
        values = [self.dice.randint(12, 60) for _ in range(4)]
        return self.keep("lengths", values, " ".join(str(value) for value in values))

    def money(self, slot: str) -> str:
        """An amount with cents."""
        return self.keep(slot, f"{self.dice.randint(2, 15)}.50")


def _plain_words(verb: str) -> list[str]:
    """The words of a verb that stand behind a name without more ("spawned", "bred")."""
    return sorted(
        phrase
        for phrase, means in vocabulary().phrases.items()
        if means == {f"verb:{verb}", "form:done"} and " " not in phrase and phrase.endswith("ed")
    ) or [verb]


_MAKERS: dict[str, Callable[[_Filler], str]] = {
    "female": lambda fill: fill.keep("female", fill.dice.choice(list(fill.names.females))),
    "male": lambda fill: fill.keep("male", fill.dice.choice(list(fill.names.males))),
    "held": _Filler.held,
    "nickname": _Filler.nickname,
    "batch": lambda fill: fill.keep("batch", fill.batch),
    "new": lambda fill: fill.keep("new", "Q"),
    "to": lambda fill: fill.place("to"),
    "place": lambda fill: fill.place("place"),
    "strain": _Filler.strain,
    "member": lambda fill: fill.keep("member", fill.dice.choice(list(fill.names.members))),
    "reservation": lambda fill: fill.keep("reservation", fill.dice.choice(list(fill.names.reservations))),
    "on": _Filler.day,
    "pickup": _Filler.pickup,
    "at": lambda fill: fill.keep("at", f"{10 + fill.dice.randint(0, 8)}:30"),
    "lengths": _Filler.lengths_of,
    "ph": lambda fill: fill.keep("ph", fill.dice.choice((7.6, 8.0, 8.2, 8.4))),
    "price": lambda fill: fill.money("price"),
    "amount": lambda fill: fill.money("amount"),
    "text": lambda fill: fill.keep("text", fill.dice.choice(("filter noisy", "all feeding well", "one with a bent spine"))),
}
_RANGES = {
    "brood": (8, 35),
    "eggs": (1, 5),
    "dead": (1, 4),
    "few": (2, 4),
    "all": (10, 40),
    "mean_mm": (10, 60),
    "n": (4, 15),
    "males": (4, 12),
    "females": (4, 12),
    "nitrite_mg_l": (0, 1),
    "nitrate_mg_l": (5, 50),
    "kh_dkh": (6, 14),
    "gh_dgh": (6, 16),
    "temp_c": (23, 28),
    "percent": (10, 60),
    "litres": (5, 60),
    "grams": (1, 6),
}


def sample(kind: str, names: Names, n: int, seed: int, now: datetime = MORNING) -> list[tuple[str, Item]]:
    """`n` sentences of a kind with what they mean when written at `now`; the same for the same seed, none where the club lacks the names."""
    dice = random.Random(seed)  # noqa: S311 examples, no secrets
    patterns = sentences().get(kind, [])
    out: list[tuple[str, Item]] = []
    for _ in range(n if patterns else 0):
        pattern = dice.choice(patterns)
        filler = _Filler(names, dice, now)
        try:
            text = _GAP.sub(filler.fill, pattern)
        except IndexError:
            continue
        out.append((text, Item(kind, _completed(kind, pattern, filler.slots, now))))
    return out


def _completed(kind: str, pattern: str, slots: dict[str, object], now: datetime) -> dict[str, object]:
    """The slots that a pattern says without a gap."""
    whole = dict(slots)
    if kind in _TODAYS:
        whole.setdefault("on", now.date().isoformat())
    if "female {strain}" in pattern or "females from" in pattern:
        whole["sex"] = "female"
    if "male {strain}" in pattern and "female {strain}" not in pattern:
        whole["sex"] = "male"
    if "from Dave" in pattern:
        whole["origin"] = "Dave"
    if kind in ("due", "pickups"):
        whole.update([("span", span) for word, span in _SPANS if word in pattern])
    return whole
