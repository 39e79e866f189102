"""Nicknames told plainly: "f1 = Bea", "female 1 is Clementine", "the male is called Flint"."""

from __future__ import annotations

from collections.abc import Sequence

from bot.reading.partial import Partial, Trouble
from bot.reading.scene import Scene
from bot.reading.tokens import Token
from bot.reading.vocabulary import ordinary_words
from bot.reading.walk import Fish

_CALLED = ("is called", "is named", "called", "named")


def named_in_turn(tokens: Sequence[Token], flat: str, scene: Scene) -> list[Partial] | None:
    """ "f1 = Pip, f2 = Dot", "female 1 Pip, female 2 Dot and female 3 Bea": each fish with the name behind it."""
    words = [token for token in tokens if token.kind != "punct" and token.text not in ("and", "is", "are", *_CALLED)]
    if len(words) < 4 or len(words) % 2:
        return None
    pairs = list(zip(words[::2], words[1::2], strict=True))
    if not all(isinstance(fish.value, Fish) and not fish.value.named and is_name(name, scene) for fish, name in pairs):
        return None
    return [
        partial
        for fish, name in pairs
        if isinstance(fish.value, Fish)
        for partial in _nickname(fish.value.sex, fish.value.label, scene.text[name.start : name.end], scene)
    ]


def named_plainly(tokens: Sequence[Token], flat: str, scene: Scene) -> list[Partial] | None:
    """The fish and its nickname, where the sentence is nothing else and the last word is surely a name."""
    words = [token for token in tokens if token.kind != "punct" or token.text == "="]
    if len(words) < 3 or not is_name(words[-1], scene):
        return None
    if [word.text for word in words[1:-1]] == ["name", "is"] and (spoken := _spoken_of(words[0], scene)):
        return _nickname(*spoken, scene.text[words[-1].start : words[-1].end], scene)  # "her name is Pip"
    whom, told, name = words[:-2], words[-2].text, scene.text[words[-1].start : words[-1].end]
    if whom[-1].text == "is" and told in ("called", "named"):
        whom = whom[:-1]
    elif told not in ("=", "is", *_CALLED):
        return None
    if whom and whom[0].text in ("the", "my", "our"):
        whom = whom[1:]
    if told == "is" and (words[-1].text in ordinary_words() or words[-1].text.endswith(_ADJECTIVES)):
        return None
    if len(whom) == 1 and isinstance(whom[0].value, Fish) and not whom[0].value.named:
        found = _nickname(whom[0].value.sex, whom[0].value.label, name, scene)
        if told == "is" and name.endswith("y"):  # "female 1 is Clementine" names her, "female 1 is Spitty" hardly: that is asked
            found[0].slots.pop("nickname")
            found[0].put("nickname", Trouble("nickname", "uncertain", name, (name,)))
        return found
    if len(whom) == 1 and told in _CALLED and (spoken := _spoken_of(whom[0], scene)):
        return _nickname(*spoken, name, scene)
    return _the_only(whom, name, scene) if told in _CALLED else None


_ADJECTIVES = ("ed", "ing", "ish", "ic", "ous", "ful", "less", "ive", "able", "ant", "ent", "est", "ier")
"""How words end that tell how a fish is ("female 5 is Bloated"), not what it is called."""


def _spoken_of(token: Token, scene: Scene) -> tuple[str, str] | None:
    """The fish that "she" or "he" is here, where one was spoken of."""
    sex = {"she": "female", "shes": "female", "her": "female", "he": "male", "hes": "male", "his": "male"}.get(token.text)
    spoken = {"female": scene.memory.female or scene.context.female, "male": scene.memory.male or scene.context.male}
    label = spoken.get(sex) if sex else None
    return (sex, label) if sex and label else None


def is_name(token: Token, scene: Scene) -> bool:
    """Whether it is a word with a capital that means nothing else, in a message that does not write every word so."""
    written = scene.text[token.start : token.end]
    plain = token.kind == "word" and not token.means
    return plain and len(written) > 2 and written[0].isupper() and written[1:].islower()


def _nickname(sex: str, label: str, name: str, scene: Scene) -> list[Partial]:
    known = label in scene.names.fish(sex)
    partial = Partial("named")
    partial.put(sex, label if known else Trouble(sex, "unknown", f"{sex} {label}"))
    partial.put("nickname", name)
    return [partial]


def _the_only(whom: Sequence[Token], name: str, scene: Scene) -> list[Partial] | None:
    """ "the male", "the lab male": the only one there is, or a question which."""
    sexes = [str(token.value) for token in whom if token.kind == "sex" and token.value in ("female", "male")]
    strains = [str(token.value) for token in whom if token.kind == "strain"]
    if len(sexes) != 1 or len(strains) > 1 or len(whom) != len(sexes) + len(strains):
        return None
    meant = scene.names.fish_of(sexes[0], strains[0] if strains else None, None)
    if len(meant) == 1:
        return _nickname(sexes[0], meant[0], name, scene)
    return [Partial("named", {"nickname": name}, [Trouble(sexes[0], "ambiguous", "", tuple(meant))])]
