"""What the words of one clause refer to: numbers with their nouns, fish, batches, places, people, days, each against the club.

A `Facts` reads one clause and keeps account of which tokens have been used; what is left over at the end was not understood.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import date

from bot.reading import days
from bot.reading.partial import Trouble
from bot.reading.pieces import Clause
from bot.reading.quantities import Counter
from bot.reading.scene import Quantity, Scene
from bot.reading.tokens import Token
from bot.reading.walk import Fish, Spot

TO = ("to", "into", "onto")
FROM = ("from", "off", "out of", "out")


class Facts:
    """One clause read against the club."""

    def __init__(self, clause: Clause, scene: Scene) -> None:
        self.clause, self.scene, self.names = clause, scene, scene.names
        self.tokens = clause.tokens
        self.used: set[int] = set()
        self.quantities = Counter(self.tokens, clause.verb).quantities()

    # --- words ---

    def has(self, *meanings: str) -> bool:
        """Whether a token of the clause can mean one of these."""
        return any(token.has(*meanings) for token in self.tokens)

    def where(self, *kinds: str) -> list[int]:
        """The positions of the tokens of these kinds."""
        return [n for n, token in enumerate(self.tokens) if token.kind in kinds]

    def before(self, n: int) -> str:
        """The word before a position, articles left out."""
        n -= 1
        while n >= 0 and self.tokens[n].text in ("the", "a", "an", "my", "our", "same", "new", "big", "little"):
            n -= 1
        return self.tokens[n].text if n >= 0 else ""

    def after(self, n: int) -> Token | None:
        """The token after a position."""
        return self.tokens[n + 1] if n + 1 < len(self.tokens) else None

    def verb_at(self) -> int:
        """The position of the clause's verb; -1 where none is said."""
        found = [n for n, token in enumerate(self.tokens) if f"verb:{self.clause.verb}" in token.means]
        return found[0] if found else -1

    def unknown_words(self) -> list[int]:
        """The positions of words that mean nothing here."""
        return [n for n, token in enumerate(self.tokens) if token.kind == "word" and not token.means]

    # --- numbers ---

    def use(self, quantity: Quantity) -> Quantity:
        """Mark a number as understood."""
        self.used.update(n for n in range(quantity.at, quantity.end) if self.tokens[n].kind != "batch")
        return quantity

    def free(self) -> list[Quantity]:
        """The numbers not yet used."""
        return [quantity for quantity in self.quantities if quantity.at not in self.used]

    # --- fish ---

    def fish(self, sex: str | None = None) -> list[str | Trouble]:
        """The labels of the fish named, of a sex where one is given; a label that does not exist is a trouble."""
        found: list[str | Trouble] = []
        for n in self.where("fish"):
            fish = self.tokens[n].value
            assert isinstance(fish, Fish)  # noqa: S101 a fish token has a fish
            if sex in (None, fish.sex) and n not in self.used:
                self.used.add(n)
                found.append(self.known(fish.sex, fish.label))
        return found

    def known(self, sex: str, label: str) -> str | Trouble:
        """The label where such a fish exists."""
        return label if label in self.names.fish(sex) else Trouble(sex, "unknown", f"{sex} {label}")

    def labelled(
        self, quantity: Quantity, sexes: Sequence[str] = ("female", "male"), about: str = "female"
    ) -> tuple[str, str] | Trouble:
        """A bare number as a label: its sex and label, or a trouble where both or neither have it."""
        label = str(quantity.value)
        having = [sex for sex in self.names.sexes_of(label) if sex in sexes]
        if len(having) == 1:
            return having[0], label
        if len(having) == 2:
            return Trouble(about, "ambiguous", label, tuple(f"{sex} {label}" for sex in having))
        return Trouble(about, "unknown", label)

    def described(self, sex: str) -> list[str] | None:
        """The fish meant by sex, strain and place without a label ("one of the lab females"); None where none is so described."""
        strains = [str(self.tokens[n].value) for n in self.where("strain")]
        sexed = [n for n in self.where("sex") if self.tokens[n].value == sex]
        if not sexed and not strains:
            return None
        places = self.place_names()
        return list(self.names.fish_of(sex, strains[0] if strains else None, places[0] if places else None))

    # --- batches and places ---

    def batches(self) -> list[str | Trouble]:
        """The batches named by letter."""
        found: list[str | Trouble] = []
        for n in self.where("batch"):
            if n not in self.used:
                self.used.add(n)
                found.append(self.known_batch(str(self.tokens[n].value)))
        return list(dict.fromkeys(found))

    def known_batch(self, letters: str) -> str | Trouble:
        """The batch where it exists."""
        return letters if letters in self.names.batches else Trouble("batch", "unknown", letters)

    def batch_like(self, places_too: bool = True) -> str | Trouble | None:
        """The one batch meant by strain, place or "that batch"; a trouble with the candidates where it may be several."""
        strains = [str(self.tokens[n].value) for n in self.where("strain")]
        spots = (
            [n for n in self.where("place") if self.before(n) not in TO or self.clause.verb not in ("move", "split")]
            if places_too
            else []
        )
        candidates = [
            letter for letter in self.names.batches if not strains or self.names.batches[letter].get("strain") == strains[0]
        ]
        unread = [n for n in self.unknown_words() if self.tokens[n - 1].text in ("of", "from", "off") and n and not strains]
        if unread and not any(self.before(n) in ("of", "from", "off") for n in spots):
            return Trouble("batch", "unknown", self.tokens[unread[0]].text)
        if not strains and not spots:
            return self._spoken_batch()
        if spots:
            place = self.place(spots[0], "batch")
            if isinstance(place, Trouble):
                return place
            candidates = [letter for letter in candidates if letter in self.names.batches_in(place)]
        self.used.update(self.where("strain"))
        self.used.update(spots[:1])
        if len(candidates) == 1:
            return candidates[0]
        return Trouble("batch", "ambiguous" if candidates else "unknown", "", tuple(candidates))

    def _spoken_batch(self) -> str | None:
        context, memory = self.scene.context, self.scene.memory
        if len(memory.batches) == 1:
            return memory.batches[0]
        if context.here and len(self.names.batches_in(context.here)) == 1:
            return self.names.batches_in(context.here)[0]
        if self.has("they") and context.batch and context.batch in self.names.batches:
            memory.taken.append(f"batch {context.batch}")
            return context.batch
        return None

    def place_names(self) -> list[str]:
        """The places of the clause that are known by name."""
        spots = [self.tokens[n].value for n in self.where("place")]
        return [spot.name for spot in spots if isinstance(spot, Spot) and spot.name]

    def place(self, n: int, slot: str) -> str | Trouble:
        """The place at a position; only a type ("the box") is a trouble with the places of that type, unless there is one."""
        spot = self.tokens[n].value
        self.used.add(n)
        assert isinstance(spot, Spot)  # noqa: S101 a place token has a spot
        if spot.name:
            return spot.name
        if (spot.said or spot.type) in self.scene.memory.new_places:
            return str(spot.said or spot.type)
        if spot.type:
            options = self.names.places_of_type(spot.type)
            return options[0] if len(options) == 1 else Trouble(slot, "ambiguous" if options else "unknown", spot.said, options)
        return Trouble(slot, "unknown", spot.said)

    def destination(
        self, slot: str = "to", prepositions: Sequence[str] = (*TO, "in", "->", "→", "=>", "»", "at", "-->")
    ) -> str | Trouble | None:
        """Where something goes: the place after "to" or "into", else the last that is not where it comes from."""
        spots = [n for n in self.where("place") if n not in self.used and self.before(n) not in FROM]
        sources = [n for n in spots if n + 2 in spots and self.tokens[n + 1].text in TO]
        self.used.update(sources)
        stays = next((n for n, token in enumerate(self.tokens) if token.text == "after"), len(self.tokens))  # "after his week in qt"
        spots = [n for n in spots if n not in sources and not (n > stays and spots[0] < stays)]
        aimed = [n for n in spots if self.before(n).rpartition(" ")[2] in TO or (n and self.tokens[n - 1].kind == "arrow")]
        inside = [n for n in spots if self.before(n) in prepositions]
        for chosen in (aimed, inside, spots):
            if chosen:
                for n in self.where("place"):
                    if self.before(n) in FROM:
                        self.used.add(n)
                return self.place(chosen[-1], slot)
        unknown = [n for n in self.unknown_words() if self.before(n) in TO]
        if unknown:
            self.used.add(unknown[-1])
            return Trouble(slot, "unknown", self.tokens[unknown[-1]].text)
        return None

    # --- people, days, money ---

    def day(self, direction: days.Direction, slot: str = "on") -> date | Trouble | None:
        """The day the clause names (or the head of the message); None where none is named."""
        spans = [n for n in self.where("day") if n not in self.used]
        self.used.update(spans)
        if any(self._doubted(n) for n in spans):
            return Trouble(slot, "ambiguous", self.tokens[spans[0]].text)
        spans = [n for n in spans if not self._day_of_hers(n)]
        found = [self.tokens[n].value for n in spans]
        head = self.scene.memory.head_day
        chosen = [span for span in found if isinstance(span, days.DaySpan)] or ([head] if head else [])
        if self.clause.verb not in ("hold", "test") and any(span.words.startswith("for ") for span in chosen):
            return Trouble(slot, "ambiguous", chosen[0].words)
        results = {days.resolve(span, self.scene.now, direction, self.names.date_order) for span in chosen}
        if not results:
            return self._since_something(slot)
        if len(results) > 1:
            return self._one_of(results, slot)
        result = results.pop()
        if isinstance(result, days.DayTrouble):
            return Trouble(slot, result.why, chosen[0].words, tuple(day.isoformat() for day in result.options))
        if self.names.club_began and direction == "past" and result < self.names.club_began:
            return Trouble(slot, "implausible", chosen[0].words)
        return result

    def _day_of_hers(self, n: int) -> bool:
        """ "still holding, day 8", "stripped on day 13": a count of her days that agrees with the book says nothing new of the date."""
        told = re.fullmatch(r"day (\d{1,2})", self.tokens[n].text)
        labels = [fish.label for token in self.tokens if isinstance(fish := token.value, Fish) and fish.sex == "female"]
        labels += [str(quantity.value) for quantity in self.quantities if quantity.bare and str(quantity.value) in self.names.females]
        since = self.names.females.get(labels[0], {}).get("holding_since") if told and labels else None
        if told is None or not since:
            return False
        return (self.scene.now.date() - date.fromisoformat(str(since))).days in (int(told.group(1)), int(told.group(1)) - 1)

    def _doubted(self, n: int) -> bool:
        """ "maybe since tuesday"."""
        before = [token for token in self.tokens[max(0, n - 2) : n] if token.text != "since"]
        return bool(before) and before[-1].has("hedge")

    def _one_of(self, results: set[date | days.DayTrouble], slot: str) -> Trouble:
        options = sorted(day.isoformat() for day in results if isinstance(day, date))
        return Trouble(slot, "ambiguous", " / ".join(options), tuple(options))

    def _since_something(self, slot: str) -> Trouble | None:
        for n, token in enumerate(self.tokens):
            following = self.after(n)
            if token.text == "since" and following is not None and n not in self.used:
                return Trouble(slot, "unknown", following.text)
        return None

    def clock(self, slot: str = "at") -> str | Trouble | None:
        """The time of day, HH:MM; a bare "at 3" of a pickup is the afternoon."""
        found = [n for n in self.where("clock") if n not in self.used]
        self.used.update(found)
        values = {self.tokens[n].value for n in found}
        if not values:
            return self._bare_hour(slot)
        value = values.pop()
        if values or value is None:
            return Trouble(slot, "impossible" if value is None else "ambiguous", self.tokens[found[0]].text)
        return str(value)

    def _bare_hour(self, slot: str) -> str | Trouble | None:
        for quantity in self.free():
            if (
                (quantity.bare or self.before(quantity.at) in ("around", "about"))
                and not (quantity.noun or quantity.sex)
                and self.before(quantity.at) in ("at", "@", "around", "about")
                and isinstance(quantity.value, int)
                and 0 < quantity.value < 24
            ):
                self.use(quantity)
                hour = quantity.value
                if hour in (6, 7):
                    return Trouble(slot, "ambiguous", str(hour), (f"{hour:02}:00", f"{hour + 12}:00"))
                return f"{hour + 12 if hour < 6 else hour:02}:00"
        return None

    def member(self, *prepositions: str) -> str | Trouble | None:
        """The member named after one of the prepositions (anywhere where none is given); an unknown name is a trouble."""
        for n in self.where("member"):
            if n not in self.used and (not prepositions or self.before(n) in prepositions):
                self.used.add(n)
                return str(self.tokens[n].value)
        for n in self.unknown_words():
            if prepositions and n not in self.used and self.tokens[n - 1].text in prepositions and n:
                self.used.add(n)
                return Trouble("member", "unknown", self.tokens[n].text)
        pronoun = any(self.before(n) in prepositions for n, token in enumerate(self.tokens) if token.text in ("her", "him", "them"))
        return self.scene.memory.member if pronoun and not self.where("member") else None

    def money(self, slot: str) -> str | Trouble | None:
        """An amount with two decimals: "$5", "5 bucks", or "at 5 each"."""
        found = [n for n in self.where("money") if n not in self.used]
        self.used.update(found)
        if len(found) > 1:
            return Trouble(slot, "ambiguous", " / ".join(self.tokens[n].text for n in found))
        if found:
            return str(self.tokens[found[0]].value)
        for quantity in self.free():
            following = self.tokens[quantity.end] if quantity.end < len(self.tokens) else None
            priced = self.before(quantity.at) in ("at", "@", "price", "asking", "priced", "for")
            cents = isinstance(quantity.value, float) and len(quantity.said.partition(".")[2]) == 2
            each = following is not None and following.has("each")
            if quantity.bare and quantity.value is not None and ((each and (priced or cents)) or (priced and cents)):
                self.use(quantity)
                return f"{float(quantity.value):.2f}"
        return None

    def price_after_at(self) -> str | None:
        """A bare number after "at", or before "each", where something is for sale: "offering A at 5", "A for sale, 5 each"."""
        for quantity in self.free():
            after = self.tokens[quantity.end] if quantity.end < len(self.tokens) else None
            last = after is None or after.text == "from" or after.kind not in ("word", "sex", "strain")
            each = after is not None and after.has("each")
            if (
                quantity.bare
                and quantity.value is not None
                and (each or (last and self.before(quantity.at) in ("at", "@", "for")))
            ):
                self.use(quantity)
                return f"{float(quantity.value):.2f}"
        return None

    def suspects(self) -> list[str]:
        """Words that look like misspelt words of the trade, and were not understood."""
        return [token.text for n, token in enumerate(self.tokens) if token.note == "suspect" and n not in self.used]

    def leftovers(self) -> list[str]:
        """Numbers, names and values that nothing has made use of: what was not understood."""
        telling = (
            "number",
            "range",
            "fraction",
            "fish",
            "batch",
            "reservation",
            "hash",
            "money",
            "percent",
            "length",
            "volume",
            "weight",
            "temp",
            "suffixed",
            "dotted",
            "hours",
            "clock",
        )
        return [
            token.text
            for n, token in enumerate(self.tokens)
            if token.kind in telling and n not in self.used and token.text != "one"
        ]
