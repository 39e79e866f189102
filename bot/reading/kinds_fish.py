"""What single breeders do: spawn, hold, lose, release, are stripped, come and go."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from bot.reading.facts import Facts
from bot.reading.partial import Partial, Trouble
from bot.reading.scene import Quantity
from bot.reading.walk import Fish


def on_day(facts: Facts, *partials: Partial) -> None:
    """Give each the day it happened (today unless said) and the time of day where one is said."""
    day = facts.day("past")
    at = facts.clock()
    day = _hours_away(facts, day, at) or day
    for partial in partials:
        partial.put("on", day if isinstance(day, Trouble) else (day or facts.scene.now.date()).isoformat())
        partial.put("at", at)


def _hours_away(facts: Facts, day: date | Trouble | None, at: str | Trouble | None) -> Trouble | None:
    """ "fed the tub tonight", "… at 11pm", said in the morning: nearer to yesterday's hour than to today's, which is still to come."""
    now = facts.scene.now
    tonight = next((token.text for token in facts.tokens if token.kind == "day" and token.text in ("tonight", "tonite", "this evening")), "")
    if tonight and 5 <= now.hour < 15:
        return Trouble("on", "future", tonight)
    if not isinstance(at, str) or isinstance(day, Trouble) or (day or now.date()) != now.date():
        return None
    ahead = 60 * (int(at[:2]) - now.hour) + int(at[3:]) - now.minute
    return Trouble("on", "future", at) if ahead > 12 * 60 else None


def females(facts: Facts, labels: Sequence[Quantity]) -> list[str | Trouble]:
    """The females that a clause is about: named, numbered, described, or the one spoken of."""
    found = facts.fish("female")
    for quantity in labels:
        facts.use(quantity)
        result = facts.labelled(quantity, ("female",))
        found.append(result if isinstance(result, Trouble) else result[1])
    return found or [_unnamed_female(facts)]


def _unnamed_female(facts: Facts) -> str | Trouble:
    memory, context = facts.scene.memory, facts.scene.context
    described = facts.described("female")
    if described is not None:
        return described[0] if len(described) == 1 else Trouble("female", "ambiguous", "", tuple(described))
    males = [n for n in facts.where("fish") if isinstance(facts.tokens[n].value, Fish) and n not in facts.used]
    verb = facts.verb_at()
    unknown = [facts.tokens[n].text for n in facts.unknown_words() if n < verb or facts.clause.verb != "hold"]
    if unknown and len(unknown) <= 2:
        return Trouble("female", "unknown", unknown[0])
    if memory.female and not males:
        return memory.female
    if facts.has("bare_pronoun") and context.female in facts.names.females and context.female:
        memory.taken.append(f"female {context.female}")
        return context.female
    return Trouble("female", "missing" if not males else "impossible", "")


def mate_of(facts: Facts) -> str | Trouble | None:
    """The male that a clause names as the mate; a trouble where several are."""
    found = facts.fish("male")
    if found:
        return found[0] if len(found) == 1 else Trouble("male", "ambiguous", "", tuple(str(label) for label in found))
    for quantity in facts.free():
        if (
            quantity.bare
            and facts.before(quantity.at) in ("with", "x", "and", "by", "male", "+", "dad", "to")
            and str(quantity.value) in facts.names.males
        ):
            facts.use(quantity)
            return str(quantity.value)
    return None


def spawned(facts: Facts) -> list[Partial]:
    """Spawned: a female, a male or both."""
    partial = Partial("spawned")
    ladies, gents = facts.fish("female"), facts.fish("male")
    unsettled: list[Trouble] = []
    for quantity in [free for free in facts.free() if free.bare]:
        open_sexes = [sex for sex, found in (("female", ladies), ("male", gents)) if not found]
        if not open_sexes:
            break
        facts.use(quantity)
        result = facts.labelled(quantity, open_sexes)
        if isinstance(result, Trouble):
            unsettled.append(result)
        else:
            (ladies if result[0] == "female" else gents).append(result[1])
    for sex, found in (("female", ladies), ("male", gents)):
        if not found and _one_of_them(facts, sex):
            described = facts.described(sex) or []
            found.append(described[0] if len(described) == 1 else Trouble(sex, "ambiguous", "", tuple(described)))
    if not ladies and not gents and not unsettled:
        ladies = [_unnamed_female(facts)]
    unsettled += _unknown_partner(facts, "male" if ladies else "female") if len(ladies) + len(gents) == 1 else []
    if len(ladies) > 1 and len(gents) <= 1:
        many = [Partial("spawned", {}) for _ in ladies]
        for each, lady in zip(many, ladies, strict=True):
            each.put("female", lady)
            each.put("male", gents[0] if gents else None)
        on_day(facts, *many)
        return many
    for slot, values in (("female", ladies), ("male", gents)):
        partial.put(slot, values[0] if len(values) == 1 else None if not values else Trouble(slot, "ambiguous"))
    partial.troubles.extend(unsettled)
    on_day(facts, partial)
    return [partial]


def _one_of_them(facts: Facts, sex: str) -> bool:
    """ "one of the lab girls spawned with rook"."""
    for n in facts.where("sex"):
        before = [token.text for token in facts.tokens[max(0, n - 4) : n] if token.kind != "strain" and token.text not in ("the", "my", "our")]
        if facts.tokens[n].value == sex and before[-2:] == ["one", "of"]:
            return True
    return False


def _unknown_partner(facts: Facts, sex: str) -> list[Trouble]:
    """ "spawned with Pickle": a name that no fish of the club has."""
    unknown = [n for n in facts.unknown_words() if facts.before(n) in ("with", "x", "and", "+", "by")]
    return [Trouble(sex, "unknown", facts.tokens[unknown[0]].text)] if unknown else []


def brood_lost(facts: Facts) -> list[Partial]:
    """Swallowed, spat or lost the brood; "6 spat out 20 fry" let them go."""
    if _spat_fry(facts):
        return released(facts)
    counted = [quantity for quantity in facts.free() if quantity.noun or not quantity.bare]
    labels = [quantity for quantity in facts.free() if quantity.bare and not facts.where("fish")]
    partials = []
    for lady in females(facts, labels):
        partial = Partial("brood_lost")
        partial.put("female", lady)
        part = next((token.text for token in facts.tokens if token.text in ("half", "most", "some", "few", "several")), "")
        if counted or part:
            partial.put("count", Trouble("count", "ambiguous", counted[0].said if counted else part))
        partials.append(partial)
    for quantity in counted:
        facts.use(quantity)
    on_day(facts, *partials)
    return partials


def _spat_fry(facts: Facts) -> bool:
    verb = facts.verb_at()
    out = [token.text for token in facts.tokens[verb : verb + 2]]
    young = [quantity for quantity in facts.free() if quantity.noun == "fry" and quantity.value]
    return len(young) == 1 and " ".join(out).startswith(("spat out", "spit out")) and not facts.has("egg", "verb:die")


def _her_number(facts: Facts) -> list[Quantity]:
    """The bare number that is the label of the one who was stripped or let go: before the verb, or right behind it."""
    if facts.where("fish"):
        return []
    verb = facts.verb_at()
    bare = [quantity for quantity in facts.free() if quantity.bare and isinstance(quantity.value, int)]
    before = [quantity for quantity in bare if quantity.end <= verb]
    behind = [quantity for quantity in bare if quantity.at in (verb + 1, verb + 2) and str(quantity.value) in facts.names.females]
    hashed = facts.where("hash")
    if hashed:
        n = hashed[0]
        facts.used.add(n)
        return [Quantity(n, n + 1, int(str(facts.tokens[n].value)))]
    chosen = (before or behind)[:1]
    for quantity in bare:
        joined = (
            bool(chosen) and quantity.at == chosen[-1].end + 1 and facts.tokens[quantity.at - 1].text in ("and", "&", "+", ",")
        )
        follows = facts.tokens[quantity.end] if quantity.end < len(facts.tokens) else None
        if joined and str(quantity.value) in facts.names.females and (follows is None or follows.kind != "number"):
            chosen.append(quantity)
    return chosen


def _brood_count(facts: Facts, partial: Partial, needed: bool) -> None:
    for noun, slot in (("egg", "eggs"), ("dead", "dead")):
        told = [quantity for quantity in facts.free() if quantity.noun == noun]
        if not told and (word := _unread_before(facts, noun)):
            partial.put(slot, Trouble(slot, "uncertain", word))
        for quantity in told[:1]:
            facts.use(quantity)
            partial.put(slot, quantity.value if quantity.value is not None else Trouble(slot, "ambiguous", quantity.said))
    counts = [quantity for quantity in facts.free() if quantity.noun in ("", "fry") and not quantity.sex]
    if len(counts) > 1:
        for quantity in counts:
            facts.use(quantity)
        partial.put("count", Trouble("count", "ambiguous", " / ".join(quantity.said for quantity in counts)))
        return
    if (
        counts
        and counts[0].bare
        and str(counts[0].value) in facts.names.females
        and counts[0].at - 1 in facts.used
        and facts.tokens[counts[0].at - 1].kind == "number"
    ):
        partial.put("count", Trouble("count", "uncertain", facts.use(counts[0]).said))
    elif counts:
        put_count(facts, partial, counts[0])
    elif needed:
        partial.put("count", Trouble("count"))


def _unread_before(facts: Facts, noun: str) -> str:
    """ "foour eggs": the word that stands where their number would."""
    for n, token in enumerate(facts.tokens):
        if not token.has("verb:die" if noun == "dead" else noun):
            continue
        at = n - 1
        while at >= 0 and facts.tokens[at].has("deformed", "egg"):
            at -= 1
        if at >= 0 and at in facts.unknown_words() and len(facts.tokens[at].text) > 2:
            return facts.tokens[at].text
    return ""


def put_count(facts: Facts, partial: Partial, quantity: Quantity, slot: str = "count") -> None:
    """Fill a count, with `approx` where doubt was said."""
    facts.use(quantity)
    if quantity.value is None:
        partial.put(slot, Trouble(slot, quantity.why or "ambiguous", quantity.said))
    elif not isinstance(quantity.value, int) or quantity.value < 0 or quantity.value > 99999:
        partial.put(slot, Trouble(slot, "impossible", quantity.said))
    elif quantity.why:
        partial.put(slot, Trouble(slot, quantity.why, quantity.said))
    else:
        partial.put(slot, quantity.value)
        if quantity.approx:
            partial.put("approx", True)


def released(facts: Facts) -> list[Partial]:
    """She let the fry go herself; "released 6" may be six fry."""
    partials = []
    hers = _her_number(facts)
    if len(hers) == 1 and len(facts.free()) == 1 and hers[0].at > facts.verb_at() and not facts.where("hash"):
        facts.use(hers[0])
        partials.append(Partial("released", {}, [Trouble("female", "ambiguous", str(hers[0].value))]))
        hers = []
    for lady in females(facts, hers) if not partials else ():
        partial = Partial("released")
        partial.put("female", lady)
        partials.append(partial)
    if len(partials) == 1:
        _brood_count(facts, partials[0], needed=False)
    for partial in partials:
        for slot in ("eggs", "dead"):
            if slot in partial.slots:
                del partial.slots[slot]
                partial.put("count", Trouble("count", "ambiguous"))
    on_day(facts, *partials)
    return partials


def stripped(facts: Facts) -> list[Partial]:
    """The fry were taken from her mouth: live, eggs, dead, where to and under what letters."""
    ladies = females(facts, _her_number(facts))
    if len(ladies) > 1:
        return [_one_of_several(lady) for lady in ladies]
    partial = Partial("stripped")
    partial.put("female", ladies[0])
    for n in facts.where("fish"):
        fish = facts.tokens[n].value
        if isinstance(fish, Fish) and fish.sex == "male":
            facts.used.add(n)
            partial.put("female", Trouble("female", "impossible", facts.tokens[n].text))
    letters = called(facts, "batch")
    partial.put("batch", letters)
    _brood_count(facts, partial, needed=True)
    shared = [token.text for token in facts.tokens if token.text in ("half", "most", "rest", "quarter", "third")]
    if shared:
        partial.put("to", Trouble("to", "ambiguous", shared[0]))
    aimed = {place for place in facts.place_names() if facts.clause.verb == "strip"}
    partial.put(
        "to", Trouble("to", "ambiguous", "", tuple(sorted(aimed))) if len(aimed) > 1 and _for_her(facts) else facts.destination()
    )
    on_day(facts, partial)
    return [partial]


def _for_her(facts: Facts) -> bool:
    """Whether one of several places may be where she herself went."""
    sources = [n for n in facts.where("place") if facts.before(n) in ("from", "in", "out of")]
    return len(facts.where("place")) - len(sources) > 1


def _one_of_several(lady: str | Trouble) -> Partial:
    partial = Partial("stripped")
    partial.put("female", lady)
    partial.put("count", Trouble("count"))
    return partial


def called(facts: Facts, slot: str) -> str | Trouble | None:
    """New letters asked for ("call it F", "as batch F"); letters in use are a trouble."""
    for n in facts.where("batch"):
        before = facts.tokens[n - 1] if n else None
        if n in facts.used or before is None:
            continue
        earlier = facts.tokens[n - 2] if n > 1 else before
        named = before.has("call_it", "verb:name") or earlier.has("call_it", "verb:name")
        introduced = named or before.text in ("=", "new", "as", ":")
        if introduced or (facts.clause.verb == "strip" and "batch" in facts.tokens[n].text):
            facts.used.add(n)
            letters = str(facts.tokens[n].value)
            return Trouble(slot, "taken", letters) if letters in facts.names.batches else letters
    return None


def left(facts: Facts) -> list[Partial]:
    """A known fish left: sold, given away, retired."""
    partials = []
    for n in facts.where("fish"):
        fish = facts.tokens[n].value
        if isinstance(fish, Fish):
            facts.used.add(n)
            partial = Partial("left")
            partial.put(fish.sex, facts.known(fish.sex, fish.label))
            partials.append(partial)
    member = facts.member("to", "for", "with")
    for partial in partials:
        partial.put("member", member)
    facts.used.update(facts.where("money"))
    on_day(facts, *partials)
    return partials


def named(facts: Facts) -> list[Partial]:
    """A breeder is given a nickname."""
    partial = Partial("named")
    fish = list(facts.where("fish"))
    value = facts.tokens[fish[0]].value if fish else None
    if isinstance(value, Fish):
        facts.used.update(fish[:1])
        partial.put(value.sex, facts.known(value.sex, value.label))
    else:
        partial.put("female", Trouble("female"))
    start = max([facts.verb_at(), *fish[:1]])
    words = [
        token for token in facts.tokens[start + 1 :] if token.kind == "word" and not token.has("filler", "call_it", "verb:name")
    ]
    partial.put(
        "nickname", words[0].text.title() if len(words) == 1 else Trouble("nickname", "missing" if not words else "ambiguous")
    )
    return [partial]
