"""What the club has and what is coming, as a list that answers a buyer; and pickups as a list."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from bot.replies import naming, orders
from bot.replies.words import Style, by_sex, capital
from core.fishroom.state import Batch, Fishroom, Reservation
from core.planning.availability import Availability
from core.planning.outlook import BatchOutlook


@dataclass(frozen=True, slots=True)
class Line:
    """A batch on offer, with whose it is, what can be promised, and how big it is."""

    room: Fishroom
    batch: Batch
    keeper: str
    answer: Availability
    outlook: BatchOutlook


NO_PICKUPS = "No pickups are agreed for then."


def coming(lines: Iterable[Line]) -> bool:
    """Whether some of it can be had only later."""
    return any(not line.answer.enough and line.answer.first_day for line in lines)


def shelf(lines: Sequence[Line], style: Style, strain: str | None, *, coming: bool, example: str = "saulosi") -> str:
    """The list: now first, then what comes later. `example`: a strain to name in a hint."""
    what = f"of {strain} " if strain else ""
    if not lines:
        return capital(f"nothing {what}is for sale in the club now. \"wanted 4 {strain or example}\" puts you on the list.")
    now = [line for line in lines if line.answer.can_promise]
    later = [line for line in lines if not line.answer.can_promise]
    parts = []
    if now:
        parts += ["Available:", *(_now(line, style) for line in now)]
    else:
        parts.append(f"Nothing {what}can be promised now.")
    if later:
        parts += ["Coming:" if coming else "Spoken for:", *(_later(line, style) for line in later)]
    return "\n".join(parts)


def _price(line: Line, style: Style) -> str:
    offer = line.batch.offer
    if offer is not None and offer.price is not None:
        return f", {style.money(offer.price)} each"
    prices = dict(line.batch.prices) or {sex: p for (strain, sex), p in line.room.strain_prices.items() if strain == line.batch.strain}
    return f", {style.money(prices[None])} each" if None in prices else ""


def _sexes(batch: Batch) -> str:
    if batch.count_of("male") or batch.count_of("female"):
        return f" ({by_sex(*(batch.count_of(sex) for sex in ('male', 'female', 'unsexed')))} in all)"
    return " (unsexed)"


def _now(line: Line, style: Style) -> str:
    size = style.length(line.outlook.mean_mm.likely)
    name = naming.kind_of_batch(line.room, line.batch)
    sex = f" {line.answer.ask.sex}s" if line.answer.ask.sex in ("male", "female") else ""
    by = f" by {style.day(line.answer.day)}" if line.answer.ask.day else ""
    return (
        f"• {capital(name)}: {line.answer.can_promise}{sex}{by} of {line.keeper}'s batch {line.batch.label}, "
        f"about {size} now{_sexes(line.batch)}{_price(line, style)}"
    )


def _later(line: Line, style: Style) -> str:
    name = capital(naming.kind_of_batch(line.room, line.batch))
    when = f"from {style.day(line.answer.first_day)}" if line.answer.first_day else "all promised"
    return f"• {name}: {line.keeper}'s batch {line.batch.label}, {when}{_price(line, style)}"


def pickups(found: Sequence[tuple[Fishroom, Reservation]], style: Style, names: Mapping[str, str], me: str, keepers: Mapping[str, str]) -> str:
    """Agreed pickups by day; `keepers`: whose fishroom it is, for those that are not the reader's."""
    if not found:
        return NO_PICKUPS
    lines = []
    for room, one in found:
        at = f" {style.clock(one.at)}" if one.at else ""
        batch = naming.inside(naming.batch(room, one.batch, with_strain=True))
        who = "you" if one.member == me else names.get(one.member, "a former member")
        batch = f"{keepers[room.id]}'s {batch}" if room.id in keepers else batch
        day = style.near(one.pickup) if one.pickup else ""
        lines.append(f"• {capital(day)}{at}: {who}, {orders.what(one, style)} of {batch} (#{one.number})")
    return "Pickups:\n" + "\n".join(lines)
