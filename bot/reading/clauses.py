"""A sentence cut into clauses: one thing said to have happened each, with the words that belong to it, and its mood.

Commas, "and", "/" and line ends cut only where a new thing begins; what has no verb of its own belongs to what went before, or, at the
head, to what follows.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence

from bot.reading.carried_on import (
    another_brood,
    another_strain,
    begins_anew,
    confirms_a_count,
    does_so,
    is_the_same,
    now_stands,
    only_pronoun,
    only_wished,
    stands_in_a_place,
)
from bot.reading.implied import STANDS_AT, WATER, goes_to_place, implied_verb, of_water
from bot.reading.main_verbs import main_verb
from bot.reading.moods import AGREED, FETCHED_LATER, ahead, is_talk
from bot.reading.piece_shapes import (
    aims_at_place,
    another_arrives,
    come_in,
    held_for_someone,
    is_of_herself,
    of_somebody_else,
    only_looked_at,
    only_of_things,
    out_of_a_mouth,
)
from bot.reading.pieces import ENTITIES, TALK_MARKS, Clause, content, is_weak, segments, verb_of
from bot.reading.remarks import is_remark, remarked_of, suits_somebody, without_remark
from bot.reading.tokens import Token
from bot.reading.verb_tables import FOLLOWERS, PARALLEL, TOGETHER
from bot.reading.whole_lists import with_whole_lists


def _split_twofold(piece: list[Token]) -> Iterator[list[Token]]:
    """A piece with two strong verbs of different things ("stripped 6 moved her to tank 1") cut before the second's subject."""
    strong = [
        (n, verb) for n, token in enumerate(piece) if (verb := verb_of(token)) and not is_weak(token) and not _attached(piece, n)
    ]
    if len({verb for _, verb in strong}) < 2:
        yield piece
        return
    first, second = next((a[0], b[0]) for a, b in itertools.pairwise(strong) if a[1] != b[1])
    numbered = first and piece[first - 1].kind == piece[second - 1].kind == "number" and second == first + 2
    if frozenset((verb_of(piece[first]), verb_of(piece[second]))) in TOGETHER and not numbered:
        yield piece
        return
    cut = second
    while cut > first + 1 and _leads(piece, cut - 1):
        cut -= 1
    yield piece[:cut]
    yield from _split_twofold(piece[cut:])


def _leads(piece: list[Token], n: int) -> bool:
    token = piece[n]
    if token.kind in ("fish", "batch", "hash", "percent", "number", "sex"):
        return not (piece[n - 1].kind == "word" and piece[n - 1].text in ("to", "into", "of", "in", "from")) if n else True
    return token.kind == "word" and token.text in (
        "is",
        "are",
        "still",
        "now",
        "has",
        "have",
        "been",
        "found",
        "not",
        "to",
        "might",
        "will",
        "gonna",
        "going to",
    )


def _attached(piece: list[Token], n: int) -> bool:
    """ "1 dead" beside another verb tells a number, not a thing of its own; "left" and "count" likewise."""
    verb = verb_of(piece[n])
    if verb == "left_over" and n:
        return True
    return verb == "note"


def clauses(tokens: Sequence[Token]) -> list[Clause]:
    """The clauses of a statement, in order."""
    tokens = _without_reasons(tokens)
    pieces = [part for piece in with_whole_lists(segments(tokens)) for whole in without_remark(piece) for part in _split_twofold(whole)]
    out: list[Clause] = []
    head: list[Token] = []
    if _a_list_of_plans(tokens):
        return [Clause(list(tokens), "", "done", talk=True)]
    for piece in pieces:
        if out and _taken_back(piece, out[-1]):
            out[-1].talk = True
        fresh = _begin(piece, out[-1] if out else None, bool(head))
        if fresh is None:
            if out and confirms_a_count(piece, out[-1]):
                out[-1].verb = "count"
            _day_of_all(piece, out)
            (out[-1].tokens if out else head).extend(piece)
        else:
            if head and not fresh.implied and implied_verb(head) == "merge":  # "put A and B together, moved D to the tub"
                out.append(Clause(head, "merge", implied=True))
                head = []
            if fresh.verb and out and not fresh.implied:
                head = [*remarked_of(out[-1].tokens, fresh.tokens), *head]
            fresh.tokens = [*head, *fresh.tokens]
            head = []
            out.append(fresh)
    if head:
        verb, form = (implied_verb(head) or "", "done") if len(pieces) < 2 else _meant_verb_of_all(head)
        out.append(Clause(head, verb, form, is_talk(head, verb, None, form)))
    return out


