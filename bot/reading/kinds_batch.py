"""What happens to batches of young fish, and to fish in places: moved, counted, died, measured, sexed, split, merged, kept, culled, sold."""

from __future__ import annotations

from decimal import Decimal

from bot.reading.facts import TO, Facts
from bot.reading.kinds_fish import called, left, on_day, put_count
from bot.reading.partial import Partial, Trouble
from bot.reading.scene import Quantity
from bot.reading.walk import Fish


def the_batch(facts: Facts, partial: Partial, slot: str = "batch") -> None:
    """Fill the one batch a clause is about: by letter, else by strain and place, else the one spoken of."""
    named = facts.batches()
    if len(named) > 1:
        partial.put(slot, Trouble(slot, "ambiguous", "", tuple(str(letter) for letter in named if isinstance(letter, str))))
    elif named:
        partial.put(slot, named[0])
    else:
        found = facts.batch_like()
        partial.put(slot, found if found is not None else Trouble(slot))


def the_count(facts: Facts, partial: Partial, needed: bool = True) -> Quantity | None:
    """Fill the count, and the sex where the number has one."""
    counts = [quantity for quantity in facts.free() if quantity.noun != "egg"]
    if len(counts) == 1:
        put_count(facts, partial, counts[0])
        partial.put("sex", counts[0].sex or lone_sex(facts))
        return counts[0]
    if counts:
        for quantity in counts:
            facts.use(quantity)
        partial.put("count", Trouble("count", "ambiguous", " / ".join(quantity.said for quantity in counts)))
    elif needed:
        partial.put("count", Trouble("count"))
    return None


def lone_sex(facts: Facts) -> str | None:
    """A sex said without a number ("split the males out of A")."""
    inside = {n for quantity in facts.quantities for n in range(quantity.at, quantity.end)}
    found = {str(facts.tokens[n].value) for n in facts.where("sex") if n not in inside}
    return found.pop() if len(found) == 1 else None


def moved(facts: Facts) -> list[Partial]:
    """A fish, a batch or part of one goes to a place; letters going into letters are merged."""
    letters = facts.where("batch")
    beside = any(token.text in ("next", "beside", "near", "alongside", "behind", "close") for token in facts.tokens)
    if len(letters) == 2 and not facts.where("place") and facts.before(letters[1]) in TO and not facts.quantities and not beside:
        return merged(facts)
    to = facts.destination()
    partials: list[Partial] = []
    for n in facts.where("fish"):
        fish = facts.tokens[n].value
        if isinstance(fish, Fish):
            facts.used.add(n)
            partial = Partial("moved")
            partial.put(fish.sex, facts.known(fish.sex, fish.label))
            partials.append(partial)
    for n in facts.where("batch"):
        facts.used.add(n)
        partial = Partial("moved")
        partial.put("batch", facts.known_batch(str(facts.tokens[n].value)))
        partials.append(partial)
    if letters and facts.where("fish") and letters[0] < facts.where("fish")[0]:
        partials = [*partials[-len(letters) :], *partials[: -len(letters)]]
    if not partials:
        partials = [_unnamed_mover(facts)]
    if len(partials) == 1 and "batch" in slots_of(partials[0]):
        _part_of_batch(facts, partials[0])
    for partial in partials:
        partial.put("to", to if to is not None else Trouble("to"))
    on_day(facts, *partials)
    return partials


def slots_of(partial: Partial) -> set[str]:
    """The slots that a partial has told of, in trouble or not."""
    return set(partial.slots) | {trouble.slot for trouble in partial.troubles}


def _unnamed_mover(facts: Facts) -> Partial:
    partial = Partial("moved")
    memory, context = facts.scene.memory, facts.scene.context
    sexes = {str(facts.tokens[n].value) for n in facts.where("sex")}
    bare = [quantity for quantity in facts.free() if quantity.bare]
    pronoun = next((token.text for token in facts.tokens if token.has("bare_pronoun", "he")), "")
    her = "male" if any(token.has("he") for token in facts.tokens) else "female"
    spoken = (memory.female or context.female) if her == "female" else (memory.male or context.male)
    if pronoun and spoken and spoken in facts.names.fish(her):
        if spoken not in (memory.female, memory.male):
            memory.taken.append(f"{her} {spoken}")
        partial.put(her, spoken)
        return partial
    if pronoun and pronoun not in ("its",):
        partial.put(her, Trouble(her))
        return partial
    singular = [
        sex
        for sex in ("female", "male")
        if sex in sexes and not any(quantity.sex for quantity in facts.quantities) and not facts.has("fry")
    ]
    if singular and facts.where("strain", "place"):
        return _described_mover(facts, partial, singular[0])
    if (
        bare
        and not facts.where("strain")
        and not any(facts.before(n) in ("from", "off", "out of") for n in facts.where("place"))
        and not facts.has("fry")
    ):
        facts.use(bare[0])
        result = facts.labelled(bare[0])
        options = result.options if isinstance(result, Trouble) else ()
        partial.put("female", Trouble("female", "ambiguous", str(bare[0].value), options))
        return partial
    strange = _stranger(facts)
    if strange is not None:
        partial.put("female", strange)
        return partial
    if facts.has("they", "fry") or facts.where("strain", "place") or facts.free():
        found = facts.batch_like()
        partial.put("batch", found if found is not None else Trouble("batch"))
        return partial
    partial.put("female", Trouble("female"))
    return partial


