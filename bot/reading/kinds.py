"""Which kind a verb tells of: the table from verbs to the readers of their clauses."""

from __future__ import annotations

from collections.abc import Callable

from bot.reading import (
    kinds_arrivals,
    kinds_batch,
    kinds_deaths,
    kinds_feeding,
    kinds_fish,
    kinds_holding,
    kinds_measure,
    kinds_orders,
    kinds_strippings,
    kinds_water,
)
from bot.reading.broods import of_her_young
from bot.reading.exceptions import all_but_some
from bot.reading.facts import FROM, Facts
from bot.reading.partial import Partial, Trouble

Reader = Callable[[Facts], list[Partial]]

READERS: dict[str, Reader] = {
    "spawn": kinds_fish.spawned,
    "hold": kinds_holding.holding,
    "still": kinds_holding.holding,
    "lose_brood": kinds_fish.brood_lost,
    "release": kinds_fish.released,
    "strip": kinds_strippings.strippings,
    "move": kinds_batch.moved,
    "count": kinds_batch.counted,
    "left_over": kinds_batch.counted,
    "perhaps_count": kinds_batch.perhaps_counted,
    "die": kinds_deaths.died,
    "lose": kinds_deaths.died,
    "measure": kinds_measure.measured,
    "sex": kinds_measure.sexed,
    "perhaps_sex": kinds_measure.perhaps_sexed,
    "split": kinds_batch.split,
    "merge": kinds_batch.merged,
    "mix": kinds_batch.merged,
    "hold_back": kinds_batch.held_back,
    "cull": kinds_batch.culled,
    "leave": kinds_orders.sold_or_offered,
    "join": kinds_arrivals.joined,
    "test": kinds_water.tested,
    "change_water": kinds_water.water_changed,
    "feed": kinds_feeding.fed,
    "offer": kinds_orders.offered,
    "withdraw": kinds_orders.withdrawn,
    "reserve": kinds_orders.reserved,
    "pickup": kinds_orders.pickup_set,
    "collected": kinds_orders.collected,
    "cancel": kinds_orders.cancelled,
    "no_show": kinds_orders.no_show,
    "deposit": kinds_orders.deposit,
    "want": kinds_orders.wanted,
    "undo": kinds_orders.undone,
    "confirm": kinds_orders.confirmed,
    "decline": kinds_orders.declined,
    "lose_some": kinds_deaths.unclear,
}


def chosen_verb(facts: Facts) -> str:
    """The verb that the whole clause means: "hold 5 of C for Tomek" reserves, "lost her eggs" loses a brood."""
    verb = facts.clause.verb
    rule = _SHIFTS.get(verb)
    return rule(facts) if rule else verb


def _hold(facts: Facts) -> str:
    """ "holding 4 back from C" keeps them, "hold 5 of C for Tomek" reserves, "4 holding" is a fish's doing."""
    holding_word = any(token.text in ("hold", "holding") for token in facts.tokens)
    if not holding_word or not facts.quantities or facts.where("fish"):
        return "hold"
    kept = facts.has("breeders") or any(token.text == "back" for token in facts.tokens)
    if facts.where("batch") and kept:
        return "hold_back"
    for_someone = any(facts.before(n) == "for" for n in [*facts.where("member"), *facts.unknown_words()])
    kept_somewhere = bool(facts.where("place")) and not any(token.text == "hold" for token in facts.tokens)
    if facts.where("batch") and not for_someone and (kept_somewhere or facts.unknown_words()):
        return "unread"
    return "reserve" if facts.where("batch") or for_someone else "hold"


def _die(facts: Facts) -> str:
    """ "f7 passed on tuesday" died; "passed on f7 to Oleg" has left."""
    verb = facts.verb_at()
    handed = bool(facts.where("member")) or any(n > verb for n in facts.where("fish"))
    return "leave" if facts.tokens[verb].text.startswith("passed") and "away" not in facts.tokens[verb].text and handed else "die"


def _cull(facts: Facts) -> str:
    """ "put down 4 of C for Tomek" reserves; "put down 2 bent ones in E" culls."""
    down = any(token.text == "put down" for token in facts.tokens)
    for_someone = bool(facts.where("member")) or facts.has("mine") or any(token.text in ("for", "me") for token in facts.tokens)
    return "reserve" if down and for_someone else "deposit" if down and facts.where("money") else "cull"


def _merge(facts: Facts) -> str:
    """ "put f4 in with rook": fish are moved, batches merged."""
    return "move" if facts.where("fish") else "merge"


