"""A sentence cut into clauses: one thing said to have happened each, with the words that belong to it, and its mood.

Commas, "and", "/" and line ends cut only where a new thing begins; what has no verb of its own belongs to what went before, or, at the
head, to what follows.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

from bot.reading.tagging import Fish, Spot
from bot.reading.tokens import Token
from bot.reading.vocabulary import vocabulary

TALK_MARKS = ("negation", "plan", "hedge", "hearsay", "habit")
_ENTITIES = ("fish", "batch", "place", "reservation", "hash")
_SENTENCE_ENDS = (".", "?", "!")
_SOFT = (",", "/", ";", "+", "&", "(", ")", "-", "–")
_WEAK = frozenset({"filler"})
_NOT_ALONE = frozenset({"count", "name", "change_reservation", "note", "confirm", "decline"})
PARALLEL = frozenset("count die lose cull hold strip split move change_water feed hold_back still measure sex test collected spawn release offer lose_brood".split())
"""Verbs that may be left out when said again of another: "2 dead in B, 1 in D"."""


@dataclass
class Clause:
    """The tokens of one clause with its verb ("" where none is said), form and whether it is only talk."""

    tokens: list[Token]
    verb: str = ""
    form: str = "done"
    talk: bool = False
    implied: bool = False

    def having(self, *kinds: str) -> list[Token]:
        """The tokens of these kinds, in order."""
        return [token for token in self.tokens if token.kind in kinds]


@dataclass
class Sentence:
    """The tokens of one sentence and whether it ends in a question mark."""

    tokens: list[Token] = field(default_factory=list)
    asked: bool = False


def _goes_on(last: Sentence, following: Sentence) -> bool:
    """ "Stripped 6 last night. 27 fry went into box 2": the fry of the sentence before."""
    if _bare_values(last, following):
        return True
    told = any(verb_of(token) in ("strip", "release") for token in last.tokens) and not last.asked and not following.asked
    own = any(token.kind in ("fish", "batch", "reservation", "hash", "percent") for token in following.tokens)
    brood = any(token.has("fry", "egg", "they") for token in following.tokens[:4])
    told_count = any(token.has("fry", "egg") for token in last.tokens)
    strange = any(verb_of(token) in ("feed", "change_water", "note", "undo") or token.has(*TALK_MARKS) or token.has("condition") for token in following.tokens)
    return told and brood and not own and not strange and not (told_count and any(token.has("verb:die") for token in following.tokens))


def _bare_values(last: Sentence, following: Sentence) -> bool:
    """ "Vented A. 18m 23f": nothing but the numbers of the sentence before."""
    verbs = {verb_of(token) for token in last.tokens} & {"sex", "count", "measure", "strip", "sold", "cull", "release"}
    values = all(token.kind in ("number", "suffixed", "sex", "length", "punct") or token.has("fry", "egg", "filler") for token in following.tokens)
    told = any(token.kind in ("number", "suffixed", "length") for token in last.tokens)
    new = any(token.kind in ("number", "suffixed", "length") for token in following.tokens)
    return bool(verbs) and values and new and not told and not last.asked and not following.asked


def joined_sentences(found: Sequence[Sentence]) -> list[Sentence]:
    """The sentences, where one goes on with the brood of the one before put together with it."""
    out: list[Sentence] = []
    for sentence in found:
        if out and _goes_on(out[-1], sentence):
            stop = Token("punct", ",", sentence.tokens[0].start, sentence.tokens[0].start)
            out[-1] = Sentence([*out[-1].tokens, stop, *sentence.tokens], False)
        else:
            out.append(sentence)
    return out


def sentences(tokens: Sequence[Token]) -> list[Sentence]:
    """The sentences of a message: cut at full stops, question and exclamation marks and line ends."""
    out = [Sentence()]
    for token in tokens:
        ends = token.kind == "newline" or (token.kind == "punct" and token.text in _SENTENCE_ENDS)
        if not ends:
            out[-1].tokens.append(token)
            continue
        if token.text == "?" and out[-1].tokens:
            out[-1].asked = True
        elif token.text == "?" and len(out) > 1:
            out[-2].asked = True
        if out[-1].tokens:
            out.append(Sentence())
    return [sentence for sentence in out if sentence.tokens]


def verb_of(token: Token) -> str | None:
    """The verb a token can be."""
    return next((meaning[5:] for meaning in sorted(token.means) if meaning.startswith("verb:")), None)


def is_weak(token: Token) -> bool:
    """A verb that is also an everyday word ("put", "got", "new")."""
    return bool(token.means & _WEAK)


def _soft(token: Token) -> bool:
    return (token.kind == "punct" and token.text in _SOFT) or (token.kind == "word" and token.text in ("and", "then", "also", "but", "plus", "so"))


def segments(tokens: Sequence[Token]) -> list[list[Token]]:
    """The pieces between soft separators; the separators stay at the head of the piece that follows."""
    out: list[list[Token]] = [[]]
    for n, token in enumerate(tokens):
        if _soft(token) and not _in_number_list(tokens, n) and not _between_sexes(tokens, n):
            out.append([token])
        else:
            out[-1].append(token)
    return [piece for piece in out if piece]


def _in_number_list(tokens: Sequence[Token], n: int) -> bool:
    """The comma of "40, 42, 38 mm"."""
    around = [tokens[n + step].kind if 0 <= n + step < len(tokens) else "" for step in (-1, 1, 2)]
    measures = ("number", "length")
    if tokens[n].text != "," or around[0] not in measures or around[1] not in measures:
        return False
    return around[1] == "length" or around[2] in ("", "length") or tokens[n + 2].text in (",", "and")


def _between_sexes(tokens: Sequence[Token], n: int) -> bool:
    """The "and" of "10 males and 14 females"."""
    if not 0 < n < len(tokens) - 1 or tokens[n - 1].kind not in ("sex", "suffixed"):
        return False
    following = tokens[n + 1]
    return following.kind == "suffixed" or (following.kind == "number" and n + 2 < len(tokens) and tokens[n + 2].kind == "sex")


def content(tokens: Sequence[Token]) -> list[Token]:
    """The tokens without the separators at the head."""
    n = 0
    while n < len(tokens) and _soft(tokens[n]):
        n += 1
    return list(tokens[n:])


def _split_twofold(piece: list[Token]) -> Iterator[list[Token]]:
    """A piece with two strong verbs of different things ("stripped 6 moved her to tank 1") cut before the second's subject."""
    strong = [(n, verb) for n, token in enumerate(piece) if (verb := verb_of(token)) and not is_weak(token) and not _attached(piece, n)]
    if len({verb for _, verb in strong}) < 2:
        yield piece
        return
    first, second = next((a[0], b[0]) for a, b in zip(strong, strong[1:], strict=False) if a[1] != b[1])
    if frozenset((verb_of(piece[first]), verb_of(piece[second]))) in _TOGETHER:
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
    return token.kind == "word" and token.text in ("is", "are", "still", "now", "has", "have", "been", "found", "not", "to", "might", "will", "gonna", "going to")


