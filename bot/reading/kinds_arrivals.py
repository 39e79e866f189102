"""What comes into a fishroom: single breeders, and batches of young fish from elsewhere."""

from __future__ import annotations

from bot.reading.facts import Facts
from bot.reading.kinds_batch import merged
from bot.reading.kinds_fish import on_day
from bot.reading.kinds_measure import lengths_of
from bot.reading.partial import Partial, Trouble
from bot.reading.scene import Quantity
from bot.reading.tokens import Token
from bot.reading.walk import Fish

_ORIGIN_ENDS = ("to", "into", "in", "and", "on", "at", ",", "for", "with", "about")


def joined(facts: Facts) -> list[Partial]:
    """New breeders, or a new batch where young fish came without a sex; letters added to letters are merged."""
    if len(facts.where("batch")) == 2 and not facts.where("sex", "place") and not facts.quantities:
        return merged(facts)
    if _is_batch(facts):
        return [_batch_joined(facts)]
    shared = Partial("joined")
    shared.put("origin", origin(facts))
    shared.put("from_batch", _from_batch(facts))
    if isinstance(shared.slots.get("from_batch"), str):
        shared.slots.pop("origin", None)
    shared.put("to", facts.destination() or _unknown_place(facts))
    nickname = _nickname(facts)
    label = _label(facts)
    groups = [quantity for quantity in facts.free() if quantity.sex in ("female", "male")]
    partials = [_group(facts, shared, quantity) for quantity in groups] or [_single(facts, shared)]
    _strains(facts, partials, groups)
    if label is not None:
        one = len(partials) == 1 and "count" not in partials[0].slots  # "new female 9 and 10"
        partials[0].put("label", label if one else Trouble("label", "ambiguous"))
        partials[0].slots.pop("count", None)
    if nickname and len(partials) == 1:
        partials[0].put("nickname", nickname)
    if any(token.text in _MOUTH_FULL for token in facts.tokens):
        partials.append(_holding_already(partials))
        if any(token.text == "since" for token in facts.tokens):
            on_day(facts, partials[-1])  # since when she holds, not when she came
            partials[0].put("on", facts.scene.now.date().isoformat())
            return partials
    on_day(facts, *partials)
    return partials


_MOUTH_FULL = ("holding", "carrying", "mouth full", "brooding", "has a mouthful", "full mouth")


def _holding_already(partials: list[Partial]) -> Partial:
    """ "new female 9 and she's holding": told of her in the same breath; without a label of her own it is asked who holds."""
    partial = Partial("holding")
    label = partials[0].slots.get("label")
    partial.put("female", str(label) if label and partials[0].slots.get("sex") == "female" else Trouble("female"))
    return partial


def _unknown_place(facts: Facts) -> Trouble | None:
    """ "2 new males arrived, benga, quarantine": a last word by itself that names no place here."""
    last = [n for n, token in enumerate(facts.tokens) if token.kind != "punct"][-1:]
    alone = bool(last) and last[0] > 0 and facts.tokens[last[0] - 1].text == "," and last[0] in facts.unknown_words()
    return Trouble("to", "unknown", facts.tokens[last[0]].text) if alone and len(facts.tokens[last[0]].text) > 3 else None


def _is_batch(facts: Facts) -> bool:
    young = (
        facts.has("fry", "batch_word")
        or any(token.text == "new batch" for token in facts.tokens)
        or any(quantity.sex == "unsexed" for quantity in facts.quantities)
    )
    sexed = facts.where("fish") or any(facts.tokens[n].value in ("female", "male") for n in facts.where("sex"))
    return bool(young and not sexed) or (bool(facts.where("length")) and not sexed)


