"""What each kind of question asks about: its slots out of the words of the question."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence

from bot.reading.facts import Facts
from bot.reading.implied import WATER
from bot.reading.kinds_orders import least_length
from bot.reading.partial import Partial, Trouble
from bot.reading.query_subjects import KEYWORDS, Question, the_subject, unknown_subject


def about(
    kind: str, kinds: Sequence[str] = ("female", "male", "batch", "place"), needed: bool = True
) -> Callable[[Question], Partial | None]:
    """The maker of a query about one fish, batch or place."""

    def make(question: Question) -> Partial | None:
        partial = Partial(kind)
        subject = the_subject(question, kinds)
        if subject:
            partial.put(*subject[0])
        elif needed:
            unknown = [n for n in question.facts.unknown_words() if question.facts.tokens[n].text not in KEYWORDS]
            return None if len(unknown) != 1 else unknown_subject(partial, kinds[0], question.facts.tokens[unknown[0]].text)
        return partial

    return make


def plain_of(kind: str) -> Callable[[Question], Partial | None]:
    """The maker of a query without slots."""
    return lambda question: Partial(kind)


def status(question: Question) -> Partial | None:
    """How things stand."""
    subject = the_subject(question)
    partial = Partial("status")
    if subject:
        partial.put(*subject[0])
    elif question.facts.unknown_words():
        whole = re.search(r"\b(?:fishroom|fish room|everything|all|room|whole|overview|summary)\b", question.flat)
        return (
            partial
            if whole
            or (
                len(question.facts.unknown_words()) == 1
                and question.flat.split()[0] == "status"
                and len(question.flat.split()) == 1
            )
            else None
        )
    return partial


def status_named(question: Question) -> Partial | None:
    """ "Is 4 holding?", "how many in B": only where something is named."""
    subject = the_subject(question)
    if not subject:
        return None
    partial = Partial("status")
    partial.put(*subject[0])
    return partial


_ALL_FISH = re.compile(
    r"^(?:(?:so|and|hi|total|ok) )*(?:how many|total(?: number)?|number|count)(?: of)?(?: all)?(?: (?:my|our|the))? (?:fish|young|fry)"
    r"(?: (?:do|have|are|is|there|left|got|i|we|now|altogether|here|in|at|all|total|the|my|our|this|fishroom|fish ?room|whole|place|home))*$"
)
"""All the fish that somebody keeps, and nothing that narrows them."""


def count_of(question: Question) -> Partial | None:
    """ "How many in B", also by the one place or strain that stands for a batch."""
    subject = the_subject(question, ("batch", "place", "female", "male"))
    if not subject:
        return Partial("status") if _ALL_FISH.match(question.flat) else None
    partial = Partial("contents" if subject[0][0] == "place" else "status")
    partial.put(*subject[0])
    return partial


def _span(question: Question) -> str | None:
    if re.search(r"\b(?:tomorrow|tmrw|tmw|tomoz|2moro|tommorow|tomorow|tmr)\b", question.flat):
        return "tomorrow"
    if re.search(r"\b(?:today|tonight|2day|now|this (?:morning|evening|afternoon|am|pm))\b", question.flat):
        return "today"
    if re.search(r"\b(?:week|wk|weekly|7 days|next few days|coming days|seven days)\b", question.flat):
        return "week"
    return None


def _due(question: Question) -> Partial | None:
    return Partial("due", {"span": _span(question) or "today"})


def pickups(question: Question) -> Partial | None:
    """Who comes to fetch."""
    partial = Partial("pickups")
    partial.put("span", _span(question))
    return partial


def _available(question: Question) -> Partial | None:
    facts = question.facts
    partial = Partial("available")
    strains = facts.where("strain")
    partial.put("strain", str(facts.tokens[strains[0]].value) if strains else _unknown_fish(question))
    sexes = {str(facts.tokens[n].value) for n in facts.where("sex")}
    counts = [quantity for quantity in facts.free() if isinstance(quantity.value, int)]
    partial.put("sex", sexes.pop() if len(sexes) == 1 else None)
    if len(counts) == 1:
        partial.put("count", facts.use(counts[0]).value)
    partial.put("min_mm", least_length(facts))
    facts.used.update(n for n in facts.where("day") if getattr(facts.tokens[n].value, "form", "") == "ago:0")
    day = facts.day("future", "by")
    partial.put("by", day if isinstance(day, Trouble) or day is None else day.isoformat())
    return partial


def _unknown_fish(question: Question) -> Trouble | None:
    """ "any demasoni for sale": the word where a strain stands, and the club has none of that name."""
    found = re.search(
        r"\bany (?:more |of the |of your |young )?([a-z]+)(?: fry| females?| males?)? (?:for sale|available|up for|to sell)",
        question.flat,
    )
    unknown = {question.facts.tokens[n].text for n in question.facts.unknown_words()}
    return Trouble("strain", "unknown", found.group(1)) if found and found.group(1) in unknown else None


def reservations(question: Question) -> Partial | None:
    """Who reserved what."""
    facts = question.facts
    partial = Partial("reservations")
    batches = facts.batches()
    member = facts.member() or facts.member("for", "has", "does", "did")
    mine = re.search(
        r"\b(?:my|i|ive|mine|me|have i|i have)\b", re.sub(r"\b(?:show|tell|give|remind|remind) me\b", "", question.flat)
    )
    if batches:
        partial.put("batch", batches[0])
    elif member:
        partial.put("member", member)
    elif mine:
        partial.put("member", facts.scene.by)
    return partial


def member_reservations(question: Question) -> Partial | None:
    """ "Tomek's reservations"."""
    return reservations(question) if question.facts.where("member") else None


def relatedness(question: Question) -> Partial | None:
    """How a female and a male are related."""
    partial = Partial("relatedness")
    facts = question.facts
    for slot in ("female", "male"):
        found = facts.fish(slot)
        if len(found) == 1:
            partial.put(slot, found[0])
    missing = [
        slot for slot in ("female", "male") if slot not in partial.slots and not any(t.slot == slot for t in partial.troubles)
    ]
    bare = [quantity for quantity in facts.free() if quantity.bare]
    for quantity in bare:
        if not missing:
            break
        result = facts.labelled(facts.use(quantity), missing, missing[0])
        if isinstance(result, Trouble):
            partial.put(missing[0], result)
            missing.pop(0)
        else:
            partial.put(*result)
            missing.remove(result[0])
    return partial if partial.slots or partial.troubles else None


def strip_date(question: Question) -> Partial | None:
    """When a female can be stripped."""
    partial = Partial("strip_date")
    subject = the_subject(question, ("female",))
    due = re.search(r"^when (?:is|will) (\d+) (?:be )?due$", question.flat)
    if not subject and due and due.group(1) in question.facts.names.females:
        subject = [("female", due.group(1))]
    if not subject:
        described = question.facts.described("female")
        if described is None:
            return unknown_subject(partial, "female", "") if re.search(r"strip date|when .*strip", question.flat) else None
        subject = [("female", described[0] if len(described) == 1 else Trouble("female", "ambiguous", "", tuple(described)))]
    partial.put(*subject[0])
    return partial


def bagging(question: Question) -> Partial | None:
    """How many bags for so many fish."""
    partial = Partial("bagging")
    facts = question.facts
    found = re.search(r"\b(?:for )?(\d+|an?) (?:hours?|hrs?|h)\b", question.flat)
    hours = {"a": 1, "an": 1}.get(found.group(1)) or int(found.group(1)) if found else None
    strains = facts.where("strain")
    batches = facts.batches() if facts.where("batch") or not strains else []
    if batches:
        partial.put("batch", batches[0])
    elif strains:
        partial.put("strain", str(facts.tokens[strains[0]].value))
    else:
        partial.put("batch", Trouble("batch"))
    counts = [quantity for quantity in facts.free() if isinstance(quantity.value, int) and not _is_hours(facts, quantity.end)]
    partial.put("count", counts[0].value if counts else Trouble("count"))
    partial.put("hours", hours)
    return partial


def _is_hours(facts: Facts, end: int) -> bool:
    return end < len(facts.tokens) and facts.tokens[end].text in ("hour", "hours", "hrs", "hr", "h")


def unsexed_needed(question: Question) -> Partial | None:
    """How many unsexed fish make so many of each sex."""
    partial = Partial("unsexed_needed")
    for quantity in question.facts.free():
        if quantity.sex in ("male", "female"):
            partial.put(f"{quantity.sex}s", question.facts.use(quantity).value)
    percents = question.facts.where("percent")
    if percents:
        partial.put("certainty", round(question.facts.tokens[percents[0]].number / 100, 4))
    return partial if partial.slots else None


def pairings(question: Question) -> Partial | None:
    """Which males fit."""
    partial = Partial("pairings")
    subject = the_subject(question, ("female",))
    strains = question.facts.where("strain")
    if subject:
        partial.put(*subject[0])
    elif strains:
        partial.put("strain", str(question.facts.tokens[strains[0]].value))
    return partial


def where(question: Question) -> Partial | None:
    """Where a fish or a batch is."""
    if re.search(r"\bwhere (?:do|can|should) (?:i|we|you)\b", question.flat) and not the_subject(
        question, ("female", "male", "batch")
    ):
        return None
    return about("where", ("female", "male", "batch"))(question)


def _contents(question: Question) -> Partial | None:
    places = [subject for subject in the_subject(question, ("place",)) if subject[0] == "place"]
    if not places:
        return None
    partial = Partial("contents")
    partial.put(*places[0])
    return partial


def holding_list(question: Question) -> Partial | None:
    """Who is holding; not where one is named."""
    named = bool(question.facts.where("fish", "batch")) or any(quantity.bare for quantity in question.facts.free())
    return None if named else Partial("holding_list")


def history(question: Question) -> Partial | None:
    """What happened to a fish, a batch or a place."""
    return None if re.search(r"^history (?:repeats?|will|has)\b", question.flat) else about("history")(question)


def forecast(question: Question) -> Partial | None:
    """When a batch is ready, or how big it will be."""
    weather = question.facts.has("hearsay", "thing") and not question.facts.where("batch")
    if weather or re.search(r"\b(?:feed|food|water|strip|pellets?)\b", question.flat):
        return None
    subject = the_subject(question, ("batch",))
    timed = re.search(
        r"\b(?:whens?|how long|how soon|how big|how large|how fast|forecast|what (?:day|date|month|week)|outlook|projection|will)\b",
        question.flat,
    )
    strained = bool(question.facts.where("strain"))
    if not timed or (not subject and not re.search(r"\bforecast\b", question.flat)):
        return None
    if not subject and strained:
        return None
    partial = Partial("forecast")
    partial.put(*(subject[0] if subject else ("batch", question.facts.batch_like() or Trouble("batch"))))
    return partial


def available_checked(question: Question) -> Partial | None:
    """What is for sale, by strain, sex, number, size and day."""
    facts = question.facts
    told = re.search(
        r"\b(?:for sale|available|in stock|on offer|up for grabs|to sell|selling|on the shelf|availability|shelf|for grabs|sale list|stock list)\b",
        question.flat,
    )
    if facts.where("batch", "fish") or any(token.has("thing", "food") for token in facts.tokens):
        return None
    return (
        _available(question)
        if told or (facts.where("strain") and not any(token.has("verb:hold", "verb:die") for token in facts.tokens))
        else None
    )


def due_checked(question: Question) -> Partial | None:
    """What is due; not where something is named."""
    if question.facts.where("fish", "batch", "place", "reservation", "hash", "member", "strain") or question.facts.has("thing"):
        return None
    return _due(question)


def ration(question: Question) -> Partial | None:
    """How much to feed."""
    if not re.search(r"\b(?:feed|food|ration|eat|grams|feeding|fed)\b", question.flat):
        return None
    if re.search(r"\b(?:you all|you guys|you lot|everyone|do you|do people|others|your)\b", question.flat):
        return None  # "what do you all feed your labs": asked of people
    return about("ration", ("batch", "place"))(question)


def water(question: Question) -> Partial | None:
    """How the water of a place is."""
    if any(token.kind == "number" for token in question.facts.tokens) or re.match(
        r"^(?:why|how (?:do|can|should|to))\b", question.flat
    ):
        return None
    partial = Partial("water")
    places = [subject for subject in the_subject(question, ("place",)) if subject[0] == "place"]
    if not places and not re.search(r"\b(?:water|params|parameters)\b", question.flat):
        return None
    if not places:
        here = question.facts.scene.context.here
        places = [("place", here)] if here else [("place", Trouble("place"))]
    partial.put(*places[0])
    return partial


def contents_checked(question: Question) -> Partial | None:
    """What is in a place; not how its water is."""
    if any(token.has(*WATER) for token in question.facts.tokens) or question.facts.has("thing"):
        return None
    if re.search(r"\b(?:my|the|our|your) (?:whole )?fish ?room\b", question.flat):
        return Partial("status")
    if re.search(r"\bhow many|how much|\bdead\b|\bdied\b|wrong|matter|problem|water\b", question.flat):
        return None
    return _contents(question)