def _join(facts: Facts) -> str:
    """ "Tomek bought 4 of C": a member who bought of our own batch takes them away."""
    buyers = [n for n in facts.where("member") if n < facts.verb_at()]
    bought = any(token.text in ("bought", "purchased", "took home") for token in facts.tokens)
    if any(getattr(facts.tokens[n].value, "named", False) for n in facts.where("fish")) and facts.where("place"):
        return "move"
    return "leave" if buyers and bought and facts.where("batch") else "join"


def _release(facts: Facts) -> str:
    """ "released f4 into tank 1": she herself was let go, no brood."""
    behind = any(n > facts.verb_at() for n in facts.where("fish"))
    brood = bool(facts.quantities) or facts.has("fry", "brood_word", "egg")
    return "move" if behind and not brood and facts.where("place") else "release"


def _lose(facts: Facts) -> str:
    """ "f6 lost them" is a brood, "lost f6" a fish; "f6 lost …" of anything else is not understood."""
    fish, verb = facts.where("fish"), facts.verb_at()
    numbered = [quantity for quantity in facts.quantities if quantity.bare]
    hers = (
        len(numbered) == len(facts.quantities) == 1 and numbered[0].end <= verb and str(numbered[0].value) in facts.names.females
    )
    if hers and not fish and facts.has("brood_word", "egg", "lot") and not facts.where("batch", "place"):
        return "lose_brood"
    if not fish or any(n > verb for n in fish):
        return "lose"
    brood = facts.has("brood_word", "egg", "batch_word") and not facts.quantities
    return "lose_brood" if brood else "lose" if facts.where("batch", "place") and facts.quantities else "lose_some"


def _reserve(facts: Facts) -> str:
    numbered = facts.where("reservation", "hash")
    myself = any(token.text == "for myself" for token in facts.tokens) and facts.where("strain") and not facts.where("batch")
    if facts.has("breeders") and not myself:
        return "hold_back"
    if numbered and facts.where("day", "clock"):
        return "pickup"
    return "reserve"


def _move(facts: Facts) -> str:
    """ "rook went to Oleg" and "5 of A went to Oleg" have left; "12 of A make up batch F" is a split."""
    away = any(facts.before(n) in ("to", "went to", "gone to", "gone", "has gone to") for n in facts.where("member"))
    counted = bool(facts.where("batch")) and bool(facts.quantities) and not any(token.text.startswith("mov") for token in facts.tokens)
    if away and (facts.where("fish") or counted) and not facts.where("place"):
        return "leave"
    if len(facts.where("batch")) == 2 and facts.quantities and facts.tokens[facts.where("batch")[1] - 1].has("call_it"):
        return "split"
    if facts.has("verb:pickup") or (facts.where("reservation", "hash") and facts.where("day", "clock")):
        return "pickup"
    return "offer" if facts.has("verb:offer") and not facts.where("place") else "move"


def _hold_back(facts: Facts) -> str:
    """ "keep 4 of C for me" asks for them; "keeping 4 of C for myself" keeps them back."""
    if facts.has("breeders") or facts.where("fish") or not facts.where("batch", "strain"):
        return "hold_back"
    asked = any(token.has("verb:hold_back") and token.has("form:base") for token in facts.tokens)
    me = any(token.text in ("me", "us") and facts.before(n) == "for" for n, token in enumerate(facts.tokens))
    given = (n for n in facts.where("member") if facts.before(n) == "for" or n == facts.verb_at() + 1)  # "keep Oleg 4 of A"
    someone = any(facts.tokens[n].value != facts.scene.by for n in given)
    return "reserve" if someone or (asked and me) else "hold_back"


_CLOSING = ("close", "closed", "closing", "end", "ended", "stop", "stopped", "over", "remove", "removed", "down")
"""Beside an offer: it is one no more ("close the offer of A")."""


def _offer(facts: Facts) -> str:
    """ "take C off the list": no offer; nor is "stp selling D", whatever its first word was to be."""
    if any(token.text in _CLOSING for token in facts.tokens) and not facts.quantities and not facts.where("money"):
        return "withdraw"
    taken = any(token.text in ("take", "took", "taken", "pull", "pulled", "remove", "removed") for token in facts.tokens)
    if taken and any(token.text in ("off", "from") for token in facts.tokens):
        return "withdraw"
    return "unread" if facts.verb_at() > 0 and facts.verb_at() - 1 in facts.unknown_words() else "offer"


def _strip(facts: Facts) -> str:
    """ "emptied box 1 into the tub": a place was emptied, no mouth."""
    places = facts.where("place")
    into = any(facts.before(n) in ("to", "into") for n in places)
    fish = facts.where("fish") or facts.quantities
    return "move" if len(places) > 1 and into and not fish and any(token.text == "emptied" for token in facts.tokens) else "strip"


