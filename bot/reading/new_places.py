"""Places that are told of in one's own words: "I have a 300 litre tank called tank 1 at 26 degrees", "tanks 1 and 2, each 200 l".

A sentence is taken only if every word of it has its part in describing places; what holds any other word is left to the others.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence
from dataclasses import dataclass, field

from bot.reading.names import lettered_name
from bot.reading.partial import Partial, Trouble
from bot.reading.scene import Scene
from bot.reading.tokens import Token
from bot.reading.vocabulary import NUMBER_WORDS
from core import units

_TYPES = {
    "tank": "tank", "tanks": "tank", "aquarium": "tank", "box": "box", "boxes": "box", "tub": "tub", "tubs": "tub", "vat": "tub",
    "pond": "pond", "ponds": "pond",
}  # fmt: skip
_KINDS = frozenset(["nursery", "breeding", "breeder", "growout", "grow-out", "grow", "out", "fry", "hanging", "net", "plastic", "glass", "rearing"])
_NAMING = frozenset(["quarantine", "hospital", "breeding", "hanging", "net", "isolation", "holding"])
"""Words before a type that make a name where no number follows."""
_ANNOUNCE = frozenset([
    "new", "add", "added", "set", "setup", "built", "installed", "have", "ive", "got", "theres", "there", "another", "my", "our", "put",
])  # fmt: skip
_FILLER = _ANNOUNCE | frozenset([
    "i", "we", "a", "an", "the", "is", "are", "s", "also", "and", "then", "up", "just", "please", "today", "now", "it", "its", "has", "holds",
    "runs", "running", "run", "at", "of", "with", "about", "each", "all", "usual", "usually", "temperature", "temp", "water", "big", "small",
    "second", "third", "first", "both", "heated", "unheated", "kept", "to", "outside", "outdoors", "outdoor", "indoors", "inside", "sits",
    "sitting", "standing", "stands", "bought", "for", "only", "mine", "main",
])  # fmt: skip
_WHEREABOUTS = frozenset([
    "garage", "basement", "cellar", "shed", "greenhouse", "garden", "yard", "attic", "loft", "kitchen", "bedroom", "office", "lounge", "hall",
    "hallway", "conservatory", "porch", "patio", "fishroom", "corner",
])  # fmt: skip
_WHICH = frozenset([
    "main", "display", "show", "big", "small", "large", "little", "left", "right", "top", "bottom", "upper", "lower", "front", "back",
])  # fmt: skip
"""Words that tell one tank from another, and so are its name where it has no other: "the big tank"."""
_VOLUME = {
    **dict.fromkeys(("l", "litre", "litres", "liter", "liters", "ltr", "ltrs"), "l"),
    **dict.fromkeys(("gal", "gals", "gallon", "gallons", "g"), "gal"),
}
_DEGREES = {**dict.fromkeys(("c", "celsius"), "c"), **dict.fromkeys(("f", "fahrenheit"), "f"), **dict.fromkeys(("degrees", "deg", "degree"), "")}
_WORD = re.compile(r"\d+(?:\.\d+)?|[a-z]+(?:-[a-z]+)*|[,;&+()/:-]")
_HANGING = frozenset(
    ["hang", "hangs", "hanging", "hung", "sits", "sitting", "inside", "clipped", "hooked", "attached", "mounted", "floating", "floats", "fixed"]
)
_BELOW_ZERO = re.compile(r"(?:^|[\s,:(])[-–]\d")
"""A sign before a figure: no tank holds or is so little, and that is asked about elsewhere."""
_MOST = 40
"""More places at once are not believed."""
_LEAST_GALLONS = 5
"""From this on "20g" of a tank is gallons, not grams."""
_STOPS = frozenset(",;&+()/:-")


@dataclass(slots=True)
class _Group:
    """Places that are described together."""

    type: str
    names: list[str]
    slots: dict[str, object] = field(default_factory=dict)


class _NotPlacesError(Exception):
    """A word has no part in describing places."""


def new_places(tokens: Sequence[Token], flat: str, scene: Scene) -> list[Partial] | None:
    """The places that the sentence says are there, or None."""
    text = scene.text[tokens[0].start : tokens[-1].end].lower().replace("'", "").replace("’", "").replace("°", " ")
    words = _WORD.findall(re.sub(r"(\d)-(l|gal)", r"\1 \2", text))
    if re.sub(r"\W", "", "".join(words)) != re.sub(r"\W", "", text) or _BELOW_ZERO.search(text):
        return None
    try:
        trade = {token.text for token in tokens if any(meaning.startswith(("verb:", "negation", "plan", "condition")) for meaning in token.means)}
        groups = _Parser(words, scene, trade).groups()
    except _NotPlacesError:
        return None
    return _partials(groups, bool(_ANNOUNCE & set(words)), scene)


def _partials(groups: Sequence[_Group], announced: bool, scene: Scene) -> list[Partial] | None:
    names = [name for group in groups for name in group.names]
    known = set(scene.names.places)
    if not names or known & set(names) or len(set(names)) < len(names):
        return None
    if not announced and not all("litres" in group.slots or "hangs_in" in group.slots for group in groups):
        return None
    if names == ["tank"] and announced and "litres" in groups[0].slots:
        return [Partial("place_added", {"type": "tank", **groups[0].slots}, [Trouble("place")])]
    if "tank" in names:
        return None
    if not any(group.slots for group in groups) and any(" " in name and not name.split()[-1].isdigit() for name in names):
        return None
    scene.memory.new_places.extend(names)
    found = []
    for group in groups:
        for name in group.names:
            partial = Partial("place_added", {"type": group.type, "place": name})
            for slot, value in group.slots.items():
                partial.put(slot, value)
            found.append(partial)
    return found


class _Parser:
    """Reads word by word; what comes before the first place waits for it."""

    def __init__(self, words: Sequence[str], scene: Scene, trade: Collection[str]) -> None:
        self.words = words
        self.trade = trade
        """Words that say what happens, and so are hardly a name."""
        self.scene = scene
        self.at = 0
        self.found: list[_Group] = []
        self.waiting: dict[str, object] = {}
        self.unit = ""
        """The unit that the last volume was said in."""
        self.many = 0
        """How many places the sentence says there are; 0 where it does not say."""
        self.described = False
        """Whether something was said of the last group, so that the next place begins another."""

    def groups(self) -> list[_Group]:
        """What the words describe."""
        while self.at < len(self.words):
            if not (self._figure() or self._catching() or self._loop() or self._hangs() or self._somewhere() or self._place()):
                if self._word() not in _FILLER | _STOPS:
                    raise _NotPlacesError
                self.at += 1
        if self.waiting or (self.many and self.many != sum(len(group.names) for group in self.found)):
            raise _NotPlacesError
        return self.found

    def _word(self, ahead: int = 0) -> str:
        at = self.at + ahead
        return self.words[at] if 0 <= at < len(self.words) else ""

    def _say(self, slot: str, value: object, *, of_next: bool = False) -> bool:
        if of_next or not self.found:
            if slot in self.waiting:
                raise _NotPlacesError
            self.waiting[slot] = value
        else:
            if slot in self.found[-1].slots:
                raise _NotPlacesError
            self.found[-1].slots[slot] = value
            self.described = True
        return True

    def _figure(self) -> bool:
        """A volume or a temperature."""
        if self._word() in NUMBER_WORDS and self._word(1) in ("tanks", "boxes", "tubs", "ponds"):
            self.many, self.at = NUMBER_WORDS[self._word()], self.at + 1
            return True
        if not self._word()[:1].isdigit():
            return False
        number, unit, before = float(self._word()), self._word(1), self._word(-1)
        if unit in ("tanks", "boxes", "tubs", "ponds"):
            self.many, self.at = int(number), self.at + 1
            return True
        us = self.scene.names.units == "us"
        unsaid = before == "is" and self.unit and (not unit or unit in _STOPS or unit == "and") and len(self.found) > 1  # "tank 2 is 40"
        if unsaid or (unit in _VOLUME and (unit != "g" or us or number >= _LEAST_GALLONS)):
            self.at += 1 + (not unsaid)
            self.unit = self.unit if unsaid else _VOLUME[unit]
            litres = round(units.litres(number, self.unit), 1)
            value = litres if 0.5 <= litres <= 100000 else Trouble("litres", "implausible", str(litres))
            return self._say("litres", value, of_next=self._type_follows())
        if unit in _DEGREES or before == "at" or (us and before == "," and 60 <= number <= 95):
            hot = _DEGREES.get(unit, "") == "f" or (not _DEGREES.get(unit, "") and number > 45)
            self.at += 1
            while self._word() in _DEGREES:
                self.at += 1
            warmth = round(units.celsius(number) if hot else number, 1)
            return self._say("temp_c", warmth if 10 <= warmth <= 36 else Trouble("temp_c", "implausible", str(warmth)))
        raise _NotPlacesError

    def _type_follows(self) -> bool:
        ahead = 0
        while self._word(ahead) in _KINDS or self._word(ahead) in ("aquaponic", "aquaponics"):
            ahead += 1
        return self._word(ahead) in _TYPES

    def _catching(self) -> bool:
        if self._word() in ("hard", "difficult", "tricky", "awkward") and self._word(1) == "to" and self._word(2) in ("catch", "net"):
            self.at += 4 if self._word(3) in ("from", "in") else 3
            return self._say("hard_to_catch", True, of_next=not self.found)
        return False

    def _loop(self) -> bool:
        if self._word() in ("aquaponic", "aquaponics", "loop"):
            self.at += 1
            return self._say("loop", True, of_next=self._type_follows())
        if self._word() in ("in", "on") and "loop" in (self._word(1), self._word(2)):
            self.at += 1 + (self._word(1) != "loop")
            return True
        return False

    def _somewhere(self) -> bool:
        """ "out in the garage": where it stands is no name."""
        ahead = int(self._word() in ("out", "down", "up"))
        ahead += self._word(ahead) in ("in", "at", "on")
        ahead += self._word(ahead) in ("the", "my", "our", "a")
        if not self.found or not ahead or self._word(ahead) not in _WHEREABOUTS:
            return False
        self.at += ahead + 1
        return True

    def _hangs(self) -> bool:
        """ "hanging in tank 1", "in it": only a box hangs."""
        ahead = 1 if self._word() in _HANGING else 0
        if ahead and not self.found and self._word(1) in ("a", "another", "the", "my"):
            self.at += 1  # "hung a breeder box in tank 2"
            return True
        if ahead and self._word(ahead) in ("in", "inside", "on", "to", "onto"):
            ahead += 1
        elif not ahead and self._word() == "in":
            ahead = 1
        elif self._word() != "inside":
            return False
        if self._word(ahead) == "the":
            ahead += 1
        if self._word(ahead) == "it" and len(self.found) > 1:
            tank, taken = self.found[-2].names[-1], 1
        else:
            tank, taken = self._known(ahead)
        if not self.found or self.found[-1].type != "box":
            raise _NotPlacesError
        self.at += ahead + taken
        return self._say("hangs_in", tank)

    def _known(self, ahead: int) -> tuple[str, int]:
        """A place of the fishroom, or one that was just told of, at these words; and how many words it takes."""
        known = {*self.scene.names.places, *self.scene.memory.new_places, *(name for group in self.found for name in group.names)}
        for length in (3, 2, 1):
            said = " ".join(self._word(ahead + n) for n in range(length))
            if said in known:
                return said, length
        raise _NotPlacesError

    def _place(self) -> bool:
        """ "tank 1", "boxes 1, 2 and 3", "nursery box 1", "tub", "tank called kitchen"."""
        ahead = 0
        while self._word(ahead) in _KINDS | _NAMING:
            ahead += 1
        type_ = _TYPES.get(self._word(ahead))
        if type_ is None:
            return False
        kinds = [self._word(n) for n in range(ahead)]
        self.at += ahead + 1
        names = self._names(type_) or self._called(type_)
        if not names and self.found and self.found[-1].type == type_ and self.waiting:
            return self._meant_the_last()
        if not names:
            which = self._word(-ahead - 2) if self._word(-ahead - 3) in ("the", "my", "our") else ""
            named = next((kind for kind in kinds if kind in _NAMING), None) or (which if which in _WHICH and type_ == "tank" else None)
            names = [f"{named} {type_}" if named else type_]
        announced = bool(self.found) and self.found[-1].names == [type_] and names != [type_]  # "a new tank, tank 5"
        if self.found and (announced or not self.described) and self.found[-1].type == type_ and not self.waiting:
            self.found[-1].names = names if announced else self.found[-1].names + names
        else:
            self.found.append(_Group(type_, names, self.waiting))
            self.described, self.waiting = bool(self.waiting), {}
        return True

    def _meant_the_last(self) -> bool:
        """ "… are 20 litre nursery boxes": what was said is of the boxes named before."""
        if set(self.waiting) & set(self.found[-1].slots):
            raise _NotPlacesError
        self.found[-1].slots.update(self.waiting)
        self.waiting, self.described = {}, True
        return True

    def _names(self, type_: str) -> list[str]:
        """Numbers after the type, as far as they are labels."""
        names: list[str] = []
        self.at += self._word() == ":" and self._word(1).isdigit() and self._word(2) in (",", "and", "-", "&")
        while True:
            skip = 0
            if names and self._word() in ("-", "to") and self._word(1).isdigit() and int(names[-1].split()[-1]) < int(self._word(1)) <= _MOST:
                names += [f"{type_} {number}" for number in range(int(names[-1].split()[-1]) + 1, int(self._word(1)) + 1)]
                self.at += 2
                continue
            while names and self._word(skip) in (",", "and", "&", "+"):
                skip += 1
            label = self._word(skip)
            figure = self._word(skip + 1) in _VOLUME or self._word(skip + 1) in _DEGREES
            if not label.isdigit() or (names and not skip) or figure or len(label) > 2:
                return names
            self.at += skip + 1
            names.append(f"{type_} {label}")

    def _called(self, type_: str) -> list[str]:
        """A name of its own: after "called", or right after "new tank"."""
        told = self._word() in ("called", "named")
        self.at += told
        self.at += self._word() == "the"
        start = self.at
        if len(self._word()) == 1 and self._word().isalpha() and self._word(1).isdigit() and self._word(2) not in {**_VOLUME, **_DEGREES}:
            self.at += 2
            return [lettered_name(type_, f"{self.words[start]}{self.words[start + 1]}")]
        while self._word().replace("-", "").isalpha() and self.at - start < 3:
            if self._word() in (_FILLER - _WHICH if told else _FILLER) | _HANGING | {"in", "out", "hard", "aquaponic", "loop", "on"}:
                break
            self.at += 1
        said = self.words[start : self.at]
        if self._word().isdigit() and said and self._word(1) not in {**_VOLUME, **_DEGREES}:
            said = [*said, self._word()]
            self.at += 1
        if not said:
            if told:
                raise _NotPlacesError
            return []
        new = self._word(start - self.at - 2) in ("new", "add", "added", "another") or told
        if not new or any(word in self.trade for word in said if word not in _TYPES):
            raise _NotPlacesError
        name = "".join(said) if len(said) == 2 and len(said[0]) == 1 and said[1].isdigit() else " ".join(said)
        return [lettered_name(type_, name) if len(name) < 3 else name]
