"""How pickups are told: days that suit, proposals and answers; what to catch, where it waits, when not to feed, how many bags."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

from bot.replies import naming, orders
from bot.replies.words import DAYS, Style, by_sex, capital, counted, listed
from core.biology.transport import KEEP_C, Caution, NotAdvised
from core.fishroom.state import Fishroom, Reservation
from core.planning.catch_days import CatchPlan, NotCaught
from core.planning.pickup_tasks import Packing, PickupTask
from core.planning.pickups import DoesNotSuit, Proposed

Names = Mapping[str, str]
CAUTIONS: Mapping[Caution, str] = {
    Caution.ONE_PER_BAG: "one fish to a bag",
    Caution.KEEP_WARM: "keep the bags from cooling",
    Caution.KEEP_COOL: "keep the bags out of the sun",
    Caution.DOUBLE_BAG: "double bags",
    Caution.AMMONIA_ON_OPENING: "once opened, get the fish out quickly: ammonia turns poisonous as the gas escapes",
    Caution.NO_AIRSTONE_IN_BAG_WATER: "no airstone in bag water",
    Caution.FLOAT_THEN_DISCARD_WATER: "float 15 to 20 minutes, then net the fish over and pour the bag water away",
    Caution.MATCH_PH_SLOWLY: "match pH slowly",
    Caution.OXYGEN_SAFETY: "oxygen feeds fire: no flame, fill outdoors",
}
NOT_ADVISED: Mapping[NotAdvised, str] = {
    NotAdvised.TOO_LONG: "the journey is too long for bags",
    NotAdvised.NEEDS_OXYGEN: "so long a journey needs oxygen in the bags",
    NotAdvised.NEEDS_CONTAINER: "these fish need a lidded container instead of bags",
}


def does_not_suit(found: DoesNotSuit, day: date, style: Style, keeper: str) -> str:
    """Why a pickup cannot be on that day, and the next days that would do."""
    days = f" {capital(listed([style.day(one) for one in found.days], 'or'))} would do." if found.days else ""
    match found.why:
        case "past":
            return f"{style.day(day)} is over.{days}"
        case "away":
            return f"{keeper} is away on {style.day(day)}.{days}"
        case "not_free":
            return f"{keeper} does not hand over on {style.day(day)}.{days}"
        case "hours":
            first = style.clock(found.from_time) if found.from_time else "the morning"
            last = style.clock(found.to_time) if found.to_time else "the evening"
            return f"{keeper} hands over between {first} and {last}."
        case "no_catch_day":
            return f"Those fish have to be caught ahead, and {keeper} has no free day for it before {style.day(day)}.{days}"


def proposed(found: Proposed, style: Style, other: str) -> str:
    """A pickup that the reader is asked to accept; what stands meanwhile."""
    one = found.reservation
    at = f" at {style.clock(found.at)}" if found.at else ""
    stands = f" Until you agree, {style.day(one.pickup)} stands." if one.pickup else ""
    day = f"{style.day(found.day)}{at}"
    return f"{other} proposes {day} for the pickup of #{one.number} ({orders.what(one, style)}). Agreed?{stands}"


def another_day(one: Reservation, style: Style) -> str:
    """The day that stands does not suit the reader, and no other was named."""
    when = f"{style.day(one.pickup) if one.pickup else 'no day'}{f' {style.clock(one.at)}' if one.at else ''}"
    return f'#{one.number} stands at {when}. Which day would suit you? Say it, or "cancel {one.number}".'


def nothing_new(one: Reservation, style: Style) -> str:
    """A pickup was set, or proposed by the same side, that is there already."""
    day, at = one.proposed[:2] if one.proposed else (one.pickup, one.at)
    when = f"{style.day(day) if day else 'no day'}{f' {style.clock(at)}' if at else ''}"
    if one.proposed:
        return f"#{one.number}: {when} is proposed already, and waits for the other side."
    return f"#{one.number}: the pickup is {when} already."


def agreed(one: Reservation, style: Style, other: str) -> str:
    """A pickup both sides have agreed on."""
    at = f" at {style.clock(one.at)}" if one.at else ""
    day = style.day(one.pickup) if one.pickup else "a day to be found"
    return f"Agreed with {other}: #{one.number} ({orders.what(one, style)}) on {day}{at}."


def refused(one: Reservation, style: Style, other: str) -> str:
    """The other side does not accept."""
    stands = f"{style.day(one.pickup)} still stands" if one.pickup else "there is no pickup day yet"
    return f"{other} cannot make that day for #{one.number}; {stands}. You can propose another."


def free_days(weekdays: Sequence[int], keeper: str) -> str:
    """On which weekdays a keeper hands over."""
    return f"{keeper} hands over on {listed(DAYS[day] for day in sorted(weekdays))}."


# --- for the keeper's day ---------------------------------------------------------------------------------------------


def task(one: PickupTask, style: Style, room: Fishroom, names: Names) -> str:
    """One line of the keeper's digest."""
    match one.rule:
        case "answer_proposal":
            return _answer(one, style, names)
        case "catch":
            return _not_caught(one.impossible, style, names, room) if one.impossible else _catch(one, style, room, names)
        case "stop_feeding":
            return (
                f"{_who(one, names)} fetches {_fish(one, room)} tomorrow or soon: net them out now and give them no more food; "
                "feed the others as usual."
            )
        case "bag":
            return _bag(one, style, room, names)
        case "missed":
            number = one.reservations[0].number
            return f'#{number}: was {_who(one, names)} here on {style.day(one.day)}? Say "#{number} collected" or "#{number} no show".'


