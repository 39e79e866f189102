"""How availability, reservations, refusals and shortfalls are told: numbers with their reasons, and what can be done instead."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from bot.replies import naming
from bot.replies.words import MONTHS, Style, capital, counted, listed, of_sex
from core.events import Sex
from core.fishroom.state import Fishroom, Reservation, Wish
from core.planning.availability import Availability
from core.planning.promises import Other, Shortfall, TooMany
from core.planning.standing import Ask, in_proportion
from core.planning.waiting import NextOffer

Names = Mapping[str, str]
"""Members' names by id."""


def availability(found: Availability, style: Style, room: Fishroom | None = None) -> str:
    """ "24 alive now, about 21 at 5 cm by Sat 18 Apr; 6 promised to others, 2 held back: 11 can be promised." """
    name = f"{naming.batch(room, found.batch, with_strain=True)}: " if room else ""
    taken = []
    if found.promised:
        taken.append(f"{found.promised} promised to {counted(found.promises, 'other')}")
    if found.held_back:
        taken.append(f"{found.held_back} held back")
    if found.unassigned_deaths:
        taken.append(f"{counted(found.unassigned_deaths, 'death')} in the water not yet assigned")
    reasons = f"; {', '.join(taken)}" if taken else ""
    answer = f"{name}{_there(found, style)}{reasons}: {_number(found)} can be promised."
    return f"{answer}{_hindered(found, style)}{_later(found, style)}"


def _there(found: Availability, style: Style) -> str:
    now = f"{found.alive} alive now"
    if found.ask.sex in ("male", "female"):
        now += f" ({found.known} known {found.ask.sex}{'' if found.known == 1 else 's'})"
    if found.day <= style.today and not found.ask.min_mm and found.expected >= found.alive:
        return now
    size = f" at {style.length(found.ask.min_mm)}" if found.ask.min_mm else ""
    sex = f" {found.ask.sex}s" if found.ask.sex in ("male", "female") else ""
    when = f"by {style.day(found.day)}" if found.ask.day else f"if fetched by {style.day(found.day)}"
    return f"{now}, about {found.expected}{sex}{size} {when}"


def _number(found: Availability) -> str:
    return str(found.can_promise) if found.can_promise else "none"


def _hindered(found: Availability, style: Style) -> str:
    match found.hindrance:
        case "not_offered":
            return " It is not on offer."
        case "other_sex":
            return " Only the other sex is on offer."
        case "not_yet":
            return f" It is on offer from {style.day(found.from_day)}." if found.from_day else ""
        case "offered_number":
            return " The keeper offers no more of it."
        case None:
            return ""


def _later(found: Availability, style: Style) -> str:
    if found.first_day is None:
        return ""
    return f" {capital(asked(found.ask, style))} could be had on {style.day(found.first_day)}."


def asked(ask: Ask, style: Style) -> str:
    """ "6 females from 5 cm", "1 male and 4 females"."""
    size = f" from {style.length(ask.min_mm)}" if ask.min_mm else ""
    return f"{fish(ask.count, ask.sex, ask.males, ask.females)}{size}"


def fish(count: int, sex: Sex | None, males: int | None, females: int | None) -> str:
    """A number with a sex or a mix: "1 male and 4 females"; what the mix leaves open is "2 of either sex"."""
    if not males and not females:
        return of_sex(count, None if sex == "unsexed" else sex)
    rest = count - (males or 0) - (females or 0)
    parts = [of_sex(males, "male") if males else "", of_sex(females, "female") if females else ""]
    return listed([part for part in parts if part] + ([f"{rest} of either sex"] if rest > 0 else []))


# --- refused ---------------------------------------------------------------------------------------------------------


def too_many(decision: TooMany, style: Style, room: Fishroom | None) -> str:
    """Why a number cannot be promised, and what could be had instead."""
    found = decision.availability
    name = naming.batch(room, found.batch) if room else f"Batch {naming.label(found.batch)}"
    instead = _instead(decision, style)
    return f"{_why(decision, name, style)}{' ' + instead if instead else ''}"