def _stranger(facts: Facts) -> Trouble | None:
    """ "moved Waffles to qt": a name that no fish of the club has, where the one who was moved stands."""
    if facts.has("they", "fry") or facts.where("strain", "sex") or facts.free():
        return None
    said = (n for n, token in enumerate(facts.tokens) if token.kind != "punct" and token.text not in ("and", "my", "the", "our"))
    at = next((n for n in said if n > facts.verb_at()), -1)
    return Trouble("female", "unknown", facts.tokens[at].text) if at in facts.unknown_words() else None


def _described_mover(facts: Facts, partial: Partial, sex: str) -> Partial:
    strains = [str(facts.tokens[n].value) for n in facts.where("strain")]
    labels = facts.names.fish_of(sex, strains[0] if strains else None)
    partial.put(sex, labels[0] if len(labels) == 1 and strains else Trouble(sex, "ambiguous", "", labels))
    return partial


def _part_of_batch(facts: Facts, partial: Partial) -> None:
    counts = [quantity for quantity in facts.free() if not (quantity.value is None and quantity.said.startswith("rest"))]
    facts.used.update(quantity.at for quantity in facts.free() if quantity not in counts)  # the rest, and so all of it, is there then
    whole = facts.names.batches.get(str(partial.slots.get("batch")), {}).get("count")
    if len(counts) == 1 and facts.has("all") and counts[0].value == whole:
        facts.use(counts[0])
        return
    if counts:
        the_count(facts, partial, needed=False)
    else:
        partial.put("sex", lone_sex(facts))


def counted(facts: Facts) -> list[Partial]:
    """How many a batch holds now; several batches with a number each are several counts."""
    batches = facts.batches()
    counts = [quantity for quantity in facts.free() if quantity.noun != "egg"]
    if len(batches) > 1 and len(batches) == len(counts):
        partials = []
        for batch, quantity in zip(batches, counts, strict=True):
            partial = Partial("counted")
            partial.put("batch", batch)
            put_count(facts, partial, quantity)
            partials.append(partial)
        on_day(facts, *partials)
        return partials
    partial = Partial("counted")
    if len(batches) == 1:
        partial.put("batch", batches[0])
    else:
        found = facts.batch_like() if not batches else Trouble("batch", "ambiguous", "", tuple(str(b) for b in batches))
        partial.put("batch", found if found is not None else Trouble("batch"))
    quantity_used = the_count(facts, partial)
    if quantity_used and any(token.has("deformed") for token in facts.tokens[quantity_used.at : quantity_used.end]):
        partial.slots.pop("count", None)
        partial.put("count", Trouble("count", "ambiguous", quantity_used.said))
    partial.slots.pop("sex", None)
    if quantity_used and quantity_used.sex and quantity_used.sex != "unsexed":
        partial.put("count", Trouble("count", "ambiguous", quantity_used.said))
    on_day(facts, partial)
    return [partial]


def perhaps_counted(facts: Facts) -> list[Partial]:
    """ "B 30": it may be a count; that is asked."""
    partials = counted(facts)
    for partial in partials:
        if "count" in partial.slots:
            value = str(partial.slots.pop("count"))
            partial.put("count", Trouble("count", "uncertain", value, (value,)))
    return partials


def split(facts: Facts) -> list[Partial]:
    """Part of a batch becomes a batch of its own."""
    partial = Partial("split")
    partial.put("new", called(facts, "new"))
    partial.put("to", facts.destination(prepositions=(*TO, "in")))
    the_batch(facts, partial)
    for quantity in facts.free():
        if facts.before(quantity.at) in ("into", "in"):
            facts.use(quantity)
            partial.put("count", Trouble("count", "ambiguous", quantity.said))
    the_count(facts, partial, needed=False)
    if "count" not in slots_of(partial):
        partial.put("sex", lone_sex(facts) or Trouble("count"))
    on_day(facts, partial)
    return [partial]


def merged(facts: Facts) -> list[Partial]:
    """Batches put together under the name of one of them."""
    partial = Partial("merged")
    into = [str(facts.tokens[n].value) for n in facts.where("batch") if _names_the_whole(facts, n)]
    batches = facts.batches()
    unknown = next((batch for batch in batches if isinstance(batch, Trouble)), None)
    letters = [batch for batch in batches if isinstance(batch, str)]
    if unknown is not None:
        slot = "into" if into and unknown.value == into[-1] and len(letters) > 1 else "batches"
        partial.put(slot, Trouble(slot, "unknown", unknown.value))
    elif len(letters) < 2:
        partial.put("batches", Trouble("batches", "missing"))
    partial.slots["batches"] = letters
    chosen = set(into) & set(letters)
    partial.put(
        "into", chosen.pop() if len(chosen) == 1 else Trouble("into", "missing", "", tuple(letters)) if unknown is None else None
    )
    the_rest = facts.where("place")
    facts.used.update(the_rest)
    on_day(facts, partial)
    return [partial]


