"""What people agree about fish: offers, reservations, pickups, deposits, wishes."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from bot.reading.facts import Facts
from bot.reading.kinds_batch import lone_sex, sold, the_batch, the_count
from bot.reading.kinds_fish import on_day, put_count
from bot.reading.partial import Partial, Trouble
from bot.reading.scene import Quantity
from core import units


def _iso(day: date | Trouble | None) -> str | Trouble | None:
    return day.isoformat() if isinstance(day, date) else day


def offered(facts: Facts) -> list[Partial]:
    """A batch, or some of it, is for sale."""
    partial = Partial("offered")
    the_batch(facts, partial)
    price = facts.money("price") or facts.price_after_at()
    partial.put("price", _price_each(facts, price))
    sexed = facts.free()
    if sorted(str(quantity.sex) for quantity in sexed) == ["female", "male"] and all(isinstance(each.value, int) for each in sexed):
        day = _iso(facts.day("future", "from"))
        return [_of_sex(partial, facts.use(quantity), day) for quantity in sexed]
    the_count(facts, partial, needed=False)
    if "count" not in partial.slots:
        partial.put("sex", lone_sex(facts))
    partial.put("from", _iso(facts.day("future", "from")))
    return [partial]


def _of_sex(whole: Partial, quantity: Quantity, day: str | Trouble | None) -> Partial:
    """ "2 males and 4 females of A at $8 each": each sex is an offer of its own."""
    partial = Partial("offered", dict(whole.slots), list(whole.troubles))
    partial.put("count", quantity.value)
    partial.put("sex", quantity.sex)
    partial.put("from", day)
    return partial


def sold_or_offered(facts: Facts) -> list[Partial]:
    """ "Sell A for 5" is what somebody means to do; "sold 2 of A" and "sell 2 of A to Ada" are done."""
    sells = any(token.text == "sell" for token in facts.tokens)
    return (
        offered(facts) if sells and not facts.where("member") and not facts.where("day") and facts.where("batch") else sold(facts)
    )


def _price_each(facts: Facts, price: str | Trouble | None) -> str | Trouble | None:
    several = any(
        token.kind == "money" and n > 1 and facts.tokens[n - 1].text == "for" and facts.tokens[n - 2].kind == "number"
        for n, token in enumerate(facts.tokens)
    )
    if isinstance(price, str) and (facts.has("lot") or several) and not facts.has("each"):
        return Trouble("price", "ambiguous", price)
    return price


def withdrawn(facts: Facts) -> list[Partial]:
    """A batch is no longer for sale."""
    batches = facts.batches()
    partials = []
    for batch in batches:
        partial = Partial("withdrawn")
        partial.put("batch", batch)
        partials.append(partial)
    if not batches:
        partial = Partial("withdrawn")
        the_batch(facts, partial)
        partials.append(partial)
    return partials


def reserved(facts: Facts) -> list[Partial]:
    """Fish are promised to a member: so many, of a batch or a strain."""
    partial = Partial("reserved")
    member = facts.member("for", "to", "by") or facts.member()
    others = [
        str(facts.tokens[n].value) for n in facts.where("member") if str(facts.tokens[n].value) not in (member, facts.scene.by)
    ]
    partial.put("member", Trouble("member", "ambiguous", "", (str(member), *others)) if member and others else member)
    partial.put("pickup", _iso(facts.day("future", "pickup")))
    partial.put("at", facts.clock())
    partial.put("min_mm", least_length(facts))
    _what(facts, partial)
    _how_many(facts, partial)
    if any(token.text == "already" for token in facts.tokens) and "count" in partial.slots:
        told = str(partial.slots.pop("count"))  # it may be told of a reservation that stands
        partial.put("count", Trouble("count", "uncertain", told, (told,)))
    if facts.money("price") and facts.has("verb:deposit", "paid"):
        partial.put("reservation", Trouble("reservation"))  # money for a reservation that has no number yet
    return [partial]


def least_length(facts: Facts) -> int | Trouble | None:
    """ "over 2 inches", "2in+", "5 cm or bigger"."""
    lengths = [n for n in facts.where("length") if n not in facts.used]
    facts.used.update(lengths)
    if not lengths:
        return None
    value = facts.tokens[lengths[0]].value
    if len(lengths) > 1 or not isinstance(value, tuple):
        return Trouble("min_mm", "ambiguous")
    return round(units.millimetres(float(value[0]), str(value[1])))


def _what(facts: Facts, partial: Partial) -> None:
    batches = facts.batches()
    strains = list(facts.where("strain"))
    if len(batches) == 1:
        partial.put("batch", batches[0])
    elif batches:
        partial.put("batch", Trouble("batch", "ambiguous", "", tuple(str(batch) for batch in batches)))
    elif strains and not facts.where("place"):
        partial.put("strain", str(facts.tokens[strains[0]].value))
    else:
        found = facts.batch_like()
        unknown = unknown_strain(facts)
        partial.put("batch", found) if found is not None else partial.put(
            "strain" if unknown else "batch", unknown or Trouble("batch")
        )
    facts.used.update(strains)


def unknown_strain(facts: Facts) -> Trouble | None:
    """A word right behind the number that names no strain of the club."""
    for quantity in facts.quantities:
        at = quantity.end
        while at < len(facts.tokens) and facts.tokens[at].text in ("of", "the", "your", "some"):
            at += 1
        if at < len(facts.tokens) and facts.tokens[at].kind == "word" and not facts.tokens[at].means:
            return Trouble("strain", "unknown", facts.tokens[at].text)
    verb = facts.verb_at()
    behind = [n for n in facts.unknown_words() if not facts.quantities and n > verb >= 0]
    return Trouble("strain", "unknown", facts.tokens[behind[0]].text) if behind else None


def _how_many(facts: Facts, partial: Partial) -> None:
    """One number, or males and females that are one reservation."""
    counts = facts.free()
    parts = [int(quantity.value) for quantity in counts if quantity.sex and isinstance(quantity.value, int)]
    whole = [quantity for quantity in counts if not quantity.sex and quantity.value == sum(parts)]
    if len(parts) == 2 and len(whole) == 1:  # "5 labs, 1 male and 4 females"
        facts.use(whole[0])
    if put_mix(facts, partial, facts.free()):
        return
    the_count(facts, partial)
    if "sex" not in partial.slots:
        partial.put("sex", lone_sex(facts))


def put_mix(facts: Facts, partial: Partial, counts: Sequence[Quantity]) -> bool:
    """Males and females told together, as one number with its mix; whether the counts are such."""
    both = sorted(str(quantity.sex) for quantity in counts) == ["female", "male"]
    if not both or not all(isinstance(quantity.value, int) for quantity in counts):
        return False
    for quantity in counts:
        facts.use(quantity)
        partial.put(f"{quantity.sex}s", quantity.value)
    partial.put("count", sum(int(quantity.value or 0) for quantity in counts))
    return True


def the_reservation(facts: Facts, partial: Partial) -> None:
    """The reservation by its number, else the only open one of the member named, or of the writer."""
    numbered = facts.where("reservation", "hash")
    if numbered:
        facts.used.update(numbered)
        number = str(facts.tokens[numbered[0]].value)
        unknown = number not in facts.names.reservations
        partial.put("reservation", Trouble("reservation", "unknown", number) if unknown or len(numbered) > 1 else number)
        return
    bare = [quantity for quantity in facts.free() if quantity.bare and str(quantity.value) in facts.names.reservations]
    context = facts.scene.context.reservation
    member = facts.member()
    if bare and not member and not facts.where("batch"):
        partial.put("reservation", str(facts.use(bare[0]).value))
        return
    for quantity in bare if isinstance(member, str) else ():
        row = facts.names.reservations[str(quantity.value)]
        if row.get("member") == member and int(quantity.value or 0) > int(row.get("count") or 0):
            partial.put("reservation", str(facts.use(quantity).value))
            return
    spoken = facts.scene.memory.reservation
    if spoken and not facts.where("batch") and not facts.has("foreign") and (not member or facts.names.reservations[spoken].get("member") == member):
        partial.put("reservation", spoken)
        return
    open_ones = facts.names.open_reservations(member if isinstance(member, str) else facts.scene.by)
    if context and not member and not open_ones and facts.has("they"):
        open_ones = (context,)
    _narrowed(facts, partial, open_ones, member)


def _narrowed(facts: Facts, partial: Partial, open_ones: tuple[str, ...], member: str | Trouble | None) -> None:
    batches = facts.batches()
    if batches:
        open_ones = tuple(number for number in open_ones if facts.names.reservations[number].get("batch") == batches[0])
    if len(open_ones) == 1:
        partial.put("reservation", open_ones[0])
        return
    told = bool(member or batches or open_ones)
    whose = member if isinstance(member, str) and not open_ones and not batches else ""
    partial.put("reservation", Trouble("reservation", "ambiguous" if open_ones else "missing", whose, open_ones if told else ()))


def pickup_set(facts: Facts) -> list[Partial]:
    """The day and time of a pickup."""
    partial = Partial("pickup_set")
    at = facts.clock() or _hour_behind_day(facts)
    the_reservation(facts, partial)
    partial.put("pickup", _iso(facts.day("future", "pickup")) or Trouble("pickup"))
    partial.put("at", at or facts.clock())
    return [partial]


def _hour_behind_day(facts: Facts) -> str | None:
    """ "Saturday 11" is eleven o'clock; an hour that may be of the morning or the afternoon is asked, as is a reservation's number."""
    for quantity in facts.free():
        behind = quantity.at > 0 and facts.tokens[quantity.at - 1].kind == "day"
        number = quantity.value
        if behind and quantity.bare and isinstance(number, int) and 8 <= number < 24 and str(number) not in facts.names.reservations:
            facts.use(quantity)
            return f"{number:02}:00"
    return None


def collected(facts: Facts) -> list[Partial]:
    """Fetched, all or in part."""
    if (len(facts.where("reservation", "hash")) > 1 or len(members_named(facts)) > 1) and not facts.free():
        return _of_reservations(facts, "collected", dated=True)
    partial = Partial("collected")
    the_reservation(facts, partial)
    whole = facts.names.reservations.get(str(partial.slots.get("reservation")), {}).get("count")
    for quantity in facts.free():
        if quantity.value == whole and "of" in [token.text for token in facts.tokens[max(0, quantity.at - 2) : quantity.at]]:
            facts.use(quantity)
    hours = ("at", "@", "around", "about")
    counts: list[Quantity] = [free for free in facts.free() if free.value != 0 and facts.before(free.at) not in hours]
    if put_mix(facts, partial, counts):
        pass
    elif len(counts) == 1:
        put_count(facts, partial, counts[0])
    facts.used.update(facts.where("batch"))
    on_day(facts, partial)
    return [partial]


def cancelled(facts: Facts) -> list[Partial]:
    """A reservation is called off."""
    return _of_reservations(facts, "cancelled", dated=False)


def no_show(facts: Facts) -> list[Partial]:
    """The buyer did not come."""
    return _of_reservations(facts, "no_show", dated=True)


def confirmed(facts: Facts) -> list[Partial]:
    """The keeper confirms."""
    return _of_reservations(facts, "confirmed", dated=False)


def declined(facts: Facts) -> list[Partial]:
    """The keeper declines."""
    return _of_reservations(facts, "declined", dated=False)


def members_named(facts: Facts) -> list[str]:
    """The members a sentence names, each once, but for the writer."""
    named = (str(facts.tokens[n].value) for n in facts.where("member"))
    return [name for name in dict.fromkeys(named) if name != facts.scene.by]


def _of_each(facts: Facts, kind: str, members: Sequence[str]) -> list[Partial]:
    """The same of the only open reservation of each member named; "Oleg collected for Tomek" may be of either."""
    at = facts.where("member")
    facts.used.update(at)
    if any(facts.tokens[n].text not in ("and", "&", ",", "both") for n in range(at[0] + 1, at[-1]) if n not in at):
        options = tuple(number for member in members for number in facts.names.open_reservations(member))
        return [Partial(kind, {}, [Trouble("reservation", "ambiguous", "", options)])]
    partials = []
    for member in members:
        partial = Partial(kind)
        _narrowed(facts, partial, facts.names.open_reservations(member), member)
        partials.append(partial)
    return partials


def _of_reservations(facts: Facts, kind: str, dated: bool) -> list[Partial]:
    """The same of each reservation that is named by its number or its member."""
    numbered = facts.where("reservation", "hash")
    bare = [quantity.at for quantity in facts.free() if quantity.bare and str(quantity.value) in facts.names.reservations]
    numbered = numbered or (bare if len(bare) > 1 else [])
    partials = []
    if not numbered and len(members := members_named(facts)) > 1:
        partials = _of_each(facts, kind, members)
    elif len(numbered) > 1:
        facts.used.update(numbered)
        for n in numbered:
            number = str(facts.tokens[n].value)
            partial = Partial(kind)
            partial.put(
                "reservation", number if number in facts.names.reservations else Trouble("reservation", "unknown", number)
            )
            partials.append(partial)
    else:
        partial = Partial(kind)
        the_reservation(facts, partial)
        partials.append(partial)
    if dated:
        on_day(facts, *partials)
    return partials


def deposit(facts: Facts) -> list[Partial]:
    """Money noted against a reservation."""
    partial = Partial("deposit")
    amount = facts.money("amount")
    the_reservation(facts, partial)
    bare = [quantity for quantity in facts.free() if quantity.bare and quantity.value is not None]
    if amount is None and len(bare) == 1:
        amount = f"{float(facts.use(bare[0]).value or 0):.2f}"
    partial.put("amount", amount or Trouble("amount"))
    return [partial]


def wanted(facts: Facts) -> list[Partial]:
    """A member looks for fish."""
    partial = Partial("wanted")
    strains = facts.where("strain")
    facts.used.update(strains)
    profiles = facts.where("profile")
    if strains:
        partial.put("strain", str(facts.tokens[strains[0]].value))
    elif profiles:
        partial.put("strain", str(facts.tokens[profiles[0]].value))
    else:
        partial.put("strain", unknown_strain(facts) or Trouble("strain"))
    partial.put("by", _iso(facts.day("future", "by")))
    partial.put("min_mm", least_length(facts))
    the_count(facts, partial)
    if "sex" not in partial.slots:
        partial.put("sex", lone_sex(facts))
    facts.member()
    return [partial]


def undone(facts: Facts) -> list[Partial]:
    """Take back my last entry."""
    partial = Partial("undone")
    if facts.where("reservation", "hash"):
        partial.kind = "cancelled"
        the_reservation(facts, partial)
    return [partial]
