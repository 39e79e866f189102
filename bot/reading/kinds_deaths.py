"""Deaths: of a fish by name, or so many in a batch or a place."""

from __future__ import annotations

from bot.reading.facts import Facts
from bot.reading.kinds_batch import the_count
from bot.reading.kinds_fish import on_day
from bot.reading.partial import Partial, Trouble
from bot.reading.scene import Quantity
from bot.reading.walk import Fish


def died(facts: Facts) -> list[Partial]:
    """Deaths: of a fish by name, or so many in a batch or a place."""
    fish = facts.where("fish")
    if fish:
        return _named_deaths(facts, fish)
    if (spoken_of := _spoken_of(facts)) is not None:
        on_day(facts, spoken_of)
        return [spoken_of]
    batches, spots = facts.batches(), facts.where("place")
    counts = facts.free()
    partial = Partial("died")
    if len(batches) > 1:
        partial.put("batch", Trouble("batch", "ambiguous", "", tuple(str(b) for b in batches)))
    elif batches:
        partial.put("batch", batches[0])
        facts.used.update(spots)
    elif spots and not (facts.where("strain") and not any(token.has("fry") for token in facts.tokens) and facts.where("sex")):
        _death_in_place(facts, partial, spots)
    else:
        _death_of_unnamed(facts, partial, counts)
    _death_count(facts, partial, counts)
    if facts.clause.again and facts.tokens[0].text == "(" and "count" in partial.slots:
        partial.put("count", Trouble("count", "ambiguous", str(partial.slots.pop("count"))))  # "3 dead in the tub (2 of A, 1 of C)"
    on_day(facts, partial)
    if any(token.text.partition(" ")[0] == "since" for token in facts.tokens if token.kind in ("word", "day")) and "on" in partial.slots:
        partial.put("on", Trouble("on", "ambiguous", str(partial.slots.pop("on"))))  # "3 dead in C since sunday": not all on sunday
    return [partial]


def _spoken_of(facts: Facts) -> Partial | None:
    """ "ember jumped out, he's dead": the fish that the message has just named."""
    memory = facts.scene.memory
    if facts.quantities or facts.clause.verb != "die" or facts.where("batch", "place", "strain", "sex") or facts.has("fry", "egg"):
        return None
    he, she = facts.has("he"), any(token.text in ("she", "shes") for token in facts.tokens)
    if he and memory.male and not she:
        return Partial("died", {"male": memory.male})
    return Partial("died", {"female": memory.female}) if she and memory.female and not he else None


def unclear(facts: Facts) -> list[Partial]:
    """ "f6 lost 3 fry": so many young of hers, of which batch is asked; "f6 lost weight" is nothing."""
    if not facts.quantities:
        return []
    partial = Partial("died", {}, [Trouble("batch")])
    for n in facts.where("fish"):
        facts.used.add(n)
    the_count(facts, partial)
    on_day(facts, partial)
    return [partial]


def _named_deaths(facts: Facts, fish: list[int]) -> list[Partial]:
    partials = []
    for n in fish:
        value = facts.tokens[n].value
        if isinstance(value, Fish):
            facts.used.add(n)
            partial = Partial("died")
            partial.put(value.sex, facts.known(value.sex, value.label))
            partials.append(partial)
    if len(partials) > 1 and facts.unknown_words():
        partials = [Partial("died", {}, [Trouble("female", "uncertain", facts.tokens[facts.unknown_words()[0]].text)])]
    on_day(facts, *partials)
    return partials


def _death_in_place(facts: Facts, partial: Partial, spots: list[int]) -> None:
    if facts.where("strain"):
        found = facts.batch_like()
        partial.put("batch", found)
        return
    places = [facts.place(n, "place") for n in spots]
    sexes = {str(facts.tokens[n].value) for n in facts.where("sex")} & {"female", "male"}
    breeders = facts.names.fish_of(next(iter(sexes)), None, places[0]) if len(sexes) == 1 and isinstance(places[0], str) else ()
    if breeders:
        sex = next(iter(sexes))
        partial.put(sex, Trouble(sex, "ambiguous", "", breeders))
        return
    partial.put("place", places[0] if len(places) == 1 else Trouble("place", "ambiguous", "", tuple(str(p) for p in places)))