def _names_the_whole(facts: Facts, n: int) -> bool:
    before = [token for token in facts.tokens[max(0, n - 3) : n] if token.text not in ("the", "batch")]
    last = before[-1] if before else None
    if last is None:
        return False
    after = facts.after(n)
    if (
        last.text in ("all", "under", "becomes", "=", "everything is", "now", "->", "as", "just", "only", "is")
        or last.kind == "arrow"
        or (last.has("call_it") and last.text != "to")
    ):
        return True
    if last.text in ("into", "to", "in with", "onto", "in"):
        return True
    return bool(after and after.text in ("now",) and len(before) > 1 and not last.has("with"))


def held_back(facts: Facts) -> list[Partial]:
    """Some of a batch are kept as future breeders; "2 males and 3 females of A" are told one sex after the other."""
    sexed = [quantity for quantity in facts.free() if quantity.sex and isinstance(quantity.value, int)]
    if sorted(str(quantity.sex) for quantity in sexed) == ["female", "male"] and len(facts.free()) == 2:
        partials = [Partial("held_back", {"count": facts.use(quantity).value, "sex": quantity.sex}) for quantity in sexed]
    else:
        partials = [Partial("held_back")]
        the_count(facts, partials[0])
    the_batch(facts, partials[0])
    for partial in partials[1:]:
        partial.put("batch", partials[0].slots.get("batch"))
    on_day(facts, *partials)
    return partials


def culled(facts: Facts) -> list[Partial]:
    """Fish taken out for faults."""
    partial = Partial("culled")
    the_batch(facts, partial)
    the_count(facts, partial)
    partial.slots.pop("sex", None)
    on_day(facts, partial)
    return [partial]


def sold(facts: Facts) -> list[Partial]:
    """Gone without a reservation; a known fish that was sold has left."""
    if facts.where("fish") and not facts.where("batch"):
        return left(facts)
    partial = Partial("sold")
    member = facts.member("to", "for", "with") or facts.member()
    the_batch(facts, partial)
    price = facts.money("price") or _for_the_lot(facts)
    bare = [quantity for quantity in facts.free() if quantity.bare]
    if (
        "batch" not in partial.slots
        and len(bare) == 1
        and not facts.where("strain", "place", "batch")
        and facts.names.sexes_of(str(bare[0].value))
    ):
        result = facts.labelled(facts.use(bare[0]))
        partial.troubles.insert(
            0, Trouble("female", "ambiguous", str(bare[0].value), result.options if isinstance(result, Trouble) else ())
        )
        partial.kind = "left"
    else:
        the_count(facts, partial)
    partial.put("member", member)
    partial.put("price", _of_all(facts, price, partial.slots.get("count")))
    on_day(facts, partial)
    return [partial]


def _for_the_lot(facts: Facts) -> str | None:
    """ "sold 2 of C to Bo for 10", "sold 4 of C, 20 in all": a second bare number that can only be money."""
    bare = [quantity for quantity in facts.free() if quantity.bare and quantity.value is not None]
    if len(bare) < 2 or len(bare) != len(facts.free()):
        return None
    last = bare[-1]
    following = facts.tokens[last.end] if last.end < len(facts.tokens) else None
    ends = following is None or following.kind in ("day", "punct")
    if (facts.before(last.at) in ("for", "at") and ends) or (following is not None and following.has("lot", "each")):
        return f"{float(facts.use(last).value or 0):.2f}"
    return None


def _of_all(facts: Facts, price: str | Trouble | None, count: object) -> str | Trouble | None:
    """The price of the lot: so many times the price of each, where that was said."""
    money = facts.where("money")
    behind = facts.after(money[-1]) if money else None
    if isinstance(price, str) and behind is not None and behind.kind == "word" and not behind.means and not facts.has("each"):
        return Trouble("price", "uncertain", f"{price} {behind.text}")
    priced = [n for n in facts.where("money") if n]
    if isinstance(price, str) and not facts.has("each", "lot") and any(facts.tokens[n - 1].text == "at" for n in priced) and count != 1:
        return Trouble("price", "ambiguous", price)
    if isinstance(price, str) and facts.clause.again and not facts.has("each"):
        return Trouble("price", "ambiguous", price)  # "sold 3 of C and 2 of A for 20": it may be for all of them
    each = facts.has("each") or any(facts.tokens[n - 1].text == "@" for n in priced)
    if isinstance(price, str) and each:
        return f"{Decimal(price) * count:.2f}" if isinstance(count, int) else Trouble("price", "ambiguous", price)
    return price
