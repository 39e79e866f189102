"""A club as a child would keep it: a number of fish, a list of promises, and who said what. It knows nothing of Frywire's code.

Fish are counted by going through everything that still stands, day by day, in the order of telling. Promises are never worked out:
they are what the bot said yes to, and the model only checks that they were no more than the fish.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal


@dataclass(slots=True, eq=False)
class Deed:
    """Something that somebody said and the bot took: it stands until it is taken back."""

    who: str
    kind: Literal["counted", "died", "sold", "culled", "reserved", "cancelled"]
    number: int
    """How many fish; of a reservation called off, its number."""
    day: int
    message: str = ""
    late: int = 0
    """How many days after it happened it was told."""
    stands: bool = True


@dataclass(slots=True)
class Promise:
    """A reservation by its number: it binds while it stands and was not called off."""

    number: int
    made: Deed
    called_off: list[Deed] = field(default_factory=list)

    @property
    def open(self) -> bool:
        """Whether its fish are promised."""
        return self.made.stands and not any(deed.stands for deed in self.called_off)


@dataclass(slots=True)
class Model:
    """One batch and its promises."""

    began_with: int
    facts: list[Deed] = field(default_factory=list)
    told: list[Deed] = field(default_factory=list)
    """All deeds, the newest told last."""
    promises: dict[int, Promise] = field(default_factory=dict)

    def fish(self) -> int:
        """How many fish there are, after all that still stands. A loss told late does not change a count made later."""
        fish = self.began_with
        for deed in sorted((deed for deed in self.facts if deed.stands), key=lambda deed: deed.day):
            fish = deed.number if deed.kind == "counted" else max(0, fish - deed.number)
        return fish

    def promised(self) -> int:
        """How many are promised."""
        return sum(promise.made.number for promise in self.promises.values() if promise.open)

    def counted_on(self, day: int) -> bool:
        """Whether a count of that day stands."""
        return any(deed.stands and deed.kind == "counted" and deed.day == day for deed in self.facts)

    def told_on(self, who: str, kind: str, number: int, day: int) -> bool:
        """Whether the same was told before."""
        return any((d.who, d.kind, d.number, d.day, d.stands) == (who, kind, number, day, True) for d in self.told)

    def fact(self, deed: Deed) -> None:
        """Something happened in the water."""
        self.facts.append(deed)
        self.told.append(deed)

    def reserve(self, number: int, deed: Deed) -> None:
        """The bot said yes to a reservation."""
        self.promises[number] = Promise(number, deed)
        self.told.append(deed)

    def call_off(self, deed: Deed) -> None:
        """A reservation was called off."""
        self.promises[deed.number].called_off.append(deed)
        self.told.append(deed)

    def last_of(self, who: str) -> Deed | None:
        """What somebody said last that still stands."""
        return next((deed for deed in reversed(self.told) if deed.who == who and deed.stands), None)

    def promise_of(self, deed: Deed) -> Promise | None:
        """The promise that a deed made, if it made one."""
        return next((promise for promise in self.promises.values() if promise.made is deed), None)

    def corrected(self, deed: Deed, number: int) -> None:
        """What was said is put right: it keeps its place among what happened, but was told last."""
        deed.number = number
        self.told.remove(deed)
        self.told.append(deed)