def _why(decision: TooMany, name: str, style: Style) -> str:
    found = decision.availability
    wanted = asked(found.ask, style)
    match decision.reason:
        case "gone":
            return f"{name} is gone: of {found.alive} alive, {_taken(found)}, so nothing was reserved."
        case "too_many":
            return f"{name} has {found.alive} alive, {_taken(found)}, so {wanted} cannot be promised."
        case "too_small":
            size = f"{style.length(found.ask.min_mm or 0)} by {style.day(found.day)}"
            return f"About {found.expected} of {_small(name)} will be {size}, too few to promise {wanted}."
        case "not_sexable":
            return f"{name}'s fish will be too small to tell the sexes by {style.day(found.day)}, so {wanted} cannot be promised."
        case "other_sex":
            return f"{name} will hardly have {wanted} by {style.day(found.day)}: {_sexes(found)}."
        case "at_risk":
            return (
                f"{name}: about {found.expected} will be there by {style.day(found.day)}, {_taken(found)}; "
                f"{wanted} more would put promises at risk."
            )
        case "not_offered":
            return f"{name} is not on offer, so nothing was reserved."
        case "not_yet":
            since = style.day(found.from_day or found.day)
            return f"{name} is on offer from {since}, so nothing was reserved for an earlier day."
        case "offered_number":
            return f"Of {_small(name)} the keeper offers {_number(found)} more, so {wanted} cannot be promised."
        case "buyer_limit":
            more = "" if decision.fewer == decision.limit else " more"
            left = f"you can reserve {decision.fewer}{more}" if decision.fewer else "you have reached it"
            return f"The keeper's limit is {of_sex(decision.limit or 0, None)} a buyer: {left}."


def _taken(found: Availability) -> str:
    parts = [(found.promised, "promised"), (found.held_back, "held back")]
    return listed(f"{count} {'is' if count == 1 else 'are'} {how}" for count, how in parts if count) or "none are promised"


def _small(name: str) -> str:
    """ "batch B" inside a sentence."""
    return name.replace("Batch", "batch", 1)


def _sexes(found: Availability) -> str:
    if found.ask.sex in ("male", "female"):
        return f"{found.known} of {found.alive} are known to be {found.ask.sex}s, about {found.expected} are expected"
    return "too few of one sex are expected"


def _instead(decision: TooMany, style: Style) -> str:
    """ "4 can be had now; all 6 from Fri 1 May; D has 6"."""
    found, ways = decision.availability, []
    if decision.fewer and decision.reason != "buyer_limit":
        ways.append(f"{decision.fewer} can be had")
    if decision.first_day:
        ways.append(f"all {found.ask.count} from {style.day(decision.first_day)}")
    ways += [f"batch {naming.label(other.batch)} has {other.count}" for other in decision.others[:2]]
    if decision.coming and not ways:
        return f"But {comes(decision.coming, found)}."
    if decision.coming:
        ways.append(comes(decision.coming, found))
    return f"{capital(listed(ways))}." if ways else ""


def comes(other: Other, found: Availability) -> str:
    """ "4 come in May (batch D)"."""
    where = "" if other.batch == found.batch else f" (batch {naming.label(other.batch)})"
    return f"{other.count} {'comes' if other.count == 1 else 'come'} in {MONTHS[other.day.month - 1]}{where}"


# --- reservations ----------------------------------------------------------------------------------------------------


def reserved(reservation: Reservation, style: Style, room: Fishroom, name: str | None = None) -> str:
    """A reservation that was made: number, what, of what, when, and what happens next. `name`: for whom, where not the reader."""
    head = f"Reservation #{reservation.number}{f' for {name}' if name else ''}"
    text = f"{head}: {what(reservation, style)} of {_of(room, reservation)}{_pickup(reservation, style)}."
    if reservation.status == "unconfirmed":
        return f"{text} It waits for the keeper's yes{_held(reservation, style)}."
    return text if reservation.pickup else f"{text} When would you like to fetch them?" if not name else text


def what(reservation: Reservation, style: Style) -> str:
    """What is still to be handed over."""
    males = (reservation.males or 0) - reservation.collected_males
    females = (reservation.females or 0) - reservation.collected_females
    size = f" from {style.length(reservation.min_mm)}" if reservation.min_mm else ""
    return fish(reservation.left or reservation.count, reservation.sex, max(0, males), max(0, females)) + size


