"""Setting up a fishroom by message: places, strains, nicknames, parents, batches that mixed; and a bare number at a scanned place.

Each recogniser looks at one whole sentence; the table below gives the words that make it worth a look.
"""

# ruff: noqa: E501 - a pattern is read as one line

from __future__ import annotations

import re
from collections.abc import Callable, Sequence

from bot.reading import running
from bot.reading.facts import Facts
from bot.reading.kinds_fish import on_day
from bot.reading.names import PLACE_TYPES
from bot.reading.partial import Partial, Trouble
from bot.reading.pieces import Clause
from bot.reading.scene import Scene
from bot.reading.tokens import Token
from bot.reading.walk import Fish, Spot
from core import units

Recogniser = Callable[[Sequence[Token], str, Scene], list[Partial] | None]


def read_sentence(tokens: Sequence[Token], scene: Scene, asked: bool) -> list[Partial] | None:
    """The items of a sentence that sets something up or runs the fishroom; None where it does not."""
    flat = " ".join(token.text for token in tokens)
    if asked:
        return None
    for pattern, recognise in (*_RECOGNISERS, *running.RECOGNISERS):
        if pattern.search(flat):
            found = recognise(tokens, flat, scene)
            if found is not None:
                return found
    return None


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


def raw(tokens: Sequence[Token], scene: Scene) -> str:
    """The words as they were written."""
    return scene.text[tokens[0].start : tokens[-1].end].strip() if tokens else ""


def _facts(tokens: Sequence[Token], scene: Scene, verb: str = "") -> Facts:
    return Facts(Clause(list(tokens), verb), scene)


# --- places ---


def _place_added(tokens: Sequence[Token], flat: str, scene: Scene) -> list[Partial] | None:
    if any(
        token.kind in ("fish", "sex", "strain", "member", "profile", "reservation") or token.has("fry", "thing")
        for token in tokens
    ):
        return None
    if any(token.has("negation", "plan", "hedge", "condition", "hearsay") for token in tokens):
        return None
    announced = bool(
        re.match(
            r"^(?:(?:i|we|ive|just|have|got|a|set up|setup|add|added|there is|theres)\s)*(?:new|add|added|set up|setup|built|install(?:ed)?)\b",
            flat,
        )
    )
    at = next((n for n, token in enumerate(tokens) if isinstance(token.value, Spot) and token.kind == "place"), None)
    if at is None:
        return None
    spot = tokens[at].value
    assert isinstance(spot, Spot)  # noqa: S101 a place token has a spot
    name, type_ = _new_name(tokens, at, spot, scene)
    described = re.search(
        r"\b(?:hangs?|hanging|hard to|difficult to|awkward to|tricky to|aquaponics?|loop)\b|\b(?:is|holds|has|=|:) (?:about )?\d[\d.]* ?(?:l|lit\w+|gal\w*|ltrs?)\b(?: (?:tank|tub))?$",
        flat,
    )
    acted = any(meaning.startswith("verb:") and not token.has("filler") for token in tokens for meaning in token.means)
    if not announced and (not described or acted):
        return None
    if announced and name in scene.names.places and any(token.text in ("to", "in", "into") for token in tokens[:at]):
        return None
    if type_ is None or (not announced and spot.name is None and not spot.said[-1:].isdigit()):
        return None
    partial = Partial("place_added", {"type": type_})
    partial.put("place", Trouble("place", "taken", name) if announced and name in scene.names.places else name)
    facts = _facts(tokens, scene)
    _particulars(partial, tokens, at, facts)
    if "place" in partial.slots:
        scene.memory.new_places.append(name)
    return [partial] if announced or len(partial.slots) > 2 else None