_TOGETHER = {
    frozenset(pair)
    for pair in (
        ("strip", "die"), ("strip", "split"), ("release", "die"), ("reserve", "pickup"), ("move", "pickup"), ("offer", "withdraw"), ("offer", "leave"),
        ("reserve", "hold"), ("reserve", "collected"), ("cancel", "reserve"), ("cancel", "pickup"), ("deposit", "reserve"), ("collected", "reserve"),
        ("strip", "left_over"), ("count", "left_over"), ("join", "collected"), ("want", "reserve"), ("join", "name"), ("merge", "move"), ("count", "measure"),
        ("reserve", "deposit"), ("hold_back", "reserve"), ("undo", "cancel"), ("pickup", "collected"), ("pickup", "change_reservation"), ("strip", "hold"),
        ("count", "sex"), ("die", "lose"), ("cancel", "want"), ("no_show", "pickup"), ("no_show", "collected"), ("count", "die"), ("change_reservation", "reserve"),
        ("lose", "lose_brood"), ("withdraw", "leave"), ("split", "move"), ("reserve", "want"), ("hold_back", "leave"), ("measure", "mean"), ("release", "lose_brood"),
        ("cull", "die"), ("move", "hold"), ("sex", "left_over"), ("merge", "mix"), ("sex", "split"), ("leave", "offer"), ("note", "die"), ("offer", "pull"), ("count", "release"),
        ("count", "strip"), ("offer", "hold_back"), ("decline", "reserve"), ("confirm", "reserve"), ("confirm", "pickup"), ("leave", "collected"), ("want", "leave"),
    )
}


