"""What is said about what comes next: when to strip, how big and when ready, what to feed, how to pack, how it stands."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from bot.replies import answers, follow, naming
from bot.replies.food import loop_line, stocking_line
from bot.replies.watering import verdict_line
from bot.replies.words import Style, capital, counted, days_long, listed, number
from core.biology.transport import KEEP_C, Bags, NotAdvised
from core.fishroom.state import Batch, Fish, Fishroom
from core.planning.outlook import BatchOutlook, BroodOutlook, DayWindow
from core.planning.rations import PlaceRation
from core.planning.water_verdict import WaterVerdict

READY = {"out_of_box": "big enough to leave the box", "sexable": "big enough to be sexed", "saleable": "big enough to sell"}


def strip_date(room: Fishroom, female: Fish, found: BroodOutlook | None, style: Style) -> str:
    """The answer to "when can I strip her?"."""
    name = naming.fish_name(female)
    if found is None:
        return f"{name} is not down as holding. Tell me since when she holds, and I reckon her strip window."
    late = f", perhaps up to {days_long(found.since_seen_late)} more" if found.since_seen_late else ""
    head = f"{name}: day {found.days_holding} since {style.day(found.since)}{late}."
    windows = follow.brood_windows(found, style)
    if found.strip_opens and found.strip_closes:
        windows.insert(1, _where_now(found, style))  # after the strip window, which is told first
    if found.yolk is not None and found.yolk.likely is not None:
        windows.append(f"Their yolk lasts until {follow.window(found.yolk, style)}: stripped earlier, they need no food until then.")
    return "\n".join([head, *windows])


def _where_now(found: BroodOutlook, style: Style) -> str:
    opens, closes = found.strip_opens, found.strip_closes
    if opens is None or closes is None:
        return ""
    if style.today < opens:
        return f"That is {days_long((opens - style.today).days)} from now; have a box of the same water ready."
    if style.today <= closes:
        return "That is now: wet hands, soft container, no squeezing, under half a minute out of the water; or leave it to her."
    return "That is past: she lets them go any day now. Put a box or cover where she is, and look for fry."


def window_words(span: DayWindow, style: Style) -> str:
    """A window, or that it is over."""
    if span.latest is not None and span.latest < style.today:
        return "already"
    return follow.window(span, style)


def forecast(room: Fishroom, batch: Batch, found: BatchOutlook, style: Style) -> str:
    """How big, and when ready."""
    name = naming.batch(room, batch.id, with_strain=True)
    if not batch.count:
        return f"{name} has no fish left in the book."
    age = f", {answers.age(found.age_days)} from spawning" if found.age_days is not None else ""
    measured = f"last measured {style.day(found.measured)}" if found.measured else "never measured: a few lengths would narrow this"
    size = f"{style.length(found.mean_mm.likely)} on average ({style.lengths(found.fish_mm.low, found.fish_mm.high)} for nine in ten)"
    lines = [f"{name}: {counted(found.count, 'fish', 'fish', approx=batch.approx)}{age}.", f"Today about {size}; {measured}."]
    lines.append(f"About {style.grams(found.mean_g.likely)} each, reckoned at {style.temperature(found.temperature_c)}.")
    for purpose in ("out_of_box", "sexable", "saleable"):
        ready = found.ready[purpose]
        size = style.length(ready.mm)
        if ready.share_now > 0.9:
            lines.append(f"• {capital(READY[purpose])} ({size}): now.")
        else:
            half, most = window_words(ready.half, style), window_words(ready.most, style)
            lines.append(f"• {capital(READY[purpose])} ({size}): half of them {half}; nine in ten {most}.")
    return "\n".join(lines)


def fish_status(room: Fishroom, fish: Fish, found: BroodOutlook | None, style: Style) -> str:
    """How it stands with a breeder."""
    where = f"in {fish.place}" if fish.place else "place unknown"
    lines = [f"{naming.fish_name(fish)}, {naming.strain(room, fish.strain)}, {where}."]
    if fish.origin:
        lines.append(f"From {fish.origin}.")
    if found is not None:
        lines.append(f"Holding since {style.day(found.since)}, day {found.days_holding}.")
        lines += follow.brood_windows(found, style)
    elif fish.sex == "female":
        done = [one for one in room.broods.values() if one.female == fish.id and one.ended]
        last = max(done, key=lambda one: one.ended or date.min, default=None)
        count = f", {counted(last.count, 'fry', 'fry')}" if last and last.count else ""
        past = f"Last brood {last.outcome} {style.day(last.ended)}{count}; {counted(len(done), 'brood')} in the book." if last and last.ended else ""
        lines.append(f"Not holding. {past}".strip())
    return "\n".join(lines)


def batch_status(room: Fishroom, batch: Batch, found: BatchOutlook, style: Style) -> str:
    """How it stands with a batch: how many, where, how big, what is promised."""
    name = naming.batch(room, batch.id, with_strain=True)
    if not batch.count:
        return f"{name} has no fish left in the book."
    lines = [f"{name}: {counted(batch.count, 'fish', 'fish', approx=batch.approx)}; {answers.groups_line(batch)}."]
    lines.append(f"About {style.length(found.mean_mm.likely)} now ({style.lengths(found.fish_mm.low, found.fish_mm.high)}).")
    promised = sum(one.left for one in room.reservations.values() if one.batch == batch.id and one.status in ("confirmed", "unconfirmed"))
    kept = [f"{promised} promised" if promised else "", f"{batch.held_back_count} held back" if batch.held_back_count else ""]
    if any(kept):
        lines.append(capital(listed(part for part in kept if part)) + ".")
    deaths = [one for one in room.unassigned if batch.id in one.batches]
    if deaths:
        total = sum(one.count for one in deaths)
        lines.append(f"{counted(total, 'death')} in {deaths[0].place} could be theirs: a count settles it.")
    lost = -sum(change.count for change in batch.changes if change.kind in ("died", "culled", "unexplained", "assigned_death"))
    if lost > 0:
        lines.append(f"{lost} lost so far.")
    return "\n".join(lines)


def place_status(room: Fishroom, place: str, verdict: WaterVerdict | None, ration: PlaceRation, style: Style) -> str:
    """How it stands with a place: who is in, how full, how the water is."""
    lines = [answers.contents(room, place, style)]
    lines += [*stocking_line(ration, style), *loop_line(ration, style)]
    lines.append(verdict_line(verdict, style) if verdict else "Its water was never tested.")
    return "\n".join(lines)


def room_status(room: Fishroom, batches: Sequence[tuple[Batch, BatchOutlook]], today: date, style: Style) -> str:
    """The whole fishroom in a few lines."""
    fish = [one for one in room.fish.values() if one.alive_here]
    males, females = (sum(one.sex == sex for one in fish) for sex in ("male", "female"))
    head = f"{counted(females, 'female')} and {counted(males, 'male')}, {len(room.holding)} holding; {counted(len(batches), 'batch', 'batches')}"
    lines = [f"{capital(head)} with {sum(batch.count for batch, _ in batches)} young."]
    if room.holding:
        lines.append(answers.holding_list(room, style))
    for batch, found in batches:
        where = listed(batch.places) or "no place"
        lines.append(f"• {batch.label}, {naming.kind_of_batch(room, batch)}: {batch.count} in {where}, about {style.length(found.mean_mm.likely)}")
    open_ones = [one for one in room.reservations.values() if one.status in ("confirmed", "unconfirmed")]
    if open_ones:
        lines.append(f"{counted(len(open_ones), 'open reservation')} for {sum(one.left for one in open_ones)} fish.")
    if room.problems:
        misfits = listed(sorted({one.why.replace("_", " ") for one in room.problems}))
        lines.append(f"{counted(len(room.problems), 'entry', 'entries')} of the book no longer fit: {misfits}.")
    return "\n".join(lines)


def bagging(batch: Batch, count: int, hours: float, mm: float, plain: Bags | NotAdvised, oxygen: Bags | NotAdvised, style: Style) -> str:
    """How to pack: bags, fish a bag, water, fasting, and the cautions."""
    head = f"{count} of batch {batch.label}, about {style.length(mm)}, for {number(hours, 1)} hour{'' if hours == 1 else 's'}:"
    lines = [head]
    for name, found in (("with air", plain), ("with pure oxygen", oxygen)):
        if isinstance(found, Bags):
            lines.append(
                f"• {name}: {counted(found.bags, 'bag')}, {counted(found.fish_per_bag, 'fish', 'fish')} and "
                f"{style.volume(found.water_l)} of water in each, two thirds of the bag gas"
            )
        else:
            lines.append(f"• {name}: not advised ({found.value.replace('_', ' ')})")
    packed = next((one for one in (plain, oxygen) if isinstance(one, Bags)), None)
    if packed is not None:
        low, high = packed.fast_hours
        lines.append(f"Last feed {number(low, 0)} to {number(high, 0)} hours before packing.")
    off = "5 °F" if style.units == "us" else "3 °C"
    lines.append(
        f"Double bags, dark insulated box, {style.temperatures(*KEEP_C)}, never more than {off} off. "
        "On opening, pH rises and the bag's ammonia bites: no airstone in bag water, float 15 to 20 minutes, net the fish over, "
        "pour the bag water away."
    )
    return "\n".join(lines)


def unsexed(males: int, females: int, certainty: float, count: int | None, share: float) -> str:
    """How many unsexed fish to take."""
    parts = [counted(males, "male") if males else "", counted(females, "female") if females else ""]
    wanted = f"at least {listed(part for part in parts if part)}"
    if count is None:
        return f"No sensible number of unsexed fish gives {wanted} with {certainty:.0%} certainty; buy sexed fish."
    return (
        f"For {wanted} with {certainty:.0%} certainty take {count} unsexed fish "
        f"(reckoned with {share:.0%} males, give or take what this pairing has not shown yet)."
    )