def _meant_verb_of_all(head: Sequence[Token]) -> tuple[str, str]:
    """ "put f4 and f5 together in qt": a weak verb whose complement stands in a later piece."""
    implied = implied_verb(head)
    return (implied, "done") if implied else main_verb(head)


def _day_of_all(piece: list[Token], out: list[Clause]) -> None:
    """ "2 dead in B and 1 in D, both yesterday": a day that stands alone at the end is the day of all that was told with that verb."""
    said = [token for token in content(piece) if token.text not in ("both", "all")]
    if len(said) != 1 or said[0].kind != "day":
        return
    for clause in itertools.takewhile(lambda clause: clause.verb == out[-1].verb, reversed(out[:-1])):
        if not clause.having("day"):
            clause.tokens.append(said[0])


def _taken_back(piece: list[Token], last: Clause) -> bool:
    """ "f3 was holding but not any more", "… but she isn't"."""
    own = any(token.kind in (*ENTITIES, "number") or verb_of(token) for token in piece)
    return last.verb == "hold" and piece[0].text == "but" and not own and any(token.has("negation") for token in piece)


_REASONS = frozenset(
    [
        "because",
        "cos",
        "cuz",
        "bc",
        "coz",
        "becuz",
        "although",
        "though",
        "even though",
        "where",
        "due to",
        "thanks to",
        "so that",
        "which",
        "who",
    ]
)


def _without_reasons(tokens: Sequence[Token]) -> list[Token]:
    """The words without "because …" and "where …": a reason tells of something else."""
    if not any(token.text in _REASONS for token in tokens):
        return list(tokens)
    out: list[Token] = []
    reason = False
    for n, token in enumerate(tokens):
        begins = (
            token.text in _REASONS
            and n > 0
            and not (token.text == "which" and (tokens[n - 1].text == "of" or any(later.kind == "place" for later in tokens[n:])))
        )
        reason = (reason and token.text not in (",", ";", "/")) or begins
        if not reason:
            out.append(token)
    return out


def _a_list_of_plans(tokens: Sequence[Token]) -> bool:
    """ "To do: strip 6, wc tank 1"."""
    return (
        len(tokens) > 1
        and tokens[0].text
        in (
            "to do",
            "todo",
            "plan",
            "plans",
            "planned",
            "reminder",
            "remember to",
            "remember",
            "tonights plan",
            "next job",
            "remind",
        )
        and (tokens[1].text in (":", "-", "for", "me", "today", "tomorrow") or tokens[1].kind == "day")
    )


def _begin(piece: list[Token], last: Clause | None, headed: bool) -> Clause | None:
    """The clause that a piece begins, or None where it belongs to the one before (or, at the head, to the next)."""
    inner = content(piece)
    verb, form = _meant_verb(inner)
    anew = verb in AGREED and piece[0].text in (",", ";", ".")  # "hopefully 8 lets go soon, reserve 4 of C for Ada"
    talk = is_talk(inner, verb, None if anew else last, form) or (verb == "pickup" and last is not None and only_wished(last))
    if verb and (last is None or not _continues(inner, verb, last, talk)):
        return Clause(list(piece), verb, form, talk)
    if verb:
        return None
    if last and last.talk and last.verb and not talk and does_so(inner):
        so = Token("word", "so", inner[-1].end, inner[-1].end, means=frozenset({f"verb:{last.verb}", "form:done"}))
        return Clause([*piece, so], last.verb)
    if (
        last
        and last.verb == "move"
        and not talk
        and goes_to_place(inner)
        and not any(token.kind == "place" for token in last.tokens)
    ):
        return None
    if _beside_the_report(inner, last):
        return Clause(list(piece), "", "done", talk=True)
    implied = implied_verb(inner) if last is None or not _belongs(inner, last) else None
    talk = talk or bool(implied and any(token.kind == "day" and ahead(token) for token in inner))
    shape = _told_by_shape(inner, last, implied) if last else ""
    if shape and last:
        return Clause(list(piece), shape, "done", talk or last.talk, implied=True)
    bare = implied == "perhaps_count" or (implied == "count" and not any(token.text in STANDS_AT for token in inner))
    if implied == "move" and last and last.verb == "split" and not talk and any(token.kind == "batch" for token in inner):
        return _parallel_clause(piece, last)
    if bare and last and (last.verb != "count" or implied == "perhaps_count") and not talk and last.verb in PARALLEL:
        return _parallel_clause(piece, last)
    if implied == "move" and last and last.verb in ("strip", "release") and not talk and another_brood(inner):
        return _parallel_clause(piece, last)
    if implied and not (last and _completes(inner, implied, last)):
        return Clause(list(piece), implied, "done", talk, implied=True)
    if last and not talk and _parallel(inner, last):
        return _parallel_clause(piece, last)
    if last and (last.verb == "undo" or last.having(*ENTITIES, *_TELLING)) and only_of_things(inner):
        return Clause(list(piece), "", "done", talk=True)
    if (
        talk
        and (last is not None or not headed)
        and _is_aside(inner)
        and not (last and not of_somebody_else(inner) and any(token.kind in ("number", "day", "range", "suffixed") for token in inner))
    ):
        return Clause(list(piece), "", "done", talk=True)
    return None