def _new_name(tokens: Sequence[Token], at: int, spot: Spot, scene: Scene) -> tuple[str, str | None]:
    """The place's own name and its type: "tank 1", "tub", "quarantine tank" or "tank called kitchen"."""
    if spot.name:
        return spot.name, next((type_ for type_ in PLACE_TYPES if type_ in spot.name.split()), "tank")
    type_ = spot.type or next((each for each in PLACE_TYPES if spot.said.startswith(each)), None)
    called = [n for n in range(at + 1, len(tokens)) if tokens[n].text in ("called", "named", "call it", "name it")]
    if called and called[0] + 1 < len(tokens):
        return raw(_until_comma(tokens[called[0] + 1 :]), scene).lower(), type_
    if spot.type:
        start = next((n for n in range(at) if tokens[n].kind == "word" and tokens[n].text not in _BEFORE_NAME), at)
        if start < at:
            return raw(tokens[start : at + 1], scene).lower(), type_
        following = _until_comma(tokens[at + 1 :])
        if following and following[0].text not in ("in", "with", "on", "of", "for", "hangs", "is", "at", "to", "from"):
            return raw(following, scene).lower(), type_
        return type_ or spot.said, type_
    return spot.said, type_


_BEFORE_NAME = frozenset(
    [
        "new",
        "add",
        "added",
        "set",
        "up",
        "setup",
        "built",
        "install",
        "installed",
        "got",
        "have",
        "ive",
        "i",
        "we",
        "just",
        "a",
        "an",
        "the",
        "another",
        "big",
        "small",
        "please",
        "my",
        "our",
        "second",
        "third",
    ]
)
"""Words before a new place's type that are no part of its name."""


def _until_comma(tokens: Sequence[Token]) -> list[Token]:
    out: list[Token] = []
    for token in tokens:
        if token.kind in ("punct", "volume", "temp", "suffixed", "number", "place"):
            break
        out.append(token)
    return out


def _particulars(partial: Partial, tokens: Sequence[Token], at: int, facts: Facts) -> None:
    flat = " ".join(token.text for token in tokens)
    volumes = [token.value for token in tokens if token.kind == "volume" and isinstance(token.value, tuple)]
    if volumes:
        litres = round(units.litres(volumes[0][0], volumes[0][1]), 1)
        partial.put("litres", litres if 0.5 <= litres <= 100000 else Trouble("litres", "implausible", str(litres)))
    temperature = _temperature(tokens, facts.names.units)
    if temperature is not None:
        partial.put("temp_c", temperature if 10 <= temperature <= 36 else Trouble("temp_c", "implausible", str(temperature)))
    hung = next(
        (token.value for n, token in enumerate(tokens) if n > at and token.kind == "place" and isinstance(token.value, Spot)),
        None,
    )
    if hung is not None:
        known = hung.name or (hung.said if hung.said in facts.scene.memory.new_places else None)
        partial.put("hangs_in", known or Trouble("hangs_in", "unknown", hung.said))
    if re.search(r"\b(?:hard|difficult|tricky|awkward|pain) to (?:catch|net)", flat):
        partial.put("hard_to_catch", True)
    if re.search(r"\baquaponics?\b|\b(?:on|in|part of) the loop\b|\bloop\b", flat):
        partial.put("loop", True)


def _temperature(tokens: Sequence[Token], system: str) -> float | None:
    for n, token in enumerate(tokens):
        if token.kind in ("temp", "suffixed") and isinstance(token.value, tuple):
            number, unit = float(token.value[0]), str(token.value[1])
            return round(units.celsius(number) if unit == "f" or (not unit and number > 45) else number, 1)
        following = tokens[n + 1].text if n + 1 < len(tokens) else ""
        before = tokens[n - 1] if n else None
        if token.kind == "number" and (following in ("c", "f") or (before is not None and before.has("temp_c"))):
            number = token.number
            hot = following == "f" or (following != "c" and (number > 45 or (system == "us" and number > 45)))
            return round(units.celsius(number) if hot else number, 1)
    return None


def _place_retired(tokens: Sequence[Token], flat: str, scene: Scene) -> list[Partial] | None:
    spots = [n for n, token in enumerate(tokens) if token.kind == "place"]
    busy = any(
        token.kind in ("fish", "batch", "number", "sex") or token.has("thing", "negation", "plan", "condition", "hedge")
        for token in tokens
    )
    if len(spots) != 1 or busy:
        return None
    partial = Partial("place_retired")
    partial.put("place", _facts(tokens, scene).place(spots[0], "place"))
    return [partial]


