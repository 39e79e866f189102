"""A reading under way: what a clause has told of one item, and what is still in the way of believing it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any


@dataclass(frozen=True)
class Trouble:
    """One slot that cannot be filled, why, the words that were said of it, and what it could be."""

    slot: str
    why: str = "missing"
    value: str = ""
    options: tuple[str, ...] = ()

    def as_json(self) -> dict[str, object]:
        """A plain mapping for a draft."""
        return {"slot": self.slot, "why": self.why, "value": self.value, "options": list(self.options)}

    @classmethod
    def from_json(cls, row: Mapping[str, Any]) -> Trouble:
        """The trouble out of a draft."""
        return cls(row["slot"], row["why"], row["value"], tuple(row["options"]))


@dataclass
class Partial:
    """One event or query being put together."""

    kind: str
    slots: dict[str, object] = field(default_factory=dict)
    troubles: list[Trouble] = field(default_factory=list)
    sure: bool = False
    """The writer has said yes to a number that was doubted."""

    def put(self, slot: str, value: object) -> None:
        """Fill a slot: with a value, with nothing where it is None, or with its trouble."""
        if slot == "sure":
            self.sure = True
        elif isinstance(value, Trouble):
            self.troubles.append(value)
        elif value is not None:
            self.slots[slot] = value

    def as_json(self) -> dict[str, object]:
        """A plain mapping for a draft."""
        return {
            "kind": self.kind,
            "slots": dict(self.slots),
            "troubles": [trouble.as_json() for trouble in self.troubles],
            "sure": self.sure,
        }

    @classmethod
    def from_json(cls, row: Mapping[str, Any]) -> Partial:
        """The partial out of a draft."""
        return cls(
            row["kind"], dict(row["slots"]), [Trouble.from_json(trouble) for trouble in row["troubles"]], bool(row.get("sure"))
        )