def _death_of_unnamed(facts: Facts, partial: Partial, counts: list[Quantity]) -> None:
    memory, context = facts.scene.memory, facts.scene.context
    alone = len(counts) == 1 and counts[0].bare and not facts.where("strain", "sex") and counts[0].noun == ""
    named = facts.clause.verb == "die" and facts.tokens[facts.verb_at()].text not in ("dead", "deaths")
    if alone and (named or not (memory.batches or memory.places or context.here)):
        result = facts.labelled(facts.use(counts[0]))
        both = isinstance(result, Trouble) and bool(result.options)
        partial.put("female", result if both else Trouble("female", "ambiguous", str(counts[0].value)))
        return
    if (
        len(counts) == 1
        and counts[0].noun == "dead"
        and not facts.has("fry")
        and not (memory.batches or memory.places or context.here or facts.where("strain", "sex"))
    ):
        shared = facts.labelled(counts[0])
        partial.put("female", shared if isinstance(shared, Trouble) and shared.options else Trouble("female", "missing"))
        return
    strains, sexes = facts.where("strain"), [n for n in facts.where("sex") if facts.tokens[n].value in ("female", "male")]
    if strains and (facts.has("fry") or not sexes):
        partial.put("batch", facts.batch_like())
    elif sexes:
        sex = str(facts.tokens[sexes[0]].value)
        described = facts.described(sex) or []
        mine = any(token.text in ("the", "my", "our") for token in facts.tokens)
        one = len(described) == 1 and bool(strains) and mine and all(quantity.value == 1 for quantity in counts)
        partial.put(sex, described[0] if one else Trouble(sex, "ambiguous", "", tuple(described) if strains else ()))
        for quantity in counts if one else ():
            facts.use(quantity)
    elif memory.batches or memory.places:
        slot, values = ("place", memory.places) if memory.places else ("batch", memory.batches)
        partial.put(slot, values[0] if len(values) == 1 else Trouble(slot, "ambiguous", "", values))
    elif context.here:
        partial.put("place", context.here)
    elif facts.has("fry") and not facts.where("fish"):
        partial.put("batch", Trouble("batch"))
    else:
        partial.put("female", Trouble("female"))


def _death_count(facts: Facts, partial: Partial, counts: list[Quantity]) -> None:
    if {"female", "male"} & set(partial.slots):
        return
    left_counts = [quantity for quantity in counts if quantity.at not in facts.used]
    if not left_counts and facts.has("all"):
        whole = facts.names.batches.get(str(partial.slots.get("batch")), {}).get("count")
        partial.put("count", Trouble("count", "missing", "all", (str(whole),) if whole else ()))
        return
    if not left_counts and (
        facts.has("vague")
        or facts.clause.verb == "lose"
        or any(
            token.text in ("deaths", "losses", "floaters", "corpses", "casualties", "mortalities", "dead ones")
            for token in facts.tokens
        )
    ):
        partial.put("count", Trouble("count", "ambiguous" if facts.has("vague") else "missing"))
        return
    if left_counts:
        the_count(facts, partial, needed=False)
        partial.slots.pop("sex", None)
    elif (facts.unknown_words() and not facts.where("batch")) or _unknown_before(facts):
        partial.put("count", Trouble("count", "uncertain", facts.tokens[facts.unknown_words()[0]].text))
    else:
        partial.slots.setdefault("count", 1)


def _unknown_before(facts: Facts) -> bool:
    """ "a coouple dead in C": the word before the verb may be a number."""
    return any(n == facts.verb_at() - 1 for n in facts.unknown_words())