def _attached(piece: list[Token], n: int) -> bool:
    """ "1 dead" beside another verb tells a number, not a thing of its own; "left" and "count" likewise."""
    verb = verb_of(piece[n])
    if verb == "left_over" and n:
        return True
    return verb == "note"


def clauses(tokens: Sequence[Token]) -> list[Clause]:
    """The clauses of a statement, in order."""
    pieces = [part for piece in segments(tokens) for part in _split_twofold(piece)]
    out: list[Clause] = []
    head: list[Token] = []
    if _a_list_of_plans(tokens):
        return [Clause(list(tokens), "", "done", talk=True)]
    for piece in pieces:
        fresh = _begin(piece, out[-1] if out else None, bool(head))
        if fresh is None:
            (out[-1].tokens if out else head).extend(piece)
        else:
            fresh.tokens = [*head, *fresh.tokens]
            head = []
            out.append(fresh)
    if head:
        out.append(Clause(head, implied_verb(head) or "", "done", is_talk(head, "", None, "done")))
    return out


def _a_list_of_plans(tokens: Sequence[Token]) -> bool:
    """ "To do: strip 6, wc tank 1"."""
    return len(tokens) > 1 and tokens[0].text in ("to do", "todo", "plan", "plans", "planned", "reminder", "remember to", "remember", "tonights plan", "next job", "remind") and (
        tokens[1].text in (":", "-", "for", "me", "today", "tomorrow") or tokens[1].kind == "day"
    )


def _begin(piece: list[Token], last: Clause | None, headed: bool) -> Clause | None:
    """The clause that a piece begins, or None where it belongs to the one before (or, at the head, to the next)."""
    inner = content(piece)
    verb, form = main_verb(inner)
    if verb in ("count", "left_over", "measure", "move", "leave", "join", "sex") and _of_water(inner):
        verb, form = implied_verb(inner) or verb, "done"
    talk = is_talk(inner, verb, last, form)
    if verb and (last is None or not _continues(inner, verb, last, talk)):
        return Clause(list(piece), verb, form, talk)
    if verb:
        return None
    if last and last.verb == "move" and not talk and _goes_to_place(inner) and not any(token.kind == "place" for token in last.tokens):
        return None
    implied = implied_verb(inner) if last is None or not _belongs(inner, last) else None
    talk = talk or bool(implied and any(token.kind == "day" and _ahead(token) for token in inner))
    bare = implied == "perhaps_count" or (implied == "count" and not any(token.text in _STANDS_AT for token in inner))
    if bare and last and (last.verb != "count" or implied == "perhaps_count") and not talk and last.verb in PARALLEL:
        return _parallel_clause(piece, last)
    if implied and not (last and _completes(inner, implied, last)):
        return Clause(list(piece), implied, "done", talk, implied=True)
    if last and not talk and _parallel(inner, last):
        return _parallel_clause(piece, last)
    if talk and (last is not None or not headed) and _is_aside(inner) and not (last and any(token.kind in ("number", "day", "range", "suffixed") for token in inner)):
        return Clause(list(piece), "", "done", talk=True)
    return None


def _parallel_clause(piece: list[Token], last: Clause) -> Clause:
    """Another of the same; a day said only at the end ("2 dead in B and 1 in D yesterday") is the day of both."""
    if not last.having("day"):
        last.tokens.extend(token for token in piece if token.kind == "day")
    return Clause(list(piece), last.verb, last.form, last.talk)


def _is_aside(inner: list[Token]) -> bool:
    return any(token.has(*TALK_MARKS) for token in inner)


def main_verb(inner: Sequence[Token]) -> tuple[str, str]:
    """The verb that says what happened, and its form; strong verbs before weak ones, the first of each."""
    found = [(token, verb) for token in inner if (verb := verb_of(token))]
    strong = [pair for pair in found if not is_weak(pair[0])]
    ranked = sorted(strong, key=lambda pair: _RANK.get(pair[1], 5)) or [pair for pair in found if _weak_counts(pair, inner)]
    if not ranked:
        return "", "done"
    token, verb = ranked[0]
    return verb, "done" if token.has("form:done") else "base"


_RANK = {
    "undo": 0, "no_show": 1, "withdraw": 1, "note": 1, "deposit": 2, "cancel": 2, "strip": 2, "release": 2, "lose_brood": 2, "change_water": 3, "merge": 3, "split": 3, "reserve": 3,
    "confirm": 3, "decline": 3, "pickup": 3, "hold_back": 3, "sex": 3, "cull": 3, "spawn": 4, "offer": 4, "count": 7, "left_over": 8, "measure": 6, "feed": 6, "name": 8, "change_reservation": 6,
    "mix": 6, "join": 6, "move": 5, "lose": 6,
}