def _meant_verb(inner: Sequence[Token]) -> tuple[str, str]:
    """The main verb and its form, where its company makes another of it: "12 labs joined", "hold 6 C for Priya"."""
    verb, form = main_verb(inner)
    if verb == "merge" and come_in(inner):
        return "join", form
    if verb == "join" and out_of_a_mouth(inner):
        return "strip", "done"
    if verb in ("count", "left_over", "measure", "move", "leave", "join", "sex") and of_water(inner):
        return implied_verb(inner) or verb, "done"
    if verb == "collected" and any(token.text in FETCHED_LATER for token in inner) and any(token.kind == "day" for token in inner):
        return "pickup", "done"
    return ("reserve", "done") if verb == "hold" and held_for_someone(inner) else (verb, form)


_GOING_SOMEWHERE = ("move", "strip", "release", "split", "join", "merge", "leave", "collected", "pickup", "reserve", "note", "")
"""Verbs behind which a place that is gone to belongs to what went before."""


def _beside_the_report(inner: Sequence[Token], last: Clause | None) -> bool:
    """Whether a piece without a verb is a remark of its own: "f7 looks thin", "7 pm is fine for me", "checked f6"."""
    if suits_somebody(inner):
        return not (last and last.verb in ("pickup", "reserve", "offer", "change_reservation"))
    looked_at = last is not None and last.verb != "hold" and only_looked_at(inner)
    return looked_at or (is_remark(inner) and implied_verb(inner) is None)


def _told_by_shape(inner: Sequence[Token], last: Clause, implied: str | None) -> str:
    """What a piece without a verb tells behind another: what is left now, or where the rest went; "" where neither."""
    if last.verb in _LESSENING and now_stands(inner):
        return "count"
    if last.verb in ("strip", "release") and not implied and is_of_herself(inner):
        return "move"
    return "move" if last.verb not in _GOING_SOMEWHERE and not implied and aims_at_place(inner) else ""


_TELLING = ("number", "day", "percent", "money", "member", "length")
_LESSENING = ("die", "lose", "cull", "leave", "move", "split", "hold_back")


def _parallel_clause(piece: list[Token], last: Clause) -> Clause:
    """Another of the same; a day said only at the end ("2 dead in B and 1 in D yesterday") is the day of both."""
    if not last.having("day"):
        last.tokens.extend(token for token in piece if token.kind == "day")
    if last.verb in ("reserve", "leave") and not last.having("member"):
        whom = next(
            (n for n, token in enumerate(piece) if token.kind == "member" and n and piece[n - 1].text in ("for", "to")), None
        )
        last.tokens.extend(piece[whom - 1 : whom + 1] if whom else ())
    if last.verb == "offer" and not last.having("money"):
        last.tokens.extend(token for token in piece if token.kind == "money" or token.has("each"))
    return Clause(list(piece), last.verb, last.form, last.talk, again=not last.having("money"))


def _is_aside(inner: list[Token]) -> bool:
    return any(token.has(*TALK_MARKS) for token in inner)


