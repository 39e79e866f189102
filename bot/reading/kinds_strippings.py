"""Several females stripped in one breath: "stripped 6 22 fry, 4 18 fry", "stripped f6 (22 fry) and f3 (18 fry) into box 1"."""

from __future__ import annotations

from bot.reading.facts import Facts
from bot.reading.kinds_fish import stripped
from bot.reading.partial import Partial, Trouble
from bot.reading.pieces import Clause
from bot.reading.walk import Fish


def strippings(facts: Facts) -> list[Partial]:
    """Each stripping that a clause tells of."""
    several = _mouth_by_mouth(facts)
    if not several:
        return stripped(facts)
    found: list[Partial] = []
    for each in several:
        partial = stripped(each)[0]
        if each.leftovers() and not partial.troubles:
            partial.put("count", Trouble("count", "uncertain", " ".join(each.leftovers())))
        found.append(partial)
    facts.used.update(range(len(facts.tokens)))
    return found


def _mouth_by_mouth(facts: Facts) -> list[Facts]:
    """ "stripped 6 22 fry, 4 18 fry", "stripped f6 (22 fry) and f3 (18 fry)": the words for each; empty where one is told of, or less of one."""
    fish = [n for n in facts.where("fish") if isinstance(facts.tokens[n].value, Fish)]
    quantities = [quantity for quantity in facts.quantities if quantity.noun in ("", "fry") and not quantity.sex]
    if len(fish) > 1 and not any(n > fish[0] and quantity.noun == "" and not quantity.bare for n in fish[1:] for quantity in quantities):
        starts = fish
    else:
        pairs = list(zip(quantities[::2], quantities[1::2], strict=False))
        labelled = all(label.bare and str(label.value) in facts.names.females for label, _ in pairs)
        told = all(count.noun == "fry" or facts.tokens[count.at - 1].text == ":" for _, count in pairs)
        starts = [label.at for label, _ in pairs] if not fish and len(quantities) % 2 == 0 and labelled and told else []
    if len(starts) < 2 or facts.verb_at() > starts[0]:
        return []
    spans = list(zip(starts, [*starts[1:], len(facts.tokens)], strict=True))
    each = all(sum(start < quantity.at < end for quantity in quantities) == 1 for start, end in spans)
    head = list(facts.tokens[: starts[0]])
    if not each:
        return []
    return [Facts(Clause([*head, *facts.tokens[start:end]], "strip"), facts.scene) for start, end in spans]
