"""Whether words of the trade are only talk here: figures of speech, things, other people's fish, conditions."""

from __future__ import annotations

import itertools
from collections.abc import Sequence

from bot.reading.facts import Facts
from bot.reading.figures import figure_of_speech, undone_thing
from bot.reading.pieces import ENTITIES, Clause, names_something
from bot.reading.tokens import Token
from bot.reading.vocabulary import ordinary_words


def conditional(tokens: Sequence[Token]) -> bool:
    """Whether a condition stands over the sentence ("if 6 spits, …"): then nothing of it has happened."""
    for n, token in enumerate(tokens):
        if not token.has("condition"):
            continue
        following = tokens[n + 1] if n + 1 < len(tokens) else None
        if token.text in ("once", "while", "otherwise") and (following is None or following.kind == "punct"):
            continue
        if token.text == "otherwise" and not _verb_follows(tokens[n + 1 :]):
            continue  # "…, otherwise all good"
        if token.text in ("until", "till", "before", "by the time", "the day") and (
            following is None or following.kind in ("day", "clock") or following.has("food")
        ):
            continue
        if token.text in ("when", "once", "until", "till", "as soon as") and following is not None and following.text in _GROWN:
            return True
        told = any(meaning.startswith("verb:") for earlier in tokens[:n] for meaning in earlier.means)
        behind = any(meaning.startswith("verb:") for later in tokens[n:] for meaning in later.means)
        if token.text in ("before", "while", "when") and told and not behind:
            continue
        return True
    return False


def _verb_follows(tokens: Sequence[Token]) -> bool:
    """Whether a verb stands in the same piece."""
    piece = itertools.takewhile(lambda token: token.kind != "punct" and token.text not in ("and", "but"), tokens)
    return any(meaning.startswith("verb:") for token in piece for meaning in token.means)


def before_condition(tokens: Sequence[Token]) -> Sequence[Token]:
    """ "8 swallowed her brood, if 6 spits I'll cry": what is done stands before a condition that begins anew; the words before it."""
    at = next((n for n, token in enumerate(tokens) if token.has("condition") and n and tokens[n - 1].text in (",", ";", "+")), None)
    if at is None or tokens[at].text not in ("if", "unless", "in case", "whenever"):
        return tokens
    verbs = [token for token in tokens[:at] if any(meaning.startswith("verb:") for meaning in token.means) and not token.has("filler")]
    done = bool(verbs) and all(token.has("form:done") and not token.has(*_AGREED) for token in verbs)
    done = done and any(token.kind in (*ENTITIES, "number", "member") for token in tokens[at:])
    hoped = any(token.has("plan", "negation", "hedge") for token in tokens[:at])
    return tokens[: at - 1] if done and not hoped else tokens


_AGREED = ("verb:reserve", "verb:offer", "verb:pickup", "verb:cancel", "verb:want", "verb:withdraw")
_GROWN = frozenset(["ready", "big", "old", "large", "grown", "sexed", "sexable", "weaned", "they", "theyre", "theyve"])
"""What young are waited for to be: "for sale when ready"."""


def only_values(clause: Clause) -> bool:
    """Whether a clause without a verb is nothing but names and numbers: "24. Box 2"."""
    told = ("number", "fish", "batch", "place", "suffixed", "length", "percent", "range")
    plain = all(token.kind in (*told, "punct", "day") or token.has("fry", "egg", "filler") for token in clause.tokens)
    return plain and bool(clause.having(*told))


def foreign(clause: Clause) -> bool:
    """ "Oleg's f4 is holding", "my friend's male died": somebody else's fish."""
    agreed = clause.verb in ("cancel", "collected", "pickup", "no_show", "deposit") and clause.having("member")
    own = any(token.text == "own" for token in clause.tokens)  # "as a group of their own"
    if _kin_did(clause):
        return True
    if not agreed and any(token.has("foreign") and not token.has("filler") and not own for token in clause.tokens):
        return True
    return any(
        token.kind == "member"
        and token.note == "possessive"
        and n + 1 < len(clause.tokens)
        and clause.tokens[n + 1].kind in ("fish", "sex", "batch", "number", "strain", "place")
        for n, token in enumerate(clause.tokens)
    )


