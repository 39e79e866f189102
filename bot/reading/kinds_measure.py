"""Lengths and sexes of a batch."""

from __future__ import annotations

from bot.reading.facts import Facts
from bot.reading.kinds_batch import slots_of, the_batch
from bot.reading.kinds_fish import on_day
from bot.reading.partial import Partial, Trouble
from bot.reading.walk import Fish
from core import units

_EXTREMES = ("biggest", "smallest", "largest", "longest", "shortest", "max", "min", "range", "between", "up to")
"""Words for the ends of a range: such lengths are no fair sample."""


def measured(facts: Facts) -> list[Partial]:
    """Lengths of some of a batch, or their mean with how many were measured."""
    partial = Partial("measured")
    the_batch(facts, partial)
    mean = facts.has("mean")
    if mean:
        _sample_size(facts, partial)
    lengths = lengths_of(facts)
    if any(token.text in _EXTREMES for token in facts.tokens) and not isinstance(lengths, Trouble):
        lengths = Trouble("lengths", "ambiguous", " ".join(str(length) for length in lengths))
    if isinstance(lengths, Trouble) or not lengths:
        partial.put("lengths", lengths or Trouble("lengths"))
    elif mean and len(lengths) == 1:
        partial.put("mean_mm", lengths[0])
    elif mean or len(lengths) == 1:
        partial.put("lengths", Trouble("lengths", "ambiguous", "" if mean else str(lengths[0])))
    else:
        partial.put("lengths", lengths)
    on_day(facts, partial)
    return [partial]


def _sample_size(facts: Facts, partial: Partial) -> None:
    for quantity in facts.free():
        before = facts.before(quantity.at)
        if (
            before in ("n", "=", "over", "of", "from", "sample of", "(", "sample", "measured", "on")
            or quantity.noun == "fry"
            or any(token.has("verb:measure") for token in facts.tokens[quantity.end : quantity.end + 1])
        ) and isinstance(quantity.value, int):
            facts.use(quantity)
            partial.put("n", quantity.value)
            return


def lengths_of(facts: Facts) -> list[int] | Trouble:
    """The lengths of a clause in mm, or why they cannot be told."""
    told = list(facts.where("length"))
    unit = next((value[1] for n in reversed(told) if isinstance(value := facts.tokens[n].value, tuple)), None)
    for quantity in facts.free():
        following = facts.tokens[quantity.end] if quantity.end < len(facts.tokens) else None
        if quantity.noun == "fry" or quantity.sex or (following is not None and following.text in ("of", "from", "out of")):
            facts.use(quantity)
    numbers = [quantity for quantity in facts.free() if quantity.value is not None and quantity.bare]
    bare = [(quantity.at, float(quantity.value or 0)) for quantity in numbers]
    if unit is None and bare:
        unit = _unit_by_size([number for _, number in bare], facts.names.units)
    for quantity in numbers:
        facts.use(quantity)
    facts.used.update(told)
    both = [(n, *_pair(facts.tokens[n].value)) for n in told] + [(at, number, unit or "") for at, number in bare]
    if any(each[2] not in units.LENGTH or each[1] <= 0 for each in both):
        return Trouble("lengths", "ambiguous", " ".join(facts.tokens[each[0]].text for each in sorted(both)))
    values = [round(units.millimetres(number, said)) for _, number, said in sorted(both)]
    if any(not 2 <= value <= 250 for value in values):
        return Trouble("lengths", "implausible", " ".join(str(value) for value in values))
    return values


def _pair(value: object) -> tuple[float, str]:
    return (float(value[0]), str(value[1])) if isinstance(value, tuple) else (0.0, "")


def _unit_by_size(numbers: list[float], system: str) -> str | None:
    """Lengths without a unit: mm from 8 on in a metric club, inches up to 6 in the United States; else it is asked."""
    if system == "metric" and all(number >= 8 for number in numbers):
        return "mm"
    return "in" if system == "us" and all(number <= 6 for number in numbers) else None


def perhaps_sexed(facts: Facts) -> list[Partial]:
    """ "1 male 4 females of A": found, taken or wished for? That is asked."""
    partials = sexed(facts)
    for partial in partials:
        slot = next((slot for slot in ("males", "females") if slot in partial.slots), None)
        if slot is not None and not partial.troubles:
            value = str(partial.slots.pop(slot))
            partial.put(slot, Trouble(slot, "uncertain", value, (value,)))
    return partials


def sexed(facts: Facts) -> list[Partial]:
    """What a batch holds by sex."""
    partial = Partial("sexed")
    for n in facts.where("fish"):
        fish = facts.tokens[n].value
        if isinstance(fish, Fish) and not fish.named:
            facts.used.add(n)
            partial.put(f"{fish.sex}s", int(fish.label))
    the_batch(facts, partial)
    slots = {"male": "males", "female": "females", "unsexed": "unsexed"}
    for quantity in facts.free():
        if quantity.sex == "unsexed" and quantity.value is None and quantity.said.startswith(("rest", "most")):
            facts.use(quantity)
        elif quantity.sex:
            slot = slots[quantity.sex]
            facts.use(quantity)
            clash = slot in partial.slots
            partial.put(
                slot,
                Trouble(slot, "ambiguous", quantity.said) if clash or not isinstance(quantity.value, int) else quantity.value,
            )
    total = sum(int(str(partial.slots[slot])) for slot in slots.values() if slot in partial.slots)
    for quantity in facts.free():
        if quantity.value == total or (facts.before(quantity.at) in ("all", "sexed", "of") and facts.has("all")):
            facts.use(quantity)
    if not set(slots.values()) & slots_of(partial):
        partial.put("males", Trouble("males"))
    on_day(facts, partial)
    return [partial]