def _weak_counts(pair: tuple[Token, str], inner: Sequence[Token]) -> bool:
    token, verb = pair
    kinds = {other.kind for other in inner}
    match verb:
        case "move":
            return "place" in kinds and bool(kinds & {"fish", "batch", "number", "strain"} or any(other.has("fry", "they") for other in inner))
        case "join":
            return bool(kinds & {"sex", "strain", "fish"} or any(other.has("batch_word") or other.text == "fry" for other in inner))
        case "leave" | "feed" | "collected":
            return bool(kinds & {"fish", "batch", "place", "reservation", "hash", "member"})
        case "confirm" | "note" | "hold":
            return bool(kinds & {"reservation", "hash"}) if verb == "confirm" else verb == "note" and inner[0] is token
        case _:
            return bool(kinds & set(_ENTITIES)) or token.text == "holding"


def is_talk(inner: Sequence[Token], verb: str, last: Clause | None, form: str) -> bool:
    """Whether the words make it a negation, a plan, a hope or hearsay: then nothing of it is reported."""
    verbs = [n for n, token in enumerate(inner) if verb_of(token)]
    if verb == "withdraw" and any(token.text == "yet" for token in inner):
        return True
    if form == "base" and verb and _only_hoped(inner, verb):
        return True
    for n, token in enumerate(inner):
        if token.has("negation") and not _harmless_no(inner, n, verbs):
            return True
        if verb == "pickup" and token.text in _PICKUP_PLANS:
            continue
        if token.has("plan", "hedge", "hearsay", "habit") and not verb_of(token) and not token.has("filler"):
            return True
        if token.kind == "day" and verb and verb not in ("pickup", "reserve", "want", "offer") and _progressive_plan(inner, token):
            return True
    return bool(last and last.talk and verb and form == "base")


_PICKUP_PLANS = frozenset({"ill", "will", "gonna", "going to", "planned", "would like", "id", "want to", "wants to", "hell", "shell", "theyll", "scheduled", "due to"})
"""A pickup is agreed for a day to come: these do not make it doubtful."""


def _harmless_no(inner: Sequence[Token], n: int, verbs: Sequence[int]) -> bool:
    """ "no eggs", "none dead", "no deaths" behind the verb say that there were none of these; the event stands."""
    if not verbs or n < verbs[0]:
        return False
    entities = any(token.kind in (*_ENTITIES, "number") for token in inner[n + 1 :])
    return inner[n].text in ("no", "none", "without", "nothing") or not entities


_SEEN_ONLY = frozenset({"spawn", "lose_brood", "release", "die", "lose"})


def _only_hoped(inner: Sequence[Token], verb: str) -> bool:
    """A verb in its plain form behind "to", or one that nobody commands ("I'd love to see f4 spawn")."""
    at = next(n for n, token in enumerate(inner) if verb_of(token) == verb)
    before = [token for token in inner[:at] if token.kind == "word"]
    if before and before[-1].text == "to":
        return len(before) < 2 or before[-2].text not in ("had", "please", "pls")
    pair = all(token.kind == "fish" or token.has("with") for token in inner[:at]) and sum(token.kind == "fish" for token in inner[:at]) == 2
    return verb in _SEEN_ONLY and at > 0 and not (verb == "spawn" and pair)


def _ahead(day: Token) -> bool:
    form, words = getattr(day.value, "form", ""), getattr(day.value, "words", "")
    return form.startswith(("future", "ahead")) or words.startswith(("next", "coming", "this weekend"))


def _progressive_plan(inner: Sequence[Token], day: Token) -> bool:
    """ "moving D to the tub on saturday" is a plan; "moved D on saturday" is not."""
    words = getattr(day.value, "words", "")
    form = getattr(day.value, "form", "")
    verb = next((token for token in inner if verb_of(token)), None)
    going = verb is not None and not verb.has("form:done") and verb_of(verb) in ("strip", "move", "cull", "split", "merge", "feed", "count", "sex", "measure")
    going = going or verb is not None and verb.text.split()[0].endswith("ing") and verb.text.split()[0] not in ("holding", "carrying", "brooding", "mouthbrooding", "spawning", "keeping")
    return _ahead(day) and (going or verb is None or not verb.has("form:done")) or (going and form in ("weekday", "ordinal", "named", "digits") and "last" not in words)