def _continues(inner: list[Token], verb: str, last: Clause, talk: bool) -> bool:
    """Whether a piece with a verb still tells of the same thing: "got a new male, put him in tank 2"."""
    if talk != last.talk or (verb == "join" and another_arrives(inner, last)):
        return False
    own = any(token.kind in ("fish", "batch", "reservation", "hash") for token in inner)
    numbered = any(token.kind == "number" for token in inner)
    if numbered and begins_anew(inner, verb, last):
        return False
    if not own and is_the_same(verb, last, numbered):
        return True
    if verb == last.verb == "measure" and not own and not any(token.kind in ("length", "place") for token in inner):
        return True
    if verb == last.verb and not own and verb not in PARALLEL - {"lose_brood", "reserve"}:
        return True
    if verb == last.verb and verb in ("move", "leave", "strip") and not own and only_pronoun(inner):
        return True
    if verb in ("die", "lose") and last.verb in ("die", "lose") and last.having("place"):
        own = own or any(token.kind == "place" for token in inner)
    if verb == "name" and last.verb in ("strip", "split", "release") and {token.kind for token in inner} & set(ENTITIES) == {"batch"}:
        return not talk  # "…, name the batch H"
    follower = FOLLOWERS.get(last.verb, frozenset())
    if last.verb == "join" and verb in ("move", "join", "name", "hold"):
        return not any(token.kind == "batch" for token in inner) and (not own or verb == "name")
    if verb in ("die", "lose") and last.verb in ("strip", "release"):
        return not own and not stands_in_a_place(inner, last)
    if verb == "move" and last.verb in ("strip", "release", "split"):
        hers = [n for n, token in enumerate(inner) if token.has("bare_pronoun") or token.text in ("her", "she")]
        return not own and all(inner[n + 1 : n + 2] and inner[n + 1].has("fry", "brood_word") for n in hers)
    if verb == "sex" and last.verb == "count":
        return False
    if verb == "count" and last.verb == "measure":  # "measured C 30 32 35 mm, counted 24"
        return not own and not any(token.kind == "number" for token in inner)
    return verb in follower and not own


def _belongs(inner: Sequence[Token], last: Clause) -> bool:
    """A piece without a verb that only fills in a stripping, an arrival or a move."""
    own = any(
        token.kind == "fish" or (token.kind == "batch" and not (n and inner[n - 1].has("call_it")))
        for n, token in enumerate(inner)
    )
    if last.verb in ("strip", "release") and is_of_herself(inner):
        return False
    another = any(token.kind == "batch" for token in inner) and implied_verb(inner) in ("measure", "count")
    if last.verb in ("reserve", "want", "offer", "pickup") and another:
        return False
    if last.verb in ("strip", "release", "join", "split") and not own:
        return not any(token.has(*WATER) for token in inner)
    return last.verb in ("merge", "reserve", "want", "offer", "pickup", "measure", "note") and not any(
        token.has(*WATER) for token in inner
    )


def _completes(inner: Sequence[Token], implied: str, last: Clause) -> bool:
    """ "tank 1 ph 8, temp 78": further values of the same water."""
    if implied == last.verb == "test":
        return not any(token.kind == "place" for token in inner) or not any(token.kind == "place" for token in last.tokens)
    return implied == last.verb == "measure" and not any(token.kind == "batch" for token in last.tokens)


def _parallel(inner: Sequence[Token], last: Clause) -> bool:
    """ "2 dead in B, 1 in D": another of the same, its verb left out."""
    if last.verb == "pickup" and not last.talk and any(token.kind in ("reservation", "hash") for token in inner):
        return any(token.kind in ("day", "clock") for token in inner)
    if last.verb not in PARALLEL or (last.verb in ("die", "lose") and any(token.has("deformed") for token in inner)):
        return False  # "2 dead in B, 1 sick in D"
    kinds = {token.kind for token in inner}
    before = {token.kind for token in last.tokens}
    told = kinds & {"number", "percent", "volume", "day", "length", "suffixed"}
    named = kinds & {"fish", "batch", "place"}
    if last.verb in ("want", "reserve") and "number" in kinds & before and not named:
        return another_strain(inner, last)
    if last.verb == "hold" and "number" in kinds and "day" in kinds and "day" in before:
        return True
    if last.verb == "feed":
        return bool(named and kinds & {"weight"} and before & {"weight"})
    return bool(told and named and before & told and before & named & kinds)
