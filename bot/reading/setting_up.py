"""Setting up a fishroom by message: places, strains, nicknames, parents, batches that mixed; and a bare number at a scanned place.

Each recogniser looks at one whole sentence; the table below gives the words that make it worth a look.
"""

# ruff: noqa: E501 - a pattern is read as one line

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from functools import lru_cache

from bot.reading import running
from bot.reading.colonies import colony
from bot.reading.facts import Facts
from bot.reading.grown_on import grown_on
from bot.reading.kinds_fish import on_day
from bot.reading.kinds_places import place_added, place_retired, raw
from bot.reading.naming import named_in_turn, named_plainly
from bot.reading.new_fish import new_fish
from bot.reading.new_places import new_places
from bot.reading.partial import Partial, Trouble
from bot.reading.pieces import Clause
from bot.reading.scene import Scene
from bot.reading.tokens import Token
from bot.reading.walk import Fish
from bot.reading.wishes import TOLD_WHEN, told_when

Recogniser = Callable[[Sequence[Token], str, Scene], list[Partial] | None]


def read_sentence(tokens: Sequence[Token], scene: Scene, asked: bool) -> list[Partial] | None:
    """The items of a sentence that sets something up or runs the fishroom; None where it does not."""
    flat = " ".join(token.text for token in tokens)
    if asked:
        return None
    for recognise in _worth_a_look(flat):
        found = recognise(tokens, flat, scene)
        if found is not None:
            return found
    return None


@lru_cache(maxsize=8)
def _worth_a_look(flat: str) -> tuple[Recogniser, ...]:
    """The recognisers whose words are in the sentence; kept, for a sentence is looked at more than once."""
    return tuple(recognise for pattern, recognise in (*_RECOGNISERS, *running.RECOGNISERS) if pattern.search(flat))


def bare_number(facts: Facts) -> list[Partial] | None:
    """A number alone at a scanned place may be a count of the batch there: that is asked, never taken."""
    here = facts.scene.context.here
    content = [token for token in facts.tokens if token.kind != "punct"]
    if here is None or len(facts.quantities) != 1 or len(content) > 2 or not isinstance(facts.quantities[0].value, int):
        return None
    batches = facts.names.batches_in(here)
    value = str(facts.quantities[0].value)
    partial = Partial("counted", {"on": facts.scene.now.date().isoformat()})
    partial.put("batch", batches[0] if len(batches) == 1 else Trouble("batch", "ambiguous", "", batches))
    partial.put("count", Trouble("count", "uncertain", value, (value,)))
    return [partial]


def _facts(tokens: Sequence[Token], scene: Scene, verb: str = "") -> Facts:
    return Facts(Clause(list(tokens), verb), scene)


# --- strains, names, parents ---


def _strain_added(tokens: Sequence[Token], flat: str, scene: Scene) -> list[Partial] | None:
    at = next((n for n, token in enumerate(tokens) if token.text in ("strain", "strains")), None)
    if at is None or any(token.has("negation", "plan", "condition", "hearsay") for token in tokens[:at]):
        return None
    rest = [
        token
        for n, token in enumerate(tokens[at + 1 :])
        if token.text not in (":", "called", "named") and not (n == 0 and token.text == ",")
    ]
    cut = next((n for n, token in enumerate(rest) if token.text in (",", "species", "(", "is", "=", "-")), len(rest))
    name = raw(rest[:cut], scene)
    partial = Partial("strain_added")
    partial.put("strain", name if name else Trouble("strain"))
    species = re.search(
        r"\b(?:species|sp)\b\.?\s*:?\s*(?:is )?([^,()\n]+)|,\s*([^,()\n]+)$|\(([^()\n]+)\)|\b(?:is|=)\s+(?:an? )?([^,()\n]+)$",
        scene.text[rest[0].start : None if rest[-1].text == "sp" else rest[-1].end] if rest else "",
    )
    said = (
        re.sub(r"^\s*species:?\s*", "", next((group for group in species.groups() if group), "")).strip(" .") if species else ""
    )
    said = re.sub(r"^(?:an?|the) ", "", said)
    if said and all(_of_a_species(token) for token in rest[cut:]):
        partial.put("species", scene.names.profiles.get(said.lower(), said))
    return [partial]


def _of_a_species(token: Token) -> bool:
    """Whether a word can belong to the name of a species: no word that says something."""
    return token.kind != "word" or not token.means or token.text in ("species", "is", "an", "a", "sp", "from", "the", "of")