def _continues(inner: list[Token], verb: str, last: Clause, talk: bool) -> bool:
    """Whether a piece with a verb still tells of the same thing: "got a new male, put him in tank 2"."""
    if talk != last.talk:
        return False
    own = any(token.kind in ("fish", "batch", "reservation", "hash") for token in inner)
    if verb == last.verb and not own and verb not in PARALLEL - {"lose_brood", "reserve"}:
        return True
    follower = _FOLLOWERS.get(last.verb, frozenset())
    if last.verb == "join" and verb in ("move", "join", "name", "hold"):
        return not any(token.kind == "batch" for token in inner) and (not own or verb == "name")
    if verb in ("die", "lose") and last.verb in ("strip", "release"):
        return not own and not any(token.kind == "place" for token in inner)
    if verb == "move" and last.verb in ("strip", "release", "split"):
        return not own and not any(token.has("bare_pronoun") or token.text in ("her", "she") for token in inner)
    if verb == "sex" and last.verb == "count":
        return False
    return verb in follower and not own


_FOLLOWERS: dict[str, frozenset[str]] = {
    "reserve": frozenset({"pickup", "collected", "deposit", "want", "reserve", "hold"}),
    "want": frozenset({"want", "pickup", "reserve"}),
    "collected": frozenset({"collected", "leave", "pickup"}),
    "offer": frozenset({"offer", "leave", "pickup", "withdraw"}),
    "count": frozenset({"left_over", "count", "join"}),
    "split": frozenset({"name", "join", "move"}),
    "strip": frozenset({"count", "name", "left_over", "release", "join"}),
    "release": frozenset({"count", "left_over", "join"}),
    "pickup": frozenset({"pickup", "change_reservation"}),
    "lose_brood": frozenset({"lose_brood", "lose"}),
    "leave": frozenset({"collected", "leave"}),
    "hold_back": frozenset({"hold_back"}),
    "merge": frozenset({"name", "mix", "merge"}),
    "no_show": frozenset({"no_show", "pickup"}),
    "cancel": frozenset({"cancel", "want", "reserve"}),
    "measure": frozenset({"count"}),
    "undo": frozenset({"undo", "cancel", "withdraw", "change_reservation"}),
    "sex": frozenset({"left_over", "count"}),
    "hold": frozenset({"hold"}),
    "spawn": frozenset(),
    "feed": frozenset({"join", "leave"}),
    "die": frozenset({"die", "lose"}),
    "lose": frozenset({"die", "lose"}),
    "deposit": frozenset({"deposit"}),
}

WATER = ("ph", "tan_mg_l", "nitrite_mg_l", "nitrate_mg_l", "temp_c", "kh_dkh", "gh_dgh")


_STANDS_AT = ("now", "=", ":", "is", "left", "currently", "has", "have")


def implied_verb(inner: Sequence[Token]) -> str | None:
    """What is told without a verb: water values, lengths, "f4 to tank 2", "B now 30", "30 % tank 1", "A 15m 20f"."""
    kinds = [token.kind for token in inner]
    if any(token.has("batch_word") and n + 2 < len(inner) and inner[n + 1].text == "of" and inner[n + 2].kind == "number" for n, token in enumerate(inner)):
        return "join"
    if any(token.has(*WATER) for token in inner) or "temp" in kinds:
        return "test"
    if _bare_temperature(inner):
        return "test"
    if "length" in kinds and "batch" in kinds:
        return "measure"
    if _goes_to_place(inner):
        return "move"
    if kinds.count("batch") >= 2 and any(token.text == "together" for token in inner) and any(token.text in ("put", "tipped", "now", "bunged") for token in inner):
        return "merge"
    if "place" in kinds and ("percent" in kinds or ("volume" in kinds and any(token.has("water_word", "verb:change_water") or token.text == "swapped" for token in inner))):
        return "change_water"
    if "batch" in kinds and _sexes_counted(inner) >= 2:
        return "sex"
    if "batch" in kinds and any(isinstance(token.value, int) for token in inner if token.kind == "number") and (any(token.text in _STANDS_AT for token in inner) or any(token.has("fry") for token in inner)):
        return "count"
    if kinds in (["batch", "number"], ["number", "word", "batch"]) and (len(kinds) == 2 or inner[1].text in ("in", "of")):
        return "perhaps_count"
    if kinds.count("number") == 1 and ("batch" in kinds or "strain" in kinds) and any(a.text == "for" and b.text == "me" for a, b in zip(inner, inner[1:], strict=False)):
        return "reserve"
    if "money" in kinds and ("reservation" in kinds or "hash" in kinds) and any(token.has("paid") for token in inner):
        return "deposit"
    return None