# --- strains, names, parents ---


def _strain_added(tokens: Sequence[Token], flat: str, scene: Scene) -> list[Partial] | None:
    at = next((n for n, token in enumerate(tokens) if token.text in ("strain", "strains")), None)
    if at is None or any(token.has("negation", "plan", "condition", "hearsay") for token in tokens[:at]):
        return None
    rest = [token for token in tokens[at + 1 :] if token.text not in (":", "called", "named")]
    cut = next((n for n, token in enumerate(rest) if token.text in (",", "species", "(", "is", "=", "-")), len(rest))
    name = raw(rest[:cut], scene)
    partial = Partial("strain_added")
    partial.put("strain", name if name else Trouble("strain"))
    species = re.search(
        r"\b(?:species|sp)\b\.?\s*:?\s*(?:is )?([^,()\n]+)|,\s*([^,()\n]+)$|\(([^()\n]+)\)|\b(?:is|=)\s+(?:an? )?([^,()\n]+)$",
        scene.text[rest[0].start :] if rest else "",
    )
    said = (
        re.sub(r"^\s*species:?\s*", "", next((group for group in species.groups() if group), "")).strip(" .") if species else ""
    )
    if said:
        partial.put("species", scene.names.profiles.get(said.lower(), said))
    return [partial]


def _named(tokens: Sequence[Token], flat: str, scene: Scene) -> list[Partial] | None:
    fish = [n for n, token in enumerate(tokens) if isinstance(token.value, Fish)]
    if len(fish) != 1 or any(
        token.kind in ("batch", "place", "number", "strain") or token.has("negation", "plan", "condition") for token in tokens
    ):
        return None
    value = tokens[fish[0]].value
    assert isinstance(value, Fish)  # noqa: S101 chosen for that
    told = max(n for n, token in enumerate(tokens) if n == fish[0] or token.text in _NAMING)
    words = [
        token
        for token in tokens[told + 1 :]
        if token.kind == "word" and token.text not in ("now", "is", "the", "as", "please", "pls")
    ]
    if not words or len(words) > 3:
        return None
    partial = Partial("named")
    partial.put(value.sex, _facts(tokens, scene).known(value.sex, value.label))
    partial.put("nickname", raw(words, scene))
    return [partial]


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
        token.kind in ("fish", "number", "sex") or token.has("plan", "condition", "hedge", "verb:move", "verb:join")
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
    name = raw(words[:3], scene)
    return [Partial("guest_added", {"member": name})] if name and len(words) <= 3 else None


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
    (re.compile(r"\bguests?\b"), _guest),
    (re.compile(r"^(?:please )?invite\b"), _invited),
    (re.compile(r"^(?:.*\b(?:new|add|added|another) )?strains?\b"), _strain_added),
    (re.compile(r"\b(?:father|dad|sire|mother|dam|parents?|mum)\b"), _parents),
    (
        re.compile(
            r"\b(?:are|is|got|theyre|they are|have|all) (?:now )?mixed\b|\bmixed (?:now|together|up|in)\b|\b(?:cant|cannot|can not) (?:be )?(?:told?|tell)\b.*\bapart\b|\btold apart\b"
        ),
        _mixed,
    ),
    (re.compile(r"\b(?:called|named|nicknamed|nickname|goes by)\b|^(?:please )?(?:call|name)\b"), _named),
    (
        re.compile(
            r"^(?:retire|retired|remove|removed|took down|take down|got rid of|tore down|dismantled|decommissioned)\b|\b(?:is retired|was retired|taken down|no longer (?:used|in use)|is gone|decommissioned|dismantled|torn down)\b"
        ),
        _place_retired,
    ),
    (
        re.compile(
            r"\b(?:new|add|added|set up|setup|built|install|installed|hangs?|hanging|hard to|difficult to|aquaponics?|loop|holds \d|is \d|litres|liters|gal|l)\b"
        ),
        _place_added,
    ),
)