_KIN = {
    *("friend", "buddy", "mate", "pal", "neighbour", "neighbor", "colleague", "coworker", "boss", "teacher", "roommate", "flatmate"),
    *("brother", "sister", "cousin", "uncle", "aunt", "nephew", "niece", "grandad", "grandpa", "grandma"),
}


def _kin_did(clause: Clause) -> bool:
    """ "my brother lost 4 fish", "a friend of mine stripped 40 fry": with nothing named that is ours, theirs."""
    if clause.having("fish", "batch", "place", "reservation", "hash"):
        return False
    words = [token for token in clause.tokens if token.text not in ("of", "mine", "just")]
    return any(
        a.text in ("my", "a", "the", "our", "one", "an old") and b.text in _KIN and any(m.startswith("verb:") for m in c.means)
        for a, b, c in zip(words, words[1:], words[2:], strict=False)
    )


_NEEDS_SUBJECT = frozenset(
    [
        "hold",
        "lose_brood",
        "release",
        "die",
        "lose",
        "move",
        "feed",
        "spawn",
        "count",
        "measure",
        "sex",
        "split",
        "merge",
        "hold_back",
        "cull",
        "join",
        "leave",
        "offer",
        "withdraw",
        "pickup",
        "collected",
        "cancel",
        "no_show",
        "deposit",
        "want",
        "reserve",
        "left_over",
        "strip",
        "change_water",
        "name",
        "confirm",
        "decline",
        "mix",
        "change_reservation",
    ]
)


def _plainly(clause: Clause, facts: Facts) -> bool | None:
    """What single words settle: a thing that died, money lost, a heater set; None where they do not."""
    tokens = clause.tokens
    asked = facts.verb_at() if clause.verb == "reserve" and clause.having("batch", "strain") else -1  # "book 3 of A"
    if any(token.has("thing") and n != asked and not _shows(clause, token) and _beside(tokens, n, clause) for n, token in enumerate(tokens)):
        return True
    if figure_of_speech(clause, facts) or _full_place(clause, facts) or _only_recalled(tokens):
        return True
    since = clause.having("day") and any(token.text == "since" for token in tokens)
    if clause.verb == "hold" and since and not facts.unknown_words():
        return False
    wished = clause.verb == "want" and len(facts.unknown_words()) == 1 and tokens[0].text in ("wanted", "wtb", "iso")
    return False if wished and not facts.has("thing") else None


def _full_place(clause: Clause, facts: Facts) -> bool:
    """ "the tub is full": no mouth is."""
    named = clause.having("fish", "number") or facts.has("bare_pronoun", "he", "they", "brood_word")
    return clause.verb == "hold" and not named and bool(clause.having("place")) and any("full" in token.text.split() for token in clause.tokens)


def _only_recalled(tokens: Sequence[Token]) -> bool:
    """ "still sad about that batch we lost": a relative clause recalls what is known."""
    return any(
        one.has("they", "batch_word", "fry") and who.text in ("we", "i") and did.has("form:done") and n
        for n, (one, who, did) in enumerate(zip(tokens, tokens[1:], tokens[2:], strict=False))
    ) and not any(token.kind in ("number", "fish", "batch") for token in tokens)


def _shows(clause: Clause, token: Token) -> bool:
    """ "the thermometer of box 2 shows 25.5": the thing tells of the water."""
    return clause.verb == "test" and token.text == "thermometer"