def _of_water(inner: Sequence[Token]) -> bool:
    """Whether the numbers are of water, whatever the verb: "nitrate in tank 1 down to 20", "swapped 10 gallons in tank 2"."""
    kinds = {token.kind for token in inner}
    if kinds & {"batch", "fish", "sex", "strain", "length", "weight"}:
        return False
    return any(token.has(*WATER) for token in inner) or "temp" in kinds or ("place" in kinds and (bool(kinds & {"percent", "volume"}) or _bare_temperature(inner)))


def _bare_temperature(inner: Sequence[Token]) -> bool:
    values = [token.value for token in inner if token.kind == "suffixed"]
    letters = {value[1] for value in values if isinstance(value, tuple)}
    hot = all(isinstance(value, tuple) and (value[1] == "c" or value[0] >= 55) for value in values)
    return bool(values) and hot and letters <= {"c", "f"} and not any(token.kind in ("batch",) for token in inner)


def _sexes_counted(inner: Sequence[Token]) -> int:
    sexes = {token.value for token in inner if token.kind == "sex"}
    sexes |= {{"m": "male", "f": "female"}.get(token.value[1]) for token in inner if token.kind == "suffixed" and isinstance(token.value, tuple)}
    return len(sexes & {"male", "female"})


def _goes_to_place(inner: Sequence[Token]) -> bool:
    for n, token in enumerate(inner):
        if token.kind == "place" and n:
            before = [other for other in inner[:n] if other.text not in ("the", "my", "our")]
            if before and (before[-1].text in ("to", "into", "onto") or before[-1].kind == "arrow"):
                mover = any(other.kind in ("fish", "batch") for other in before)
                return mover or (before[0].kind == "number" and len(before) == 2)
    return False


def _belongs(inner: Sequence[Token], last: Clause) -> bool:
    """A piece without a verb that only fills in a stripping, an arrival or a move."""
    if last.verb in ("strip", "release", "join", "split") and not any(token.kind in ("fish", "batch") for token in inner):
        return not any(token.has(*WATER) for token in inner)
    return last.verb in ("merge", "reserve", "want", "offer", "pickup", "measure", "note") and not any(token.has(*WATER) for token in inner)


def _completes(inner: Sequence[Token], implied: str, last: Clause) -> bool:
    """ "tank 1 ph 8, temp 78": further values of the same water."""
    if implied == last.verb == "test":
        return not any(token.kind == "place" for token in inner) or not any(token.kind == "place" for token in last.tokens)
    return implied == last.verb == "measure" and not any(token.kind == "batch" for token in last.tokens)


def _parallel(inner: Sequence[Token], last: Clause) -> bool:
    """ "2 dead in B, 1 in D": another of the same, its verb left out."""
    if last.verb not in PARALLEL:
        return False
    kinds = {token.kind for token in inner}
    before = {token.kind for token in last.tokens}
    told = kinds & {"number", "percent", "volume", "day", "length"}
    named = kinds & {"fish", "batch", "place"}
    if last.verb == "hold" and "number" in kinds and "day" in kinds and "day" in before:
        return True
    if last.verb == "feed":
        return bool(named and kinds & {"weight"} and before & {"weight"})
    return bool(told and named and before & told and before & named & kinds)


def with_head(clause: Clause, tokens: Sequence[Token]) -> Clause:
    """The clause with some tokens put before its own."""
    return replace(clause, tokens=[*tokens, *clause.tokens])


def known_verbs() -> frozenset[str]:
    """Every verb of the vocabulary."""
    return vocabulary().verbs


def names_something(clause: Clause) -> bool:
    """Whether the clause names a fish, a batch, a place or a reservation that a report could be about."""
    return any(
        token.kind in _ENTITIES or (token.kind == "place" and isinstance(token.value, Spot)) or isinstance(token.value, Fish) for token in clause.tokens
    )
