"""The club as a reader sees it: which fish, batches, places, people and strains there are, and by what words they go.

`Names.from_json` takes the plain form that `frywire read --club` reads; every derived index is built once and kept.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property
from typing import Any, cast

Row = Mapping[str, Any]
PLACE_TYPES = ("tank", "box", "tub", "pond")
MENDABLE = 4
"""Letters from which a misspelt word of a name is mended."""


@dataclass(frozen=True)
class Names:
    """The names of one fishroom and its club, with what is needed to tell what is possible."""

    date_order: str = "DMY"
    units: str = "metric"
    members: tuple[str, ...] = ()
    strains: Mapping[str, Row] = field(default_factory=dict)
    places: tuple[str, ...] = ()
    place_names: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    females: Mapping[str, Row] = field(default_factory=dict)
    males: Mapping[str, Row] = field(default_factory=dict)
    batches: Mapping[str, Row] = field(default_factory=dict)
    reservations: Mapping[str, Row] = field(default_factory=dict)
    guests: tuple[str, ...] = ()
    tasks: tuple[int, ...] = ()
    club_began: date | None = None
    profiles: Mapping[str, str] = field(default_factory=dict)
    """Common and scientific names of the species profiles -> profile key: strains that a club knows without being told."""

    beneath: Names | None = None
    """Names that a whole club shares (people, strains, profiles), worked out once for all its messages; these come before them."""

    @classmethod
    def from_json(cls, club: Mapping[str, Any], profiles: Mapping[str, str] | None = None) -> Names:
        """The names out of the JSON form of a club; keys that are missing have their defaults."""
        began = club.get("club_began")
        return cls(
            date_order=club.get("date_order", "DMY"),
            units=club.get("units", "metric"),
            members=tuple(club.get("members", ())),
            strains=club.get("strains", {}),
            places=tuple(str(place).lower() for place in club.get("places", ())),
            place_names={str(k).lower(): tuple(v) for k, v in club.get("place_names", {}).items()},
            females={str(k): v for k, v in club.get("females", {}).items()},
            males={str(k): v for k, v in club.get("males", {}).items()},
            batches={str(k).upper(): v for k, v in club.get("batches", {}).items()},
            reservations={str(k): v for k, v in club.get("reservations", {}).items()},
            guests=tuple(club.get("guests", ())),
            tasks=tuple(club.get("tasks", ())),
            club_began=date.fromisoformat(began) if isinstance(began, str) else began,
            profiles=profiles if profiles is not None else club.get("profiles", {}),
        )

    def fish(self, sex: str) -> Mapping[str, Row]:
        """The known fish of a sex, by label."""
        return self.females if sex == "female" else self.males

    def sexes_of(self, label: str) -> tuple[str, ...]:
        """Which sexes have a fish of this label."""
        return tuple(sex for sex in ("female", "male") if label in self.fish(sex))

    def batches_in(self, place: str) -> tuple[str, ...]:
        """The batches with fish in the place, in the order they were given."""
        return tuple(letter for letter, row in self.batches.items() if place in places_of(row))

    def batches_of(self, strain: str) -> tuple[str, ...]:
        """The batches of a strain."""
        return tuple(letter for letter, row in self.batches.items() if row.get("strain") == strain)

    def fish_of(self, sex: str, strain: str | None, place: str | None = None) -> tuple[str, ...]:
        """The labels of a sex, of a strain and in a place where these are given."""
        return tuple(
            label
            for label, row in self.fish(sex).items()
            if (strain is None or row.get("strain") == strain) and (place is None or row.get("place") == place)
        )

    def places_of_type(self, kind: str) -> tuple[str, ...]:
        """The places whose name says that they are of the type ("box" -> "box 1", "box 2")."""
        return tuple(place for place in self.places if kind in (place.split()[0], place.split()[-1], place.rpartition(" ")[0]))

    @cached_property
    def lettered(self) -> Mapping[str, str]:
        """Places whose number has a letter, by it: "tank a1" by "a1" and "tank a1"; "f1" and "m1" alone stay fish."""
        found: dict[str, str] = {}
        for place in self.places:
            label = place.split()[-1]
            if re.fullmatch(r"[a-z]{1,2}\d{1,3}", label):
                found[place] = place
                if label[0] not in "fm" or len(label.rstrip("0123456789")) > 1:
                    found.setdefault(label, place)
        return found

    @cached_property
    def place_heads(self) -> frozenset[str]:
        """The words that the club numbers its places by ("vat" of "vat 1"): types of its own."""
        return frozenset(place.rpartition(" ")[0] for place in self.places if place.rpartition(" ")[2].isdigit())

    def open_reservations(self, member: str | None = None) -> tuple[str, ...]:
        """The numbers of reservations that still stand, of a member where one is given."""
        return tuple(
            number
            for number, row in self.reservations.items()
            if row.get("status", "open") in ("open", "held", "confirmed", "part")
            and (member is None or row.get("member") == member)
        )

    def fish_in(self, place: str) -> int:
        """How many fish the book has in a place: breeders, and batches (in part where groups are told)."""
        breeders = sum(row.get("place") == place for fish in (self.females, self.males) for row in fish.values())
        return int(breeders) + sum(count_in(row, place) for row in self.batches.values())

    @cached_property
    def phrases(self) -> dict[str, tuple[str, str]]:
        """Every name in lower case -> (what it is, its key): the words that mean something only here."""
        found = self._own_phrases
        return {**self.beneath.phrases, **found} if self.beneath else found

    @cached_property
    def _own_phrases(self) -> dict[str, tuple[str, str]]:
        found: dict[str, tuple[str, str]] = {}
        for kind, key, names in self._named():
            for name in (*names, *(name.replace("-", "") for name in names if "-" in name)):
                text = " ".join(plain(name).split())
                if text:
                    found.setdefault(text, (kind, key))
        return found

    def _named(self) -> Iterable[tuple[str, str, tuple[str, ...]]]:
        yield from self._named_here()
        yield from self._named_in_club()

    def _named_here(self) -> Iterable[tuple[str, str, tuple[str, ...]]]:
        for place in self.places:
            yield "place", place, (place, *self.place_names.get(place, ()))
        for sex in ("female", "male"):
            for label, row in self.fish(sex).items():
                nickname = row.get("nickname")
                if nickname:
                    yield sex, label, (nickname,)
                if not label.isdigit() and len(label) > 2:
                    yield sex, label, (label,)

    def _named_in_club(self) -> Iterable[tuple[str, str, tuple[str, ...]]]:
        """People, strains and profiles, but for those that are beneath already."""
        for member in () if self.beneath else (*self.members, *self.guests):
            yield "member", member, (member,)
        known: Mapping[str, Row] = self.beneath.strains if self.beneath else {}
        for key, row in self.strains.items():
            if known.get(key) == row:
                continue
            names = tuple(row.get("names", ()))
            species = (row["species"],) if row.get("species") else ()
            singular = tuple(name[:-1] for name in names if name.endswith("s") and len(name) >= 4)
            yield "strain", key, (*names, *species, key, key.replace("-", " "), *singular, *(plural(name) for name in names))
        for name, key in () if self.beneath else self.profiles.items():
            yield "profile", key, (name, plural(name))

    @cached_property
    def words(self) -> frozenset[str]:
        """The single words of the names, which a misspelt word may be mended to."""
        own = frozenset(word for phrase in self._own_phrases for word in phrase.split())
        return own | self.beneath.words if self.beneath else own

    @cached_property
    def longest(self) -> int:
        """How many words the longest name has."""
        own = max((len(phrase.split()) for phrase in self._own_phrases), default=0)
        return max(own, self.beneath.longest) if self.beneath else own

    @cached_property
    def mendable(self) -> tuple[str, ...]:
        """The words of names that are long enough for a misspelling to be sure, in order."""
        own = [word for phrase in self._own_phrases for word in phrase.split() if len(word) >= MENDABLE and not word.isdigit()]
        return tuple(sorted({*own, *(self.beneath.mendable if self.beneath else ())}))


def lettered_name(type_: str, label: str) -> str:
    """What a place labelled by a letter and a number is called: "a1"; with its type where that alone means something else ("tank f1")."""
    return label if re.fullmatch(r"[a-z]\d{1,3}", label) and label[0] not in "bfmt" else f"{type_} {label}"


def plural(name: str) -> str:
    """The plural of a strain's name."""
    return f"{name[:-1]}ies" if name.endswith("y") else f"{name}s"


def plain(name: str) -> str:
    """A name as the tokeniser sees it: lower case, apostrophes and hyphens out."""
    lowered = name.lower().replace("-", " ").replace(".", " ")
    return "".join(letter for letter in lowered if letter not in "'’`´")


def places_of(row: Row) -> tuple[str, ...]:
    """Where the fish of a batch are."""
    groups = cast("list[Row]", row.get("groups") or ())
    return tuple(dict.fromkeys(str(group["place"]) for group in groups)) or (str(row.get("place") or ""),)


def count_in(row: Row, place: str) -> int:
    """How many of a batch are in a place."""
    groups = cast("list[Row]", row.get("groups") or ())
    if groups:
        return sum(int(group.get("count") or 0) for group in groups if group.get("place") == place)
    return int(row.get("count") or 0) if row.get("place") == place else 0