def _want(facts: Facts) -> str:
    return "reserve" if facts.where("batch") and not facts.where("strain") else "want"


def _change_reservation(facts: Facts) -> str:
    return (
        "pickup"
        if facts.where("day", "clock") and (facts.where("reservation", "hash") or facts.has("verb:pickup"))
        else "change_reservation"
    )


def _left_over(facts: Facts) -> str:
    """ "f3 left" is a fish that went, "22 left in E" a count."""
    return "leave" if facts.where("fish") and not facts.quantities and not facts.where("batch", "place") else "left_over"


def _leave(facts: Facts) -> str:
    if facts.has("verb:count") and any(token.text == "gave" for token in facts.tokens):
        return "count"
    return "feed" if facts.where("weight") or (facts.has("food") and not facts.quantities) else "leave"


_SHIFTS: dict[str, Callable[[Facts], str]] = {
    "hold": _hold,
    "hold_back": _hold_back,
    "lose": _lose,
    "strip": _strip,
    "offer": _offer,
    "cull": _cull,
    "die": _die,
    "merge": _merge,
    "join": _join,
    "release": _release,
    "leave": _leave,
    "left_over": _left_over,
    "reserve": _reserve,
    "move": _move,
    "want": _want,
    "change_reservation": _change_reservation,
}


def read_clause(facts: Facts) -> list[Partial] | None:
    """The items of a clause; None where its verb tells nothing that can be recorded."""
    verb = chosen_verb(facts)
    reader = READERS.get(verb)
    if reader is None:
        return None
    facts.clause.verb = verb
    partials = _one_or_other(facts, all_but_some(facts, of_her_young(facts, reader(facts))))
    kinds_holding.elsewhere(facts, partials)
    left_over = facts.leftovers() or facts.suspects()
    if verb in ("move", "strip", "split"):
        left_over += [
            facts.tokens[n].text
            for n in facts.where("place")
            if n not in facts.used and facts.before(n) not in FROM and not any(token.text == "after" for token in facts.tokens[:n])
        ]
    if verb == "leave" and facts.where("fish") and not left_over:
        left_over = [facts.tokens[n].text for n in facts.where("sex", "strain") if n not in facts.used]
    if verb in _NOT_FOR_ANYBODY:
        left_over += _for_whom(facts)
    if left_over and partials and not any(partial.troubles for partial in partials):
        partials[0].put(doubtful_slot(partials[0]), Trouble(doubtful_slot(partials[0]), "uncertain", " ".join(left_over)))
    return partials


_NOT_FOR_ANYBODY = ("move", "split", "cull", "count", "strip", "release", "merge", "hold_back", "offer", "join")
"""Verbs whose events belong to nobody: "moved 4 of A for Priya" means more than a move."""


def _for_whom(facts: Facts) -> list[str]:
    whom = [n for n in facts.where("member") if n not in facts.used and facts.before(n) in ("for", "to", "from")]
    return [facts.tokens[n].text for n in whom if facts.tokens[n].note != "possessive" and n > facts.verb_at()]


def _one_or_other(facts: Facts, partials: list[Partial]) -> list[Partial]:
    """ "f3 or f4 is holding": which of them is asked."""
    for n in range(1, len(facts.tokens) - 1):
        if facts.tokens[n].text != "or":
            continue
        first = next((token for token in reversed(facts.tokens[:n]) if token.kind in _SLOTS_OF), facts.tokens[n - 1])
        second = next((token for token in facts.tokens[n + 1 :] if token.kind in _SLOTS_OF), facts.tokens[n + 1])
        if first.kind != second.kind or first.kind not in _SLOTS_OF:
            continue
        slot = next((slot for slot in _SLOTS_OF[first.kind] if any(slot in partial.slots for partial in partials)), None)
        if slot is None or not partials:
            continue
        options = tuple(
            str(getattr(token.value, "label", getattr(token.value, "name", token.value))) for token in (first, second)
        )
        partials[0].slots.pop(slot, None)
        partials[0].put(slot, Trouble(slot, "ambiguous", f"{first.text} or {second.text}", options))
        return partials[:1]
    return partials


_SLOTS_OF = {
    "fish": ("female", "male"),
    "batch": ("batch", "new"),
    "place": ("place", "to"),
    "reservation": ("reservation",),
    "member": ("member",),
}


def doubtful_slot(partial: Partial) -> str:
    """The slot to ask about where something of the message was not understood."""
    for slot in ("count", "female", "male", "batch", "place", "reservation"):
        if slot in partial.slots:
            return slot
    return "count"
