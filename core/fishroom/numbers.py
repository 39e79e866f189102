"""How many fish of which sex are where: arithmetic on the groups of a batch that never makes or loses a fish.

Fish are taken first from those whose sex nobody recorded, since sexed ones are usually kept apart and known by sight; among
several groups in question, each gives in proportion to its number.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace

from core.events import SEXES, PlaceName, Sex
from core.fishroom.state import Group

Groups = tuple[Group, ...]
Which = Callable[[Group], bool]


def anywhere(_: Group) -> bool:
    """Every group."""
    return True


def total(groups: Iterable[Group]) -> int:
    """Fish in the groups."""
    return sum(group.count for group in groups)


def apportion(count: int, weights: Sequence[int]) -> list[int]:
    """`count` (0 to the sum of the weights) shared out in proportion to the weights, none above its weight.

    Largest remainders: each gets the whole part of its share, what is left goes to the largest fractions, the first of equals
    first.
    """
    whole = sum(weights)
    if whole == 0:
        return [0 for _ in weights]
    shares = [count * weight // whole for weight in weights]
    fractions = sorted(range(len(weights)), key=lambda i: (-(count * weights[i] % whole), i))
    for i in fractions[: count - sum(shares)]:
        shares[i] += 1
    return shares


def put(groups: Iterable[Group], more: Iterable[Group]) -> Groups:
    """The groups with more fish added, one group for each place and sex, empty ones left out."""
    counts: dict[tuple[PlaceName | None, Sex], int] = {}
    for group in (*groups, *more):
        key = (group.place, group.sex)
        counts[key] = counts.get(key, 0) + group.count
    return tuple(Group(place, sex, count) for (place, sex), count in counts.items() if count > 0)


def take(groups: Groups, count: int, sex: Sex | None = None, which: Which = anywhere) -> tuple[Groups, Groups]:
    """Takes up to `count` fish out of the groups in question: those that stay, and those taken.

    With a sex, fish of that sex go first, then unsexed ones, which thereby turn out to be of that sex. Fewer come where fewer
    are.
    """
    left = [group.count for group in groups]
    taken: list[Group] = []
    for tier in _tiers(sex):
        chosen = [i for i, group in enumerate(groups) if group.sex in tier and left[i] and which(group)]
        portion = min(count, sum(left[i] for i in chosen))
        for i, part in zip(chosen, apportion(portion, [left[i] for i in chosen]), strict=True):
            left[i] -= part
            taken.append(Group(groups[i].place, sex or groups[i].sex, part))
        count -= portion
    rest = (Group(group.place, group.sex, number) for group, number in zip(groups, left, strict=True))
    return put((), rest), put((), taken)


def _tiers(sex: Sex | None) -> tuple[tuple[Sex, ...], ...]:
    match sex:
        case None:
            return ("unsexed",), ("male", "female")
        case "unsexed":
            return (("unsexed",),)
        case _:
            return (sex,), ("unsexed",)


def moved_to(place: PlaceName | None, groups: Iterable[Group]) -> Groups:
    """The same fish, all in one place."""
    return put((), (replace(group, place=place) for group in groups))


def resexed(groups: Groups, males: int, females: int) -> Groups:
    """The same fish in the same places with so many of each sex (together no more than there are), the others unsexed.

    Fish already known as male or female stay so as far as the new numbers allow; the rest is spread over the places in
    proportion.
    """
    wanted: dict[Sex, int] = {"male": males, "female": females}
    for sex, number in wanted.items():
        known = sum(group.count for group in groups if group.sex == sex)
        if known > number:
            groups = _turn(groups, known - number, sex, "unsexed")
    for sex, number in wanted.items():
        known = sum(group.count for group in groups if group.sex == sex)
        if known < number:
            groups = _turn(groups, number - known, "unsexed", sex)
    return groups


def _turn(groups: Groups, count: int, was: Sex, becomes: Sex) -> Groups:
    chosen = [group for group in groups if group.sex == was]
    parts = apportion(count, [group.count for group in chosen])
    others = [group for group in groups if group.sex != was]
    stay = [replace(group, count=group.count - part) for group, part in zip(chosen, parts, strict=True)]
    turned = [Group(group.place, becomes, part) for group, part in zip(chosen, parts, strict=True)]
    return put((*others, *stay), turned)


Held = tuple[tuple[Sex, int], ...]


def held_with(held: Held, sex: Sex, count: int) -> Held:
    """Held-back numbers with `count` more of a sex."""
    numbers = dict(held)
    numbers[sex] = numbers.get(sex, 0) + count
    return tuple((s, numbers[s]) for s in SEXES if numbers.get(s, 0) > 0)


def held_without(held: Held, count: int, first: Sex = "unsexed") -> Held:
    """Held-back numbers with `count` fewer: of that sex first, then unsexed, then the rest."""
    numbers = dict(held)
    order: tuple[Sex, ...] = (first, "unsexed", *SEXES)
    for sex in order:
        gone = min(count, numbers.get(sex, 0))
        if gone:
            numbers[sex] -= gone
            count -= gone
    return tuple((s, numbers[s]) for s in SEXES if numbers.get(s, 0) > 0)