def idle(clause: Clause, facts: Facts) -> bool:
    """Whether words of the trade are only talk here: figures of speech, things, or nothing that could be meant."""
    tokens = clause.tokens
    if facts.has("exception") or _all_fed(clause, facts):
        return False
    if clause.verb == "undo":
        return undone_thing(clause, facts)
    settled = _plainly(clause, facts)
    if settled is not None:
        return settled
    named = names_something(clause) or bool(clause.having("strain", "length", "temp", "percent"))
    unknown = len(facts.unknown_words())
    counted = bool(facts.quantities) or bool(clause.having("money"))
    if named:
        return unknown > 6 and not clause.having("fish", "batch", "place", "reservation", "hash")
    if clause.verb in ("hold",) and facts.has("bare_pronoun", "he", "they") and not counted:
        return unknown > 1 or not (scene_has(facts))
    if clause.verb in ("pickup", "cancel", "no_show", "collected", "deposit"):
        told = bool(clause.having("member", "day", "clock", "money")) or facts.has("mine", "reservation")
        told = told or any(str(token.value) in facts.names.reservations for token in clause.having("number"))
        return (
            unknown > (0 if clause.verb in ("collected", "no_show") else 2)
            or (not told and (len(tokens) > 3 or unknown > 0))
            or (clause.verb == "cancel" and not clause.having("member") and unknown > 0)
        )
    if (
        facts.scene.context.here
        and unknown == 0
        and clause.verb in ("feed", "change_water", "die", "lose", "count", "move", "cull")
    ):
        return False
    if unknown <= 1 and _goes_on(facts) and clause.verb in _NEEDS_SUBJECT - {"join", "want", "reserve", "offer"}:
        return False
    if clause.verb == "test" and unknown == 0 and (facts.scene.memory.places or facts.scene.memory.there):
        return False  # "fed tank 2, temp 26c"
    if counted:
        return unknown > 2 or (facts.has("thing")) or _about_people(tokens)
    bare = [token for token in tokens if token.kind != "punct" and not token.has("filler")]
    if clause.verb == "spawn" and unknown == 0 and all(token.kind in ("day", "clock") or token.text in _SPAWNING for token in bare):
        return False
    if (clause.verb == "feed" and clause.having("weight") and unknown == 0) or _stranger_does(clause, facts, bare):
        return False
    if facts.has("bare_pronoun", "they", "he", "fry", "egg", "batch_word") or clause.having("sex"):
        return unknown > 1 or (
            clause.verb in ("leave", "want", "reserve", "join", "offer", "count", "move")
            and not clause.having("sex")
            and not facts.has("fry", "egg", "batch_word")
        )
    return len(bare) > 1 or clause.verb not in _LONELY


def _stranger_does(clause: Clause, facts: Facts, bare: Sequence[Token]) -> bool:
    """ "Waffles holding", "Waffles spat": somebody whom the club does not know is said to do what fish do."""
    unknown = facts.unknown_words()
    if len(unknown) != 1 or unknown[0] > facts.verb_at():
        return False
    if clause.verb == "hold":
        return len(bare) <= 4 and not facts.has("mine", "they")
    named = clause.tokens[unknown[0]]
    return clause.verb in ("lose_brood", "release") and len(bare) == 2 and bare[0] is named and named.text not in ordinary_words()


_SPAWNING = ("spawned", "spawning", "have spawned")
_LONELY = frozenset({"strip", "cull", "change_water", "split", "merge"})
"""Verbs that by themselves are a report begun."""


def _all_fed(clause: Clause, facts: Facts) -> bool:
    """ "fed everyone": a report, though it names nobody."""
    everybody = any(token.text in ("everyone", "everybody", "everything", "all of them", "the lot", "all") for token in clause.tokens)
    return clause.verb == "feed" and everybody and not facts.has("thing") and not any(n > facts.verb_at() for n in facts.unknown_words())


def _goes_on(facts: Facts) -> bool:
    """Whether the message has already spoken of something that this clause can be about."""
    memory = facts.scene.memory
    return bool(memory.female or memory.male or memory.batches or memory.places)


def scene_has(facts: Facts) -> bool:
    """Whether somebody was spoken of whom "she" could mean."""
    scene = facts.scene
    return bool(scene.memory.female or scene.context.female or scene.memory.batches or scene.context.batch)


def _about_people(tokens: Sequence[Token]) -> bool:
    return any(
        token.text in ("us", "people", "members", "guys", "pm", "oclock", "euros")
        for token in tokens
        if token.kind == "word" and not token.has("fry")
    )


def _beside(tokens: Sequence[Token], n: int, clause: Clause) -> bool:
    """Whether a thing is what the verb or a number is said of: "the heater died", "2 snails", "fed the dog"."""
    before = next(
        (
            token
            for token in reversed(tokens[:n])
            if token.kind != "punct" and token.text not in ("the", "a", "an", "my", "new", "our", "some")
        ),
        None,
    )
    numbered = before is not None and before.kind == "number"
    if numbered or any(token.kind in ("fish", "batch", "reservation", "hash") for token in tokens):
        return numbered
    verb = next((k for k, token in enumerate(tokens) if f"verb:{clause.verb}" in token.means), -1)
    return (
        n < verb
        or before is None
        or bool(before.means & {f"verb:{clause.verb}"})
        or not clause.having("sex", "strain", "number", "place", "percent")
    )
