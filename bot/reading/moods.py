"""Whether the words of a piece are only talk: negations, plans, hopes, hearsay, habits."""

from __future__ import annotations

from collections.abc import Sequence

from bot.reading.pieces import ENTITIES, Clause, verb_of
from bot.reading.quantities import HEDGES
from bot.reading.tokens import Token


def is_talk(inner: Sequence[Token], verb: str, last: Clause | None, form: str) -> bool:
    """Whether the words make it a negation, a plan, a hope or hearsay: then nothing of it is reported."""
    verbs = [n for n, token in enumerate(inner) if verb_of(token)]
    if form == "base" and verb and _only_hoped(inner, verb):
        return True
    if verb in ("no_show", "withdraw") and any(token.text == "yet" for token in inner):
        return True
    if any(token.text in _TELLING_WORDS for token in inner) and (_to_be_done(inner, verb) or _last_time(inner) or _only_looks(inner, verb)):
        return True
    for n, token in enumerate(inner):
        if token.has("negation") and not _harmless_no(inner, n, verbs):
            return True
        if verb == "pickup" and token.text in PICKUP_PLANS:
            continue
        if token.text in HEDGES and _number_doubted(inner, n, verbs):
            continue
        if token.has("plan", "hedge", "hearsay", "habit") and not verb_of(token) and not token.has("filler"):
            return True
        if (
            token.kind == "day"
            and verb
            and verb not in ("pickup", "reserve", "want", "offer")
            and _progressive_plan(inner, token)
        ):
            return True
    decided = verb in AGREED and not (last and any(token.has("plan") for token in last.tokens))
    return bool(last and last.talk and verb and form == "base" and not decided)


PICKUP_PLANS = frozenset(
    {
        "ill",
        "will",
        "gonna",
        "going to",
        "planned",
        "would like",
        "id",
        "want to",
        "wants to",
        "hell",
        "shell",
        "theyll",
        "scheduled",
        "due to",
    }
)
"""A pickup is agreed for a day to come: these do not make it doubtful."""
FETCHED_LATER = PICKUP_PLANS | {"gets", "get", "being", "getting"}
"""Before "collected", with a day: it is to be fetched then."""


def _harmless_no(inner: Sequence[Token], n: int, verbs: Sequence[int]) -> bool:
    """ "no eggs", "none dead", "no deaths" behind the verb say that there were none of these; the event stands."""
    if not verbs or n < verbs[0]:
        return False
    if n and inner[n - 1].kind in ("number", "fish", "batch") and n + 1 == len(inner):
        return False
    entities = any(token.kind in (*ENTITIES, "number") for token in inner[n + 1 :])
    return inner[n].text in ("no", "none", "without", "nothing") or not entities


def _number_doubted(inner: Sequence[Token], n: int, verbs: Sequence[int]) -> bool:
    """ "stripped f6, maybe 25 fry": behind the verb, right at a number, the number is doubted and not the stripping."""
    told = bool(verbs) and verbs[0] < n and inner[verbs[0]].has("form:done")
    return told and n + 1 < len(inner) and inner[n + 1].kind == "number"


_SEEN_ONLY = frozenset({"spawn", "lose_brood", "release", "die", "lose"})


def _only_hoped(inner: Sequence[Token], verb: str) -> bool:
    """A verb in its plain form behind "to", or one that nobody commands ("I'd love to see f4 spawn")."""
    at = next(n for n, token in enumerate(inner) if verb_of(token) == verb)
    before = [token for token in inner[:at] if token.kind == "word"]
    if before and before[-1].text == "to":
        return len(before) < 2 or before[-2].text not in ("had", "please", "pls")
    if before and before[0].text in ("saw", "watched", "caught"):
        return False  # "saw f5 spawn with male 2"
    done = any(token.text in ("has", "have", "did") for token in inner[:at])
    between = 0 < at < len(inner) - 1 and inner[at - 1].kind == inner[at + 1].kind == "fish"
    pair = (done or between) or (
        all(token.kind in ("fish", "punct") or token.has("with") for token in inner[:at])
        and sum(token.kind == "fish" for token in inner[:at]) == 2
    )
    return verb in _SEEN_ONLY and at > 0 and not (verb == "spawn" and pair)


AGREED = frozenset({"reserve", "cancel", "confirm", "decline", "pickup", "name"})
"""What is decided by saying it: "res 12 to be cancelled" asks for it."""
_DONE_TO_THEM = frozenset(
    ["move", "cull", "strip", "feed", "change_water", "test", "split", "merge", "measure", "count", "sex", "hold_back", "leave", "offer", "withdraw"]
)
_GOING = frozenset(["go", "come", "return", "stay", "head", "get"])
_FOUND = frozenset(["found", "seen", "out", "proved", "happened"])


def _to_be_done(inner: Sequence[Token], verb: str) -> bool:
    """ "D to be moved to the tub", "dot to go to recovery": what is still to come; "2 had to be culled" is done."""
    for n, token in enumerate(inner):
        if token.text not in ("to", "to be"):
            continue
        before = inner[n - 1].text if n else ""
        following = inner[n + 1] if n + 1 < len(inner) else None
        if following is None or before in ("had", *_FOUND):
            continue
        if token.text == "to" and following.text in _GOING and not any(other.has("form:done") and not other.has("filler") for other in inner[:n]):
            return True
        if token.text == "to be" or (token.text == "to" and following.text == "be"):
            passive = verb_of(following) or (verb if following.text in ("done", "be") else "")
            return passive in _DONE_TO_THEM or (following.text == "done" and verb not in AGREED)
    return False


_LOOKING = ("looks", "look", "looking", "looked", "played", "playing")
_TELLING_WORDS = frozenset(["to", "to be", "last", *_LOOKING])


def _only_looks(inner: Sequence[Token], verb: str) -> bool:
    """ "f4 looks dead", "f4 played dead": nobody has died."""
    return verb == "die" and any(token.text in _LOOKING for token in inner)


def _last_time(inner: Sequence[Token]) -> bool:
    """ "f6 stripped last time 28": not this time; "3 more than last time" only compares."""
    texts = [token.text for token in inner]
    at = next((n for n in range(len(texts) - 1) if texts[n : n + 2] == ["last", "time"]), None)
    return at is not None and not (at and texts[at - 1] in ("than", "as", "since", "from", "like"))


def ahead(day: Token) -> bool:
    """Whether a day token lies ahead."""
    form, words = getattr(day.value, "form", ""), getattr(day.value, "words", "")
    return form.startswith(("future", "ahead")) or words.startswith(("next", "coming", "this weekend"))


def _progressive_plan(inner: Sequence[Token], day: Token) -> bool:
    """ "moving D to the tub on saturday" is a plan; "moved D on saturday" is not."""
    words = getattr(day.value, "words", "")
    form = getattr(day.value, "form", "")
    if any(token.text in ("had", "did", "already", "ended up") for token in inner) and not ahead(day):
        return False
    verb = next((token for token in inner if verb_of(token)), None)
    going = (
        verb is not None
        and not verb.has("form:done")
        and verb_of(verb) in ("strip", "move", "cull", "split", "merge", "feed", "count", "sex", "measure")
    )
    going = going or (
        verb is not None
        and verb.text.partition(" ")[0].endswith("ing")
        and verb.text.partition(" ")[0] not in ("holding", "carrying", "brooding", "mouthbrooding", "spawning", "keeping")
    )
    return (ahead(day) and (going or verb is None or not verb.has("form:done"))) or (
        going and form in ("weekday", "ordinal", "named", "digits") and "last" not in words
    )