def _batch_joined(facts: Facts) -> Partial:
    partial = Partial("batch_joined")
    strains = facts.where("strain", "profile")
    facts.used.update(strains)
    partial.put("origin", origin(facts))
    partial.put("to", facts.destination())
    letters = facts.where("batch")
    facts.used.update(letters)
    if letters:
        letter = str(facts.tokens[letters[0]].value)
        partial.put("batch", Trouble("batch", "taken", letter) if letter in facts.names.batches else letter)
    partial.put("strain", str(facts.tokens[strains[0]].value) if strains else unknown_kind(facts) or Trouble("strain"))
    _mean_length(facts, partial)
    counts = [quantity for quantity in facts.free() if quantity.value is not None]
    if len(counts) == 1:
        facts.use(counts[0])
        partial.put("count", counts[0].value)
        partial.put("approx", True if counts[0].approx else None)
    else:
        partial.put("count", Trouble("count", "missing" if not counts else "ambiguous"))
    _born(facts, partial)
    on_day(facts, partial)
    return partial


def _born(facts: Facts, partial: Partial) -> None:
    """ "born 3 may": that day is theirs, not the day they came."""
    for n in facts.where("day"):
        if facts.before(n) in ("born", "hatched", "spawned", "since"):
            others = [other for other in facts.where("day") if other != n and other not in facts.used]
            facts.used.update(others)
            born = facts.day("past", "born")
            facts.used.difference_update(others)
            partial.put("born", born if isinstance(born, Trouble) or born is None else born.isoformat())
            return


def _mean_length(facts: Facts, partial: Partial) -> None:
    if not facts.where("length"):
        return
    held = list(facts.free())
    facts.used.update(quantity.at for quantity in held)
    lengths = lengths_of(facts)
    facts.used.difference_update(quantity.at for quantity in held)
    if isinstance(lengths, Trouble) or len(lengths) != 1:
        partial.put("mean_mm", Trouble("mean_mm", "ambiguous"))
    else:
        partial.put("mean_mm", lengths[0])


def origin(facts: Facts) -> str | None:
    """Who or where it came from, in the writer's own words ("from Dave", "from the club auction")."""
    for n, token in enumerate(facts.tokens):
        if token.text != "from" or n + 1 >= len(facts.tokens) or n in facts.used:
            continue
        end = n + 1
        while end < len(facts.tokens) and _part_of_name(facts, end) and not _name_is_over(facts, n, end):
            end += 1
        words = [facts.tokens[k] for k in range(n + 1, end) if facts.tokens[k].text not in ("the", "a", "my", "our")]
        if words:
            facts.used.update(range(n + 1, end))
            return " ".join(
                str(word.value) if word.kind == "member" else _as_written(facts, word, alone=len(words) == 1) for word in words
            )
    return None


def _as_written(facts: Facts, token: Token, alone: bool) -> str:
    """A name that the club does not know is not put right."""
    word = facts.scene.text[token.start : token.end].lower()
    return word.title() if alone else word


def _name_is_over(facts: Facts, start: int, n: int) -> bool:
    """ "from Priya cheers": behind a member, or at a word that says nothing, a name ends."""
    if n > start + 1 and facts.tokens[n].note == "suspect":
        return True
    return n > start + 1 and (
        facts.tokens[n - 1].kind == "member"
        or (facts.tokens[n].has("filler") and facts.tokens[n - 1].text not in ("the", "a", "my", "our"))
    )


def _part_of_name(facts: Facts, n: int) -> bool:
    token = facts.tokens[n]
    if token.kind == "member":
        return True
    return (
        token.kind == "word"
        and token.text not in _ORIGIN_ENDS
        and not any(meaning.startswith("verb:") for meaning in token.means)
        and not token.has("he", "they")
    )


def _from_batch(facts: Facts) -> str | Trouble | None:
    for n in facts.where("batch"):
        if facts.before(n) in ("from", "of", "out of", "off"):
            facts.used.add(n)
            return facts.known_batch(str(facts.tokens[n].value))
    return None


