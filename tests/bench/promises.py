"""Promises kept and fish sold under three rules, over many drawn seasons of a club: `python -m tests.bench.promises [seasons]`.

* all: promise everything that is counted and not yet promised;
* half: promise half of what is counted;
* frywire: promise what `core.planning` says can be promised, at the club's level (0.9).

All rules meet the same fish and the same buyers (`tests.bench.season`); a buyer who cannot have all takes what there is if it
is at least half. *Kept*: promises handed over in full on the day. *Sold of oracle*: fish handed over, as a share of what somebody
could hand over who knows every fish's day of death, length and sex, and takes the same buyers as they come. *Found early*: of the
promises that failed, those of which the book showed it before the pickup day. The last line is one JSON object.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from core.planning.promises import Now, how_it_stands, shortfalls
from core.planning.standing import Ask, promise_asked
from core.planning.together import most
from tests.bench.season import COUNT_EVERY, DAYS, LOOK_EVERY, SEXED_FROM_MM, Buyer, Season, draw
from tests.bench.tub import Promised, Tub, day_of, moment_of

SEASONS = 1000
LEVELS = (0.6, 0.75, 0.9, 0.97)


# --- the rules -------------------------------------------------------------------------------------------------------


class PromiseShare:
    """Promise a share of what is counted."""

    def __init__(self, share: float) -> None:
        self.share = share

    def can(self, tub: Tub, buyer: Buyer, day: int) -> int:
        """As many as are free of the share, whatever their size; by sex, of those known."""
        open_ones = [one for one in tub.promised if one.handed_over is None]
        free = int(self.share * tub.batch.count) - sum(one.count for one in open_ones)
        return max(0, min(buyer.count, free))

    def short(self, tub: Tub, day: int) -> set[int]:
        """Promises beyond the bare count, the latest first."""
        left, short = tub.batch.count, set()
        for one in (one for one in tub.promised if one.handed_over is None):
            left -= one.count
            if left < 0:
                short.add(one.number)
        return short


class Frywire:
    """Promise what the planning code says."""

    def __init__(self, level: float) -> None:
        self.level = level

    def can(self, tub: Tub, buyer: Buyer, day: int) -> int:
        """The most that keeps the level."""
        room = tub.room()
        how = how_it_stands(room, room.batches["A"], Now(day_of(day), moment_of(day), self.level))
        ask = Ask(buyer.count, None, buyer.males, buyer.females, buyer.min_mm or None, day_of(buyer.fetches_on))
        promise = promise_asked(ask, how.prospect, how.stock)
        firm = how.firm(self.level)
        free = min(buyer.count, how.stock.count - how.promised)
        if free >= buyer.count and how.chance((*firm, promise)) >= self.level:
            return buyer.count
        return most(lambda count: how.chance((*firm, promise.of(count))) if count else 1.0, max(0, free), self.level)

    def short(self, tub: Tub, day: int) -> set[int]:
        """What the planning code calls short."""
        return {one.reservation.number for one in shortfalls(tub.room(), Now(day_of(day), moment_of(day), self.level))}


Rule = PromiseShare | Frywire


def play(season: Season, rule: Rule) -> list[Promised]:
    """A season under a rule."""
    tub = Tub(season)
    for day in range(DAYS):
        news = day > 0 and day % LOOK_EVERY == 0 and tub.look(day)
        if day % COUNT_EVERY == 0:
            tub.count(day)
            news = True
        if news and any(one.handed_over is None for one in tub.promised):
            short = rule.short(tub, day)
            for one in tub.promised:
                one.warned |= one.number in short and one.buyer.fetches_on > day
        for one in tub.promised:
            if one.buyer.fetches_on == day and one.handed_over is None:
                tub.hand_over(one, day)
        for number, buyer in enumerate(season.buyers):
            if buyer.asks_on == day and (can := rule.can(tub, buyer, day)) * 2 >= buyer.count:
                tub.promised.append(Promised(number, buyer, can))
    return tub.promised


# --- the oracle ------------------------------------------------------------------------------------------------------


def oracle(season: Season) -> int:
    """Fish that somebody who knows every fish could hand over to the same buyers, taken as they come."""
    given: dict[int, int] = {}
    slots: list[list[int]] = []
    total = 0
    for buyer in season.buyers:
        before, held = dict(given), len(slots)
        got = 0
        for sex, count in (("male", buyer.males), ("female", buyer.females), (None, buyer.either)):
            fits = _fitting(season, buyer, sex)
            for _ in range(count):
                slots.append(fits)
                if _find(len(slots) - 1, slots, given, set()):
                    got += 1
                else:
                    slots.pop()
                    break
        if got * 2 >= buyer.count:
            total += got
        else:
            given, slots = before, slots[:held]
    return total


def _fitting(season: Season, buyer: Buyer, sex: str | None) -> list[int]:
    lengths = season.lengths(buyer.fetches_on)
    fits = (season.dies_on > buyer.fetches_on) & (lengths >= buyer.min_mm)
    if sex is not None:
        fits &= (season.is_male == (sex == "male")) & (lengths >= SEXED_FROM_MM)
    return [int(fish) for fish in np.flatnonzero(fits)]


def _find(slot: int, slots: Sequence[list[int]], given: dict[int, int], seen: set[int]) -> bool:
    """An augmenting path that gives the slot a fish (Kuhn's algorithm)."""
    for fish in slots[slot]:
        if fish not in seen:
            seen.add(fish)
            if fish not in given or _find(given[fish], slots, given, seen):
                given[fish] = slot
                return True
    return False


# --- the table -------------------------------------------------------------------------------------------------------


@dataclass(slots=True)
class Tally:
    """What a rule did over all seasons."""

    promises: int = 0
    kept: int = 0
    sold: int = 0
    failed: int = 0
    warned: int = 0

    def add(self, promised: Sequence[Promised]) -> None:
        """One more season."""
        failed = [one for one in promised if not one.kept]
        self.promises += len(promised)
        self.kept += len(promised) - len(failed)
        self.sold += sum(one.handed_over or 0 for one in promised)
        self.failed += len(failed)
        self.warned += sum(one.warned for one in failed)

    def figures(self, could: int) -> dict[str, float]:
        """The three figures."""
        return {
            "kept": round(self.kept / max(1, self.promises), 4),
            "sold_of_oracle": round(self.sold / max(1, could), 4),
            "found_early": round(self.warned / max(1, self.failed), 4),
        }


def study(rules: dict[str, Rule], seasons: int, seed: int = 2026) -> dict[str, dict[str, float]]:
    """All rules over the same seasons."""
    rng = np.random.default_rng(seed)
    tallies = {name: Tally() for name in rules}
    could = 0
    for _ in range(seasons):
        season = draw(rng)
        could += oracle(season)
        for name, rule in rules.items():
            tallies[name].add(play(season, rule))
    return {name: tally.figures(could) for name, tally in tallies.items()}


def show(found: dict[str, dict[str, float]]) -> None:
    """The table."""
    print(f"{'rule':<16}{'kept on the day':>18}{'sold of oracle':>18}{'found early':>14}")
    for name, row in found.items():
        print(f"{name:<16}{row['kept']:>18.1%}{row['sold_of_oracle']:>18.1%}{row['found_early']:>14.1%}")


def main() -> None:
    """Print the table, the frontier where the goal is missed, and the figures as JSON."""
    seasons = int(sys.argv[1]) if len(sys.argv) > 1 else SEASONS
    rules: dict[str, Rule] = {"frywire": Frywire(0.9), "all": PromiseShare(1.0), "half": PromiseShare(0.5)}
    found = study(rules, seasons)
    print(f"{seasons} seasons")
    show(found)
    if found["frywire"]["kept"] < 0.95 or found["frywire"]["sold_of_oracle"] < 0.90:
        frontier = study({f"level {level:g}": Frywire(level) for level in LEVELS}, max(20, seasons // 8))
        print("frontier over promise levels:")
        show(frontier)
    print(json.dumps(found))


if __name__ == "__main__":
    main()
