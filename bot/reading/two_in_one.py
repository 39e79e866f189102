"""A sentence that does two things: sets something up and reports ("new tank 4, 40 gallons, 2 dead in C"), or asks and reports."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from bot.reading.implied import implied_verb
from bot.reading.piece_shapes import only_of_things
from bot.reading.pieces import content, is_weak, segments, verb_of
from bot.reading.remarks import is_remark
from bot.reading.scene import Memory, Scene
from bot.reading.setting_up import read_sentence
from bot.reading.tokens import Token
from bot.reading.whole_lists import with_whole_lists

_NAMED = ("fish", "batch", "place", "reservation", "hash")
_DECIDED = frozenset({"reserve", "cancel", "offer", "withdraw", "pickup", "confirm", "decline"})
_OF_SET_UP = frozenset({"name", "note", "change_reservation", "mix"})
_REPEATED = frozenset(["every", "daily", "weekly", "fortnightly", "monthly", "remind me"])
_UNSAID = frozenset({"test", "measure", "move", "sex", "change_water", "count", "collected", "split"})
"""What may be told without a verb."""
_SET_UP = re.compile(
    r"\b(?:new|set|built|install\w*|call\w*|name\w*|nick\w*|strains?|prices?|costs?|each|apiece|ea|every|daily|weekly|monthly|fortnightly|away|holiday"
    r"|vacation|town|units?|metric|imperial|parents?|mother|father|dad|sire|dam|mum|mixed|apart|guests?|invite|retired?|gone|digest|quiet|currency"
    r"|zone|order|kit|limit|confirm\w*|declin\w*|free|days|change[ds]?|make|add|added|litres|liters|gal|gallons|remind|postpone|skip|drop)\b|="
)
"""Without one of these words nothing is set up."""
_QUESTIONS = ("wonder", "aux")


def set_up_apart(tokens: Sequence[Token], scene: Scene) -> list[list[Token]]:
    """The sentence, cut where a set-up ends and a report begins, or the other way round; remarks behind a set-up are left out."""
    if len(tokens) < 4 or not _SET_UP.search(" ".join([token.text for token in tokens])):
        return [list(tokens)]
    pieces = with_whole_lists(segments(tokens))
    if len(pieces) < 2:
        return [list(tokens)]
    telling = [reports(piece) for piece in pieces]
    trial = replace(scene, memory=Memory())
    for n in range(1, len(pieces)):
        head = [token for piece in pieces[:n] for token in piece]
        tail = [token for piece in pieces[n:] for token in piece]
        if telling[n] and _sets_up(head, trial):
            return [head, *set_up_apart(content(tail), scene)]
    for n in range(len(pieces) - 1, 0, -1):
        head = [token for piece in pieces[:n] for token in piece]
        tail = [token for piece in pieces[n:] for token in piece]
        priced = any(token.kind == "money" for token in tail)  # "offering A and C, $5 each": the price is the offer's
        offered = priced and any(token.has("verb:offer") for token in head)
        if offered or telling[n] or not any(telling[:n]):
            continue
        told = content([token for piece in pieces[n:] if piece is pieces[n] or not _only_remarked(piece) for token in piece])
        if _sets_up(told, trial, _BEHIND) and not _sets_up(head, trial):
            return [head, content(tail)]
    naming = any(token.has("verb:name", "call_it") for token in pieces[0])  # "call f5 Pepper and f7 Salt"
    kept = [piece for n, piece in enumerate(pieces) if n == 0 or naming or not _only_remarked(piece)]
    whole = [token for piece in kept for token in piece]
    if len(kept) == len(pieces):
        return [list(tokens)]
    fuller = len(read_sentence(tokens, trial, asked=False) or ()) > len(read_sentence(whole, trial, asked=False) or ())
    return [whole] if not fuller and _sets_up(whole, trial) else [list(tokens)]


_BEHIND = frozenset(
    [
        *["place_added", "strain_added", "named", "parents", "price", "setting", "habit", "away", "guest_added", "place_retired"],
        *["mixed", "reservation_changed", "free_days"],
    ]
)
"""What may be set up behind a report in one sentence."""


def _sets_up(tokens: Sequence[Token], scene: Scene, kinds: frozenset[str] | None = None) -> bool:
    found = read_sentence(tokens, scene, asked=False) if tokens else None
    continued = kinds is not None and any(token.has("verb:name", "call_it", "bare_pronoun") for token in tokens)
    continued = continued and not any(token.kind == "fish" for token in tokens) and any(partial.kind == "named" for partial in found or ())
    repeated = any(_repeats(token) for token in tokens)
    if kinds is not None and not repeated and any(_strong(token) for token in tokens):
        return False
    return bool(found) and not continued and (kinds is None or all(partial.kind in kinds for partial in found or ()))


def _strong(token: Token) -> bool:
    """Whether a token is a verb of its own, and no part of a set-up."""
    verb = verb_of(token)
    retired = token.text.startswith("retire") or token.text == "is gone"
    return bool(verb) and not is_weak(token) and not retired and verb not in (*_OF_SET_UP, "join")


def _repeats(token: Token) -> bool:
    return token.text in _REPEATED or token.text.startswith("every ")


def reports(piece: Sequence[Token]) -> bool:
    """Whether a piece tells of something done, or decides something, with a subject of its own."""
    inner = content(piece)
    if any(_repeats(token) for token in inner):
        return False
    if any(token.has("negation", "plan", "condition", "hedge", "hearsay", "habit") and not verb_of(token) for token in inner):
        return False
    if any(verb_of(token) == "undo" for token in inner):
        return True
    verbs = [token for token in inner if token.text != "is gone" and (verb := verb_of(token)) and not is_weak(token) and verb not in _OF_SET_UP]
    kinds = {token.kind for token in inner}
    came = {verb_of(token) for token in inner}
    if ("join" in came and kinds & {"sex", "strain"}) or ("move" in came and "place" in kinds and kinds & {"fish", "batch"}):
        return True
    verbs = [token for token in verbs if verb_of(token) != "join"]
    told = any(token.has("form:done") or verb_of(token) in _DECIDED for token in verbs)
    told = told or (not verbs and implied_verb(inner) in _UNSAID and any(token.kind in _NAMED for token in inner))
    return told and any(token.kind in (*_NAMED, "number", "percent", "member") for token in inner)


def _only_remarked(piece: Sequence[Token]) -> bool:
    """A remark, a plan or a negation of something else, and no part of what is set up."""
    inner = content(piece)
    hung = any(token.text.startswith(("hang", "loop", "aquaponic", "hard")) for token in inner)
    return not hung and (is_remark(piece) or only_of_things(inner) or _talked(inner))


def _talked(inner: Sequence[Token]) -> bool:
    verb = any(verb_of(token) and not is_weak(token) for token in inner)
    planned = any(token.has("plan") for token in inner) and any(token.kind in _NAMED for token in inner)
    return planned or (verb and any(token.has("negation", "plan") and not verb_of(token) for token in inner))


_TOLD_OF = ("number", "fish", "batch", "percent", "volume", "reservation", "hash")


def question_apart(question: Sequence[Token]) -> tuple[list[Token], list[Token]]:
    """What is asked, and the report behind it: "whats in qt now, 2 dead in C"."""
    pieces = segments(question)
    for n in range(1, len(pieces)):
        inner = content(pieces[n])
        if reports(pieces[n]) and not inner[0].has(*_QUESTIONS) and any(token.kind in _TOLD_OF for token in inner):
            return [token for piece in pieces[:n] for token in piece], content([token for piece in pieces[n:] for token in piece])
    return list(question), []