def _answer(one: PickupTask, style: Style, names: Names) -> str:
    at = f" at {style.clock(one.at)}" if one.at else ""
    return f"{_who(one, names)} waits for your answer: #{one.reservations[0].number} on {style.day(one.day)}{at}?"


def _catch(one: PickupTask, style: Style, room: Fishroom, names: Names) -> str:
    first, last = _span(one.reservations)
    for_whom = f"for {_who(one, names)}, {style.days(first, last)}" if first and last else f"for {_who(one, names)}"
    waits = f"Let them wait in {one.waits_in}" if one.waits_in else "Let them wait in a holding tank"
    text = f"Catch {_fish(one, room)} from {one.place} {for_whom}. {waits} and give them no food; feed the others as usual."
    return f"{text}{_crowded(one, style)} Dry hands before touching anything plugged in."


def _crowded(one: PickupTask, style: Style) -> str:
    if one.crowding is None or one.waits_in is None:
        return ""
    too_many = style.grams(-one.crowding.room_kg * 1000)
    return f" That is {too_many} of fish more than {one.waits_in} should carry: use a second tank, or spread the pickups."


def _not_caught(found: NotCaught, style: Style, names: Names, room: Fishroom) -> str:
    one = found.fetching
    buyer = names.get(room.reservations[one.reservation].member, "a former member")
    pickup = f"{buyer}'s pickup (#{one.reservation}, {counted(one.count, 'fish', 'fish')}) on {style.day(one.day)}"
    ways = f"propose another day, or catch them on the day and tell {buyer} that they have not fasted"
    if found.why == "too_soon":
        return f"{pickup}: their day to be caught has passed. If they still swim in {one.place}, {ways}."
    return f"{pickup} has no catch day in {one.place}: you are free on none of the days before it. {capital(ways)}."


def _bag(one: PickupTask, style: Style, room: Fishroom, names: Names) -> str:
    at = f" at {style.clock(one.at)}" if one.at else ""
    packing = one.packing[0]
    text = f"{_who(one, names)} fetches {_fish(one, room)}{at} (#{one.reservations[0].number}): {bags(packing, style)}."
    return f"{text} {_best(packing.best)}" if packing.best else text


def _best(best: tuple[int, int, int]) -> str:
    return f"To keep the other promises safe, give {by_sex(*best)}."


def bags(packing: Packing, style: Style) -> str:
    """ "2 bags, up to 5 fish each, 1 L of water and the rest air; double bags" """
    found = packing.bags
    if isinstance(found, NotAdvised):
        return NOT_ADVISED[found]
    cautions = [CAUTIONS[one] for one in found.cautions if one in (Caution.ONE_PER_BAG, Caution.DOUBLE_BAG, Caution.KEEP_COOL)]
    fish = "one fish" if found.fish_per_bag == 1 else f"up to {found.fish_per_bag} fish"
    held = f"1 bag of {fish}" if found.bags == 1 else f"{found.bags} bags, {fish} each"
    size = f"{held}, {style.volume(found.water_l)} of water and the rest air"
    return "; ".join([size, *cautions])


def what_to_bring(style: Style) -> str:
    """What a buyer brings to a pickup."""
    return f"Bring an insulated box; keep the bags at {style.temperatures(*KEEP_C)} on the way."


def catch_plan(plan: CatchPlan, style: Style, room: Fishroom, names: Names) -> str:
    """All catch days ahead, and what is impossible."""
    if not plan.days and not plan.impossible:
        return "Nothing has to be caught ahead for the pickups agreed so far."
    lines = []
    for day in plan.days:
        who = listed(names.get(room.reservations[one.reservation].member, "a former member") for one in day.fetchings)
        lines.append(f"• {style.day(day.day)}: catch {counted(day.count, 'fish', 'fish')} from {day.place} for {who}")
    lines += [f"• {_not_caught(one, style, names, room)}" for one in plan.impossible]
    return "Catch days, as few as the pickups allow:\n" + "\n".join(lines)


def _fish(one: PickupTask, room: Fishroom) -> str:
    parts = []
    for batch, count in one.batches:
        mine = [r for r in one.reservations if r.batch == batch]
        parts.append(f"{_counts(mine, count)} of {naming.batch(room, batch).replace('Batch', 'batch', 1)}")
    return listed(parts)


def _counts(reservations: Sequence[Reservation], count: int) -> str:
    """The number; where sexes were promised, also how many of each."""
    males = sum((r.males or 0) + (r.left if r.sex == "male" else 0) for r in reservations)
    females = sum((r.females or 0) + (r.left if r.sex == "female" else 0) for r in reservations)
    sexes = [counted(males, "male") if males else "", counted(females, "female") if females else ""]
    told = listed(part for part in sexes if part)
    if count in (males, females) and males + females == count:
        return told
    return f"{count} ({told})" if told and males + females <= count else str(count)


def _who(one: PickupTask, names: Names) -> str:
    return listed(dict.fromkeys(names.get(r.member, "a former member") for r in one.reservations))


def _span(reservations: Sequence[Reservation]) -> tuple[date | None, date | None]:
    days = sorted(r.pickup for r in reservations if r.pickup is not None)
    return (days[0], days[-1]) if days else (None, None)