def _of(room: Fishroom, reservation: Reservation) -> str:
    return _small(naming.batch(room, reservation.batch, with_strain=True))


def _pickup(reservation: Reservation, style: Style) -> str:
    if reservation.pickup is None:
        return ", no pickup day yet"
    at = f" at {style.clock(reservation.at)}" if reservation.at else ""
    return f", to be fetched on {style.day(reservation.pickup)}{at}"


def _held(reservation: Reservation, style: Style) -> str:
    return f"; the fish are held until {style.day(reservation.hold_until.date())}" if reservation.hold_until else ""


def remarks(reservation: Reservation, style: Style) -> list[str]:
    """What else there is to know of a reservation."""
    extra = []
    if reservation.status == "unconfirmed":
        extra.append("waits for the keeper's yes")
    if reservation.collected:
        extra.append(f"{reservation.collected} fetched already")
    if reservation.proposed:
        day, at, _ = reservation.proposed
        extra.append(f"{style.day(day)}{f' at {style.clock(at)}' if at else ''} is proposed")
    if reservation.deposit:
        extra.append(f"deposit {style.money(reservation.deposit)}")
    return extra


def line(reservation: Reservation, style: Style, room: Fishroom, names: Names) -> str:
    """One line of a keeper's list of reservations."""
    extra = remarks(reservation, style)
    tail = f" ({', '.join(extra)})" if extra else ""
    fish_of = f"{what(reservation, style)} of {_of(room, reservation)}"
    who = names.get(reservation.member, "a former member")
    return f"• #{reservation.number} {who}: {fish_of}{_pickup(reservation, style)}{tail}"


def reservations(found: Iterable[tuple[Fishroom, Reservation]], style: Style, names: Names) -> str:
    """The open reservations that a keeper holds for others, in the order of the promises."""
    lines = [line(reservation, style, room, names) for room, reservation in found]
    return "\n".join(["Reserved, the earliest promise first:", *lines]) if lines else "No fish are reserved."


# --- not enough ------------------------------------------------------------------------------------------------------


def shortfall_for_keeper(short: Shortfall, style: Style, room: Fishroom, names: Names) -> str:
    """Who is short by how much, why, and the ways out."""
    reservation = short.reservation
    who = names.get(reservation.member, "a former member")
    wanted = f"#{reservation.number} ({who}, {what(reservation, style)}, {_by(short, style)})"
    return (
        f"{naming.batch(room, reservation.batch)} no longer covers {wanted}: {_cause(short, style)} {_can(short)}, "
        f"earlier promises come first. Ways out: {_ways_out(short, style)}."
    )


def shortfalls_for_keeper(shorts: Sequence[Shortfall], style: Style, room: Fishroom, names: Names) -> str:
    """Who of a batch is short; of several a line each, in the order in which they are served."""
    if len(shorts) == 1:
        return shortfall_for_keeper(shorts[0], style, room, names)
    batch = naming.batch(room, shorts[0].reservation.batch)
    return "\n".join([f"{batch} no longer covers {len(shorts)} promises, the earliest first:", *(_short(one, style, names) for one in shorts)])


def _short(short: Shortfall, style: Style, names: Names) -> str:
    """ "• #2 (Ruth, 9 fish, for Sat 9 May): too few are left; 6 of 9 can be counted on. Ways out: fewer (6) or calling it off." """
    one = short.reservation
    who = f"{names.get(one.member, 'a former member')}, {what(one, style)}, {_by(short, style)}"
    return f"• #{one.number} ({who}): {_cause(short, style)} {_can(short)}. Ways out: {_ways_out(short, style)}."


def _ways_out(short: Shortfall, style: Style) -> str:
    ways = [f"{other.count} of batch {naming.label(other.batch)}" for other in short.others[:2]]
    ways += _ways(short, style)
    if short.held_back:
        ways.append(f"giving up some of the {short.held_back} held back")
    return listed([*ways, _back(short.reservation, style)], "or")