def _named(tokens: Sequence[Token], flat: str, scene: Scene) -> list[Partial] | None:
    fish = [n for n, token in enumerate(tokens) if isinstance(token.value, Fish)]
    if len(fish) != 1 or any(
        token.kind in ("batch", "place", "number", "strain") or token.has("negation", "plan", "condition") for token in tokens
    ):
        return None
    told_more = ("verb:hold", "verb:strip", "verb:release", "verb:spawn", "verb:lose_brood", "verb:move", "verb:die", "verb:leave")
    if any(token.has(*told_more) for token in tokens):
        return None
    value = tokens[fish[0]].value
    assert isinstance(value, Fish)  # noqa: S101 chosen for that
    told = max(n for n, token in enumerate(tokens) if n == fish[0] or token.text in _NAMING)
    words = _nickname_words(tokens[told + 1 :], scene)
    if not words or len(words) > 3:
        return None
    partial = Partial("named")
    partial.put(value.sex, _facts(tokens, scene).known(value.sex, value.label))
    partial.put("nickname", raw(words, scene))
    return [partial]


def _nickname_words(tokens: Sequence[Token], scene: Scene) -> list[Token]:
    """The words of the nickname; of "Clementine from now on" and "Rosie thanks" only those that are written as names are."""
    words = [
        token for token in tokens if token.kind == "word" and token.text not in ("now", "is", "the", "as", "please", "pls")
    ]
    first = next((n for n, token in enumerate(words) if scene.text[token.start].isupper()), None)
    if first is None:
        return words[: next((n for n, token in enumerate(words) if n and token.text in _BEHIND_NAME), len(words))]
    lower = next((n for n in range(first, len(words)) if not scene.text[words[n].start].isupper()), len(words))
    return words[first:lower] if first == 0 else words


_BEHIND_NAME = frozenset(["from", "for", "since", "because", "thanks", "thank", "thx", "cheers", "lol", "haha", "btw", "after", "and"])
_NAMING = (
    "now called",
    "is now called",
    "called",
    "named",
    "is called",
    "is named",
    "call",
    "name",
    "nicknamed",
    "goes by",
    "nickname",
    "call her",
    "call him",
    "name her",
    "name him",
)


def _parents(tokens: Sequence[Token], flat: str, scene: Scene) -> list[Partial] | None:
    facts = _facts(tokens, scene)
    if facts.has("verb:spawn", "verb:hold", "verb:strip", "verb:release", "negation", "plan", "hedge", "condition"):
        return None
    partial = Partial("parents")
    batches = facts.batches()
    fish = [(n, token.value) for n, token in enumerate(tokens) if isinstance(token.value, Fish)]
    if batches:
        partial.put("batch", batches[0])
    elif fish and not re.match(r"^.*\b(?:father|dad|sire|mother|mum|mom|dam) of\b", flat):
        first = fish.pop(0)[1]
        partial.put(first.sex, facts.known(first.sex, first.label))
    elif len(fish) > 1:
        last = fish.pop()[1]
        partial.put(last.sex, facts.known(last.sex, last.label))
    else:
        return None
    for _, parent in fish:
        slot = "dam" if parent.sex == "female" else "sire"
        known = facts.known(parent.sex, parent.label)
        partial.put(slot, known if isinstance(known, str) else Trouble(slot, "unknown", parent.label))
    return [partial] if {"sire", "dam"} & (set(partial.slots) | {trouble.slot for trouble in partial.troubles}) else None


def _mixed(tokens: Sequence[Token], flat: str, scene: Scene) -> list[Partial] | None:
    if any(
        token.kind in ("fish", "number", "sex")
        or (token.has("plan", "condition", "hedge", "verb:move", "verb:join") and token.text != "cant tell")
        for token in tokens
    ):
        return None
    facts = _facts(tokens, scene)
    apart = bool(
        re.search(r"\b(?:can|could) (?:still )?(?:be told|tell (?:them |those )?) ?apart|\btold apart(?: by| easily)?$", flat)
    ) and not facts.has("negation")
    batches = facts.batches()
    spots = facts.where("place")
    place = facts.place(spots[0], "place") if spots else None
    if not batches and isinstance(place, str):
        batches = list(scene.names.batches_in(place))
    letters = [batch for batch in batches if isinstance(batch, str)]
    partial = Partial("told_apart" if apart else "mixed")
    if len(letters) < 2:
        partial.put("batches", next((batch for batch in batches if isinstance(batch, Trouble)), Trouble("batches")))
    partial.slots["batches"] = letters
    shared = {scene.names.batches[letter].get("place") for letter in letters}
    partial.put("place", place or (str(shared.pop()) if len(shared) == 1 else Trouble("place")))
    if facts.where("day"):
        on_day(facts, partial)
    return [partial]


