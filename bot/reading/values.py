"""What a message can turn out to be: events, a query, a question back, or nothing; and what a reader may lean on.

A reading is what is believed to be meant before anything is recorded. All values here are frozen and JSON-able.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

Draft = Mapping[str, object]


@dataclass(frozen=True)
class Item:
    """One event or query: its kind and its slots (text, int, float, bool or list values)."""

    kind: str
    slots: Mapping[str, object] = field(default_factory=dict)

    def as_json(self) -> dict[str, object]:
        """The item as one flat JSON object. To whom a fish left is for the club's door to settle, and is not printed."""
        hidden = ("member",) if self.kind == "left" else ()
        return {"kind": self.kind, **{slot: value for slot, value in self.slots.items() if slot not in hidden}}


@dataclass(frozen=True)
class Events:
    """Something happened and every needed slot is known; `query` where the message also asks something, `more` where it asks further things.

    `taken` says what was taken to be so without being said ("her: female 4"), for the reply to mention.
    """

    items: tuple[Item, ...]
    query: Item | None = None
    taken: tuple[str, ...] = ()
    more: tuple[Item, ...] = ()


@dataclass(frozen=True)
class Query:
    """The writer wants to know something; `more` are the further questions of the same message, which are not printed."""

    item: Item
    taken: tuple[str, ...] = ()
    more: tuple[Item, ...] = ()


@dataclass(frozen=True)
class Ask:
    """An event or a query was meant, but slot `about` is missing, ambiguous or impossible here.

    `why` is one of: missing, unknown, taken, too_many, ambiguous, future, impossible, implausible, too_long, uncertain. `value`
    repeats what was said of the slot ("" where nothing was). `draft` is what is known so far, kept with the moment it was written.
    """

    about: str
    options: tuple[str, ...] = ()
    draft: Draft = field(default_factory=lambda: MappingProxyType({}))
    why: str = "missing"
    value: str = ""


@dataclass(frozen=True)
class Nothing:
    """Talk that reports nothing and asks nothing."""


@dataclass(frozen=True)
class Dropped:
    """The member answered a question with "no" or "forget it": the draft is to be thrown away."""


Reading = Events | Query | Ask | Nothing


@dataclass(frozen=True)
class Context:
    """What was spoken of last ("her", "that batch"), and the place whose label was scanned (`here`)."""

    female: str | None = None
    male: str | None = None
    batch: str | None = None
    place: str | None = None
    reservation: str | None = None
    here: str | None = None


def as_json(reading: Reading) -> dict[str, object]:
    """The reading as the JSON object that `frywire read` prints."""
    match reading:
        case Events(items, query):
            events = {"result": "events", "events": [item.as_json() for item in items]}
            return {**events, "query": query.as_json()} if query else dict(events)
        case Query(item):
            return {"result": "query", "query": item.as_json()}
        case Ask():
            return {
                "result": "ask",
                "about": reading.about,
                "options": list(reading.options),
                "draft": dict(reading.draft),
                "why": reading.why,
                "value": reading.value,
            }
        case Nothing():
            return {"result": "none"}