def shortfall_for_buyer(short: Shortfall, style: Style, room: Fishroom) -> str:
    """What the buyer of a promise that fails must know, and may choose."""
    reservation = short.reservation
    elsewhere = [f"{other.count} of batch {naming.label(other.batch)}" for other in short.others[:2]]
    ways = [*elsewhere, *_ways(short, style), _back(reservation, style)]
    if len(ways) > 1:
        settle = f"tell each other which it is to be: {listed(ways, 'or')}."
    else:
        settle = f"unless you two find another way, that leaves {ways[0]}."
    return (
        f"Your reservation #{reservation.number} ({what(reservation, style)} of {_of(room, reservation)}, {_by(short, style)}) "
        f"can no longer be kept in full: {_cause(short, style)} {_can(short)}. "
        f"The keeper has been told; {settle}"
    )


def _by(short: Shortfall, style: Style) -> str:
    return f"for {style.day(short.day)}" if short.reservation.pickup else "no day yet"


def _cause(short: Shortfall, style: Style) -> str:
    match short.cause:
        case "size":
            return f"too few will be {style.length(short.reservation.min_mm or 0)} by {style.day(short.day)};"
        case "sex":
            return "too few of that sex are there;"
        case "number":
            return "too few are left;"


def _can(short: Shortfall) -> str:
    return f"{short.can} of {short.reservation.left} can be counted on" if short.can else "none of it can be counted on"


def _ways(short: Shortfall, style: Style) -> list[str]:
    ways = [f"another day (all from {style.day(short.later)})"] if short.later and short.later != short.day else []
    return ways + ([f"fewer ({fewer(short)})"] if short.can else [])


def fewer(short: Shortfall) -> str:
    """What can still be counted on: a number, of a mix in its own proportion."""
    males, females, _ = in_proportion(short.reservation, short.can)
    mixed = short.reservation.males or short.reservation.females
    return fish(short.can, None, males, females) if mixed else str(short.can)


def _back(reservation: Reservation, style: Style) -> str:
    deposit = f" and giving back the deposit of {style.money(reservation.deposit)}" if reservation.deposit else ""
    return f"calling it off{deposit}"


# --- the waiting list ------------------------------------------------------------------------------------------------


def wish(one: Wish, style: Style, strain: str) -> str:
    """What a wish asks for."""
    size = f" from {style.length(one.min_mm)}" if one.min_mm else ""
    by = f" by {style.day(one.by_day)}" if one.by_day else ""
    return f"{of_sex(one.count, None if one.sex == 'unsexed' else one.sex)}, {strain}{size}{by}"


def wanted_list(wishes: Sequence[Wish], style: Style, strains: Mapping[str, str], names: Names) -> str:
    """The club's wanted list, in the order the wishes are met."""
    if not wishes:
        return "Nobody is looking for fish."
    lines = [
        f"{place}. {names.get(one.member, 'a former member')}: {wish(one, style, strains.get(one.strain, one.strain.replace('-', ' ')))}"
        for place, one in enumerate(wishes, 1)
    ]
    return "Wanted, first come first served:\n" + "\n".join(lines)


def waiting(place: int, one: Wish, style: Style, strain: str) -> str:
    """A wish was put on the list."""
    return f"On the wanted list: {wish(one, style, strain)}. {in_the_row(place)}"


def in_the_row(place: int) -> str:
    """How many wait before."""
    ahead = "You are next" if place <= 1 else f"{place - 1} before you"
    return f"{ahead}; you will be asked when there are some."


def offer_to_wish(offer: NextOffer, style: Style, room: Fishroom, keeper: str, until: str) -> str:
    """A wish that can be met: what, of whom, and until when to answer (`until` is a moment in the reader's zone, in words)."""
    part = "" if offer.count >= offer.wish.count else f" of the {offer.wish.count} you look for"
    batch = _small(naming.batch(room, offer.batch, with_strain=True))
    sex = None if offer.wish.sex == "unsexed" else offer.wish.sex
    return (
        f"{keeper} has {of_sex(offer.count, sex)}{part}: {batch}. Would you like them? "
        f"They are kept for you until {until}, then the next in the row is asked."
    )