def _guest(tokens: Sequence[Token], flat: str, scene: Scene) -> list[Partial] | None:
    at = next((n for n, token in enumerate(tokens) if token.text in ("guest", "guests", "guest buyer")), None)
    if at is None or any(token.has("negation", "plan", "condition") for token in tokens):
        return None
    words = [
        token
        for token in tokens[at + 1 :]
        if token.kind in ("word", "member") and token.text not in ("called", "named", "buyer", "is", "please", "pls")
    ]
    if not words and at > 1 and tokens[at - 1].text in ("a", "as"):
        words = _added_before(tokens[:at])
    name = raw(words[:3], scene)
    return [Partial("guest_added", {"member": name})] if name and len(words) <= 3 else None


def _added_before(tokens: Sequence[Token]) -> list[Token]:
    """The name in "add Viktor as a guest"."""
    found = re.match(r"^(?:please )?(?:add|added|put|make) (?:.+) (?:as|down as) a$", " ".join(token.text for token in tokens))
    return (
        [token for token in tokens if token.text not in ("please", "add", "added", "put", "make", "as", "down", "a", "down as")]
        if found
        else []
    )


def _invited(tokens: Sequence[Token], flat: str, scene: Scene) -> list[Partial] | None:
    found = re.match(r"^(?:please )?invite (.+?)(?: (?:as|to be) (?:an? )?(keeper|buyer|organi[sz]er))?$", flat)
    if found is None:
        return None
    at = next(n for n, token in enumerate(tokens) if token.text == "invite")
    end = next((n for n, token in enumerate(tokens) if token.text == "as" and n > at), len(tokens))
    name = raw(tokens[at + 1 : end], scene)
    role = (found.group(2) or "buyer").replace("organizer", "organiser")
    return [Partial("invited", {"member": name, "role": role})] if 0 < len(name.split()) <= 3 else None


def _personal(tokens: Sequence[Token], flat: str, scene: Scene) -> list[Partial] | None:
    return [Partial("forget_me")]


_RECOGNISERS: tuple[tuple[re.Pattern[str], Recogniser], ...] = (
    (
        re.compile(
            r"^(?:please )?(?:forget|delete|erase) (?:all about )?me(?: completely| please)?$|^(?:delete|erase) (?:all )?my data$"
        ),
        _personal,
    ),
    (re.compile(r"\b(?:tank|aquarium|tub|vat|pond) \d"), colony),
    (re.compile(r"\b(?:tanks?|aquarium|box(?:es)?|tubs?|vat|ponds?)\b"), new_places),
    (re.compile(r"\b(?:tanks?|box(?:es)?|tubs?|ponds?|in|to|into|for)\b"), new_fish),
    (re.compile(r"\b(?:as|is|now|becomes|became|called) \S+"), grown_on),
    (re.compile(TOLD_WHEN), told_when),
    (re.compile(r"^(?:the |my |our )?\S+(?: \S+)? (?:=|is) (?:called )?\S+$|\b(?:the|my|our) \S+(?: \S+)? is (?:called|named) |^s?hes? (?:is )?(?:called|named) "), named_plainly),
    (re.compile(r"^(?:f|m|fe?males?|fem) ?\d+ (?:= |is |called |named )?\S+ .*(?:f|m|fe?males?|fem) ?\d+ "), named_in_turn),
    (re.compile(r"^(?:her|his) name is "), named_plainly),
    (re.compile(r"\bguests?\b"), _guest),
    (re.compile(r"^(?:please )?invite\b"), _invited),
    (re.compile(r"^(?:.*\b(?:new|add|added|another) )?strains?\b"), _strain_added),
    (re.compile(r"\b(?:father|dad|sire|mother|dam|parents?|mum)\b|\b(?:is|are|came|come|comes) (?:from|out of)\b"), _parents),
    (
        re.compile(
            r"\b(?:are|is|got|theyre|they are|have|all) (?:now )?mixed\b|\bmixed (?:now|together|up|in)\b(?! with\b)|^(?:i |ive |just )*mixed .+ in (?!to\b|with\b)|\b(?:cant|cannot|can not) (?:be )?(?:told?|tell)\b.*\bapart\b|\btold apart\b"
        ),
        _mixed,
    ),
    (re.compile(r"\b(?:called|named|nicknamed|nickname|goes by)\b|^(?:please )?(?:call|name)\b|\bname is\b"), _named),
    (
        re.compile(
            r"^(?:retire|retired|remove|removed|took down|take down|got rid of|tore down|dismantled|decommissioned)\b|\b(?:is retired|was retired|taken down|no longer (?:used|in use)|is gone|decommissioned|dismantled|torn down)\b"
        ),
        place_retired,
    ),
    (
        re.compile(
            r"\b(?:new|add|added|set up|setup|built|install|installed|hangs?|hanging|hard to|difficult to|aquaponics?|loop|holds \d|is \d|litres|liters|gal|l)\b"
        ),
        place_added,
    ),
)
