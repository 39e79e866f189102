"""How the club's shelf and a keeper's books are told: the list, the weekly post, what came in and went out, a batch's journal."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from decimal import Decimal

from bot.replies.words import Style, capital, counted, listed, of_sex
from core.planning.books import Line, SeasonBooks
from core.planning.shelf import OnShelf

Names = Mapping[str, str]
POST_LINES = 25
"""Lines of a weekly post; the rest are counted."""
CHANGED: Mapping[str, str] = {
    "stripped": "stripped",
    "released": "released",
    "bought": "came in",
    "died": "died",
    "culled": "culled",
    "unexplained": "missing at a count",
    "found": "more than the book had, at a count",
    "sold": "sold",
    "collected": "fetched",
    "bred_on": "became breeders",
    "split_off": "split off",
    "split_in": "split in",
    "merged_away": "merged away",
    "merged_in": "merged in",
    "assigned_death": "died (assigned by a count)",
}


def takes_the_place(label: str, before: str) -> str:
    """A sex is offered where the other was."""
    return f'That takes the place of the offer of its {before}s. For both say "{label} for sale".'


def shelf_line(row: OnShelf, style: Style, strain: str, keeper: str) -> str:
    """ "6 females, 4–5.2 cm, €5.00 each: Marit's batch B" with when it is ready, where it is not yet."""
    kind = f"hybrids of {listed(row.hybrid)}" if row.hybrid else strain
    fish = f"{of_sex(row.promisable, row.sex)}" if row.promisable else "none left to promise"
    price = f", {style.money(row.price)} each" if row.price is not None else ""
    size = f"{style.lengths(row.mm[0], row.mm[2])} now"
    return f"• {capital(kind)}: {fish}, {size}{price} ({keeper}'s batch {row.label}{ready(row, style)})"


def ready(row: OnShelf, style: Style) -> str:
    """When it can be fetched, with how sure that is; nothing where it can now."""
    if row.ready_now(style.today):
        return ""
    half, most = row.ready.half.likely, row.ready.most.likely
    if row.from_day and (most is None or row.from_day > most):
        return f", from {style.day(row.from_day)}"
    if half is None:
        return ", not long enough within sight"
    nine = f", nine in ten by {style.day(most)}" if most else ""
    return f", half of them {style.length(row.ready.mm)} by {style.day(half)}{nine}"


def weekly_post(rows: Iterable[OnShelf], style: Style, strains: Names, keepers: Names, wanted: Sequence[str] = ()) -> str:
    """The post for the club's group: what is there, what comes, who looks for what."""
    shown = [row for row in rows if row.promisable]
    now = [row for row in shown if row.ready_now(style.today)]
    later = sorted((row for row in shown if not row.ready_now(style.today)), key=lambda row: row.ready_on or date.max)
    parts: list[str] = []
    for title, group in (("On the shelf now:", now), ("Coming:", later)):
        named = [(row, strains.get(row.strain, row.strain), keepers.get(row.room, "a keeper")) for row in group]
        if named:
            parts.append("\n".join([title, *_cut([shelf_line(row, style, strain, keeper) for row, strain, keeper in named])]))
    if wanted:
        parts.append("\n".join(["Wanted:", *_cut([f"• {line}" for line in wanted])]))
    return "\n\n".join(parts) if parts else "Nothing is for sale in the club this week, and nobody is looking for fish."


def _cut(lines: list[str]) -> list[str]:
    more = len(lines) - POST_LINES
    return [*lines[:POST_LINES], f"… and {more} more"] if more > 0 else lines


# --- books -----------------------------------------------------------------------------------------------------------


def books(seasons: Sequence[SeasonBooks], held_back: int, style: Style) -> str:
    """Income, deposits and fish by season."""
    if not seasons:
        return "Nothing has come in or gone out yet."
    return "\n".join([*(season(one, style) for one in seasons), f"Held back now: {counted(held_back, 'fish', 'fish')}."])


def season(one: SeasonBooks, style: Style) -> str:
    """One season in a line."""
    flows = [
        (one.raised, "raised"),
        (one.sold, "sold"),
        (one.given_away, "passed on without a price"),
        (one.bred_on, "kept as breeders"),
        (one.lost, "lost"),
        (one.culled, "culled"),
        (one.found, "more than the book had"),
    ]
    fish = ", ".join(f"{count} {what}" for count, what in flows if count) or "no fish"
    money = f"income {style.money(one.income)}" if one.income else "no income"
    deposits = f", deposits noted {style.money(one.deposits)}" if one.deposits else ""
    return f"{one.season}: {fish}; {money}{deposits}."


def batch_journal(lines: Sequence[Line], style: Style, label: str, names: Names) -> str:
    """A batch from its beginning to the last buyer."""
    return "\n".join([f"Batch {label}:", *(f"{style.day(line.on)}: {journal_line(line, style, names)}" for line in lines)])


def journal_line(line: Line, style: Style, names: Names) -> str:
    """One line of a batch's journal."""
    match line.what:
        case "counted":
            return f"counted {line.count} (the book said {line.detail[0]})"
        case "measured":
            fish = f" ({counted(line.count, 'fish', 'fish')})" if line.count else ""
            return f"measured {style.length(float(line.detail[0]))} on average{fish}"
        case "sexed":
            males, females, unsexed = line.detail
            return f"sexed: {males} males, {females} females, {unsexed} unsexed"
        case "moved":
            return f"moved to {line.detail[0]}"
        case _:
            what = f"{abs(line.count or 0)} {CHANGED.get(line.what, line.what)}"
            return f"{what}{_details(line, style, names)}, {line.left} in the book"


def _details(line: Line, style: Style, names: Names) -> str:
    change = line.change
    if change is None:
        return ""
    sex = f" ({change.sex})" if change.sex in ("male", "female") else ""
    who, word = names.get(change.to or ""), {"collected": "by", "sold": "to"}.get(change.kind)
    whom = f" {word} {who}" if who and word else ""
    number = f" (#{change.reservation})" if change.reservation else ""
    price = f" for {style.money(Decimal(change.price))}" if change.price else ""
    return f"{sex}{whom}{number}{price}"


def other_money(currency: str, said: str) -> str:
    """An amount was told in other money than the club's."""
    return (
        f"The club reckons in {currency}, so that is how it is down: if it was {said}, say the amount in {currency}. "
        f'The organiser may say "currency {said}".'
    )