def _label(facts: Facts) -> str | Trouble | None:
    """The label asked for ("new fem 4", "label 4", "call her 9"); one in use is a trouble."""
    fish = [token.value for token in facts.tokens if isinstance(token.value, Fish) and not token.value.named]
    facts.used.update(n for n in facts.where("fish"))
    if len(fish) > 1:
        return Trouble("label", "ambiguous")
    if fish:
        taken = fish[0].label in facts.names.fish(fish[0].sex)
        return Trouble("label", "taken", fish[0].label) if taken else fish[0].label
    sexes = [str(facts.tokens[n].value) for n in facts.where("sex")]
    for quantity in facts.free():
        before = facts.tokens[quantity.at - 1] if quantity.at else None
        if (
            before is not None
            and quantity.bare
            and (
                before.has("number_word", "call_it")
                or before.text in ("#", "her", "him", "shes", "hes", "is")
                or _one_of_a_kind(facts, quantity)
            )
        ):
            facts.use(quantity)
            taken = any(str(quantity.value) in facts.names.fish(sex) for sex in sexes)
            return Trouble("label", "taken", str(quantity.value)) if taken else str(quantity.value)
    for n in facts.where("hash"):
        facts.used.add(n)
        label = str(facts.tokens[n].value)
        return Trouble("label", "taken", label) if any(label in facts.names.fish(sex) for sex in sexes) else label
    return None


def _one_of_a_kind(facts: Facts, quantity: Quantity) -> bool:
    """ "added male lab 5": the number behind one fish of a strain is its label."""
    before, following = facts.tokens[quantity.at - 1], facts.tokens[quantity.end : quantity.end + 1]
    singular = any(
        token.kind == "sex" and not token.text.endswith("s") for token in facts.tokens[max(0, quantity.at - 2) : quantity.at]
    )
    return before.kind in ("strain", "sex") and singular and not any(token.kind == "strain" for token in following)


def _nickname(facts: Facts) -> str | None:
    for n, token in enumerate(facts.tokens[:-1]):
        following = facts.tokens[n + 1]
        if (
            token.text in ("called", "named", "call her", "call him", "name her", "name him")
            and following.kind == "word"
            and not following.means
        ):
            facts.used.add(n + 1)
            return following.text.title()
    return None


def _group(facts: Facts, shared: Partial, quantity: Quantity) -> Partial:
    facts.use(quantity)
    partial = Partial("joined", dict(shared.slots), list(shared.troubles))
    partial.put("sex", quantity.sex)
    if quantity.value is None:
        partial.put("count", Trouble("count", "ambiguous", quantity.said))
    elif quantity.value != 1:
        partial.put("count", quantity.value)
    return partial


def _single(facts: Facts, shared: Partial) -> Partial:
    partial = Partial("joined", dict(shared.slots), list(shared.troubles))
    sexes = {str(facts.tokens[n].value) for n in facts.where("sex")}
    sexes |= {token.value.sex for token in facts.tokens if isinstance(token.value, Fish)}
    counts = [quantity for quantity in facts.free() if quantity.value is not None]
    if len(sexes) == 1 and "unsexed" not in sexes:
        partial.put("sex", sexes.pop())
    else:
        partial.put("sex", Trouble("sex", "missing" if not sexes else "ambiguous"))
    if len(counts) == 1:
        facts.use(counts[0])
        partial.put("count", counts[0].value if counts[0].value != 1 else None)
    return partial


def _strains(facts: Facts, partials: list[Partial], groups: list[Quantity]) -> None:
    """One strain for all, or each group its own; a word beside the sex that names none is a trouble."""
    said = [str(facts.tokens[n].value) for n in facts.where("strain", "profile")]
    facts.used.update(facts.where("strain", "profile"))
    own = [quantity.strain for quantity in groups]
    for n, partial in enumerate(partials):
        strain = (own[n] if n < len(own) and own[n] else None) or (said[0] if len(set(said)) == 1 or said else None)
        partial.put("strain", strain if strain else unknown_kind(facts))


def unknown_kind(facts: Facts) -> Trouble | None:
    """A word right beside the sex, the number or "new" that means nothing here: a strain nobody knows."""
    for n in facts.unknown_words():
        if n in facts.used:
            continue
        before = facts.tokens[n - 1] if n else None
        following = facts.after(n)
        near = [token for token in (before, following) if token is not None]
        if any(token.kind in ("sex", "number", "fish") or token.has("fry", "verb:join") for token in near):
            return Trouble("strain", "unknown", facts.tokens[n].text)
    return None
