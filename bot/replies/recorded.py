"""One line for everything that was recorded: what it was, of what, since or on which day."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from bot.replies import naming, tasks
from bot.replies.recorded_orders import ORDER_LINES
from bot.replies.recorded_scene import Scene, Words
from bot.replies.words import by_sex, capital, counted, listed, number, of_sex, percent
from core import events as e
from core.events import Entry
from core.fishroom.state import Batch

__all__ = ["LINES", "Scene", "joined_together", "line"]


def line(entry: Entry, scene: Scene) -> str:
    """The sentence for one entry."""
    return LINES[type(entry.event)](entry, entry.event, scene)


def _place_added(entry: Entry, event: e.PlaceAdded, scene: Scene) -> str:
    style = scene.style
    parts: list[str] = [event.type]
    if event.litres:
        parts.append(style.volume(event.litres))
    if event.temp_c:
        parts.append(style.temperature(event.temp_c))
    if event.hangs_in:
        parts.append(f"hangs in {event.hangs_in} and shares its water")
    if event.hard_to_catch:
        parts.append("hard to catch from")
    if event.loop:
        parts.append("in the plant loop")
    if len(parts) > 1 and event.place.startswith(event.type):
        parts = parts[1:]
    return f"{capital(event.place)} added: {', '.join(parts)}."


def _joined(entry: Entry, event: e.Joined, scene: Scene) -> str:
    name = naming.fish(scene.room, event.fish, with_strain=True)
    source = (
        f" out of batch {naming.label(event.from_batch)}" if event.from_batch else f" from {event.origin}" if event.origin else ""
    )
    return f"{name} joined{source}{f', in {event.to}' if event.to else ''}{scene.when(entry)}."


def joined_together(entries: Sequence[Entry], scene: Scene) -> str:
    """Several fish that came in one message, in one line: "Female 1, 2 and 3 and male 1 (yellow lab) joined in tank 1"."""
    events = [entry.event for entry in entries if isinstance(entry.event, e.Joined)]
    parts = []
    for sex in ("female", "male"):
        labels = [event.label for event in events if event.sex == sex]
        if labels:
            parts.append(f"{sex} {listed(labels)}")
    strains = listed(dict.fromkeys(naming.strain(scene.room, event.strain) for event in events))
    where = f" in {events[0].to}" if events[0].to else ""
    source = f" from {events[0].origin}" if events[0].origin else ""
    return f"{capital(listed(parts))} ({strains}) joined{source}{where}{scene.when(entries[0])}."


def _batch_joined(entry: Entry, event: e.BatchJoined, scene: Scene) -> str:
    strain = naming.strain(scene.room, event.strain)
    parts = [counted(event.count, "fish", "fish", approx=event.approx), strain]
    if event.origin:
        parts.append(f"from {event.origin}")
    if event.to:
        parts.append(f"in {event.to}")
    if event.mean_mm:
        parts.append(f"about {scene.style.length(event.mean_mm)}")
    return f"{scene.batch(event.batch)}: {', '.join(parts)}{scene.when(entry)}."


def _spawned(entry: Entry, event: e.Spawned, scene: Scene) -> str:
    pair = [scene.fish(fish) for fish in (event.female, event.male) if fish]
    pair[1:] = [naming.inside(one) for one in pair[1:]]
    return f"{listed(pair)} spawned{scene.when(entry) or ('' if scene.past else ' today')}."


def _holding(entry: Entry, event: e.Holding, scene: Scene) -> str:
    brood = scene.room.broods.get(event.brood)
    sire = ""
    if brood and brood.male:
        sire = f"; {'sire taken to be' if brood.male_taken else 'sire'} {naming.inside(scene.fish(brood.male))}"
    return f"{naming.fish(scene.room, event.female, with_strain=True)}: holding {scene.since(entry)}{sire}."


def _still_holding(entry: Entry, event: e.StillHolding, scene: Scene) -> str:
    brood = None if scene.past else scene.room.brood_of(event.female)
    day = f" Since {scene.style.day(brood.since)} (day {(entry.on - brood.since).days})." if brood and brood.since else ""
    return f"{scene.fish(event.female)} still holding{scene.when(entry)}.{day}"


def _stripped(entry: Entry, event: e.Stripped, scene: Scene) -> str:
    extra = [counted(event.eggs, "egg") if event.eggs else "", f"{event.dead} dead" if event.dead else ""]
    told = ", ".join(part for part in extra if part)
    where = f" into {event.to}" if event.to else ""
    fry = counted(event.count, "fry", "fry", approx=event.approx)
    done = f"{scene.fish(event.female)} stripped{scene.when(entry)}:"
    if not event.count:
        return f"{done} no live fry{f' ({told})' if told else ''}."
    return f"{done} {fry}{where}{f' ({told})' if told else ''}. They are batch {naming.label(event.batch)}."


def _released(entry: Entry, event: e.Released, scene: Scene) -> str:
    if event.batch and event.count:
        count = counted(event.count, "fry", "fry", approx=event.approx)
        return f"{scene.fish(event.female)} released {count}{scene.when(entry)}: batch {naming.label(event.batch)}."
    return f"{scene.fish(event.female)} released her fry{scene.when(entry)}. Not counted: tell me the number when you have it."


def _moved(entry: Entry, event: e.Moved, scene: Scene) -> str:
    if event.fish:
        return f"{scene.fish(event.fish)} moved to {event.to}{scene.when(entry)}."
    part = f"{of_sex(event.count, event.sex)} of " if event.count else f"the {event.sex}s of " if event.sex else ""
    return capital(f"{part}batch {naming.label(event.batch or '')} moved to {event.to}{scene.when(entry)}.")


def _counted(entry: Entry, event: e.Counted, scene: Scene) -> str:
    batch = scene.room.batches.get(event.batch)
    newest = reversed(batch.counts) if batch else ()
    said = next((count for count in newest if count.on == entry.on and count.count == event.count), None)
    line = f"{scene.batch(event.batch)}: {counted(event.count, 'fish', 'fish', approx=event.approx)}{scene.when(entry)}."
    if batch and said and said.book != said.count:
        why = [form.format(abs(gap)) for kind, form in _WHY.items() if (gap := _changed(batch, entry, kind))]
        gap = said.count - said.book
        line += f" The book said {said.book}: {listed(why) or f'unexplained −{-gap}' if gap < 0 else f'found +{gap}'}."
    return line


_WHY = {"assigned_death": "{} of the deaths told for its place", "unexplained": "unexplained −{}"}
"""Why a count is lower than the book."""


def _changed(batch: Batch, entry: Entry, kind: str) -> int:
    return sum(one.count for one in batch.changes if one.entry == entry.number and one.kind == kind)


def _died(entry: Entry, event: e.Died, scene: Scene) -> str:
    if event.fish:
        return f"{scene.fish(event.fish)} died{scene.when(entry)}.{'' if scene.past or scene.undone else ' Sorry.'}"
    dead = counted(event.count, "death", approx=event.approx)
    if event.batch:
        where = "" if scene.past else _only_place(scene, event.batch)
        return f"{capital(dead)} in batch {naming.label(event.batch)}{where}{scene.when(entry)}.{scene.left_in(event.batch)}"
    labels = [batch.label for batch in scene.room.batches_in(event.place or "")]
    return f"{capital(dead)} in {event.place}{scene.when(entry)}; of {listed(labels, 'or')}, until a count says which."


def _only_place(scene: Scene, batch: str) -> str:
    """ " (tub)": where the batch is, when it is all in one place."""
    found = scene.room.batches.get(batch)
    return f" ({found.places[0]})" if found and len(found.places) == 1 else ""


def _measured(entry: Entry, event: e.Measured, scene: Scene) -> str:
    style = scene.style
    if event.lengths:
        mean, n = sum(event.lengths) / len(event.lengths), len(event.lengths)
        span = f" ({style.measured(min(event.lengths), max(event.lengths))})" if n > 1 else ""
        return f"{scene.batch(event.batch)}: mean {style.measured(mean)} over {n}{span}{scene.when(entry)}."
    over = f" over {event.n}" if event.n else ""
    return f"{scene.batch(event.batch)}: mean {style.measured(event.mean_mm or 0)}{over}{scene.when(entry)}."


def _sexed(entry: Entry, event: e.Sexed, scene: Scene) -> str:
    batch = scene.room.batches.get(event.batch)
    now = by_sex(*(batch.count_of(sex) for sex in e.SEXES)) if batch else ""
    if scene.past:
        now = by_sex(event.males or 0, event.females or 0, event.unsexed or 0)
    return f"{scene.batch(event.batch)} sexed{scene.when(entry)}: {now}.{_gap(batch, entry) if batch else ''}"


def _gap(batch: Batch, entry: Entry) -> str:
    """How far the book was off, where a sexing was a count too."""
    gap = sum(one.count for one in batch.changes if one.entry == entry.number and one.kind in ("unexplained", "found"))
    if not gap:
        return ""
    return f" The book said {batch.count - gap}: {f'unexplained −{-gap}' if gap < 0 else f'found +{gap}'}."


def _split(entry: Entry, event: e.Split, scene: Scene) -> str:
    new = scene.room.batches.get(event.new)
    where = f" into {event.to}" if event.to else ""
    count = counted(new.count, "fish", "fish") if new else "some"
    off = f"{count} of batch {naming.label(event.batch)} split off{where}{scene.when(entry)}"
    return f"{off}: now batch {naming.label(event.new)}.{scene.left_in(event.batch)}"


def _merged(entry: Entry, event: e.Merged, scene: Scene) -> str:
    others = [batch for batch in event.batches if batch != event.into]
    mixed = " They are hybrid stock now and are never offered as either strain." if event.hybrid else ""
    return f"{listed(map(naming.label, others))} merged into {naming.label(event.into)}{scene.when(entry)}.{scene.left_in(event.into)}{mixed}"


def _mixed(entry: Entry, event: e.Mixed, scene: Scene) -> str:
    batches, into = listed(map(naming.label, event.batches)), naming.label(event.into)
    return f"{batches} are one stock in {event.place} now, as batch {into}.{scene.left_in(event.into)}"


def _left(entry: Entry, event: e.Left, scene: Scene) -> str:
    to = f" to {scene.person(event.member)}" if event.member else ""
    there = ", and stands in the book there" if event.to_room else ""
    return f"{scene.fish(event.fish)} left{to}{scene.when(entry)}{there}."


READINGS = (
    ("ph", "pH {}", 2),
    ("tan_mg_l", "ammonia {} mg/L", 3),
    ("nitrite_mg_l", "nitrite {} mg/L", 2),
    ("nitrate_mg_l", "nitrate {} mg/L", 1),
    ("kh_dkh", "KH {} °dH", 1),
    ("gh_dgh", "GH {} °dH", 1),
)


def _water_tested(entry: Entry, event: e.WaterTested, scene: Scene) -> str:
    parts = [
        form.format(number(getattr(event, name), places)) for name, form, places in READINGS if getattr(event, name) is not None
    ]
    if event.temp_c is not None:
        parts.insert(0, scene.style.temperature(event.temp_c))
    return f"{capital(event.place)}{scene.when(entry)}: {', '.join(parts)}."


def _water_changed(entry: Entry, event: e.WaterChanged, scene: Scene) -> str:
    amount = f"{number(event.percent, 0)}%" if event.percent is not None else scene.style.volume(event.litres or 0)
    return f"{capital(event.place)}: {amount} of the water changed{scene.when(entry)}."


def _fed(entry: Entry, event: e.Fed, scene: Scene) -> str:
    what = f"batch {naming.label(event.batch)}" if event.batch else event.place
    grams = f", {scene.style.grams(event.grams)}" if event.grams else ""
    return f"Fed {what}{grams}{scene.when(entry)}."


def _noted(entry: Entry, event: e.Noted, scene: Scene) -> str:
    about = naming.subject(scene.room, event.fish, event.batch, event.place)
    return f"Note on {about[:1].lower() + about[1:]}{scene.when(entry)}: {scene.texts.get(event.text, '(removed)')}"


def _photographed(entry: Entry, event: e.Photographed, scene: Scene) -> str:
    about = naming.subject(scene.room, event.fish, event.batch, event.place)
    return f"Photo kept with {about[:1].lower() + about[1:]}{scene.when(entry)}."


TASKS = {"water_test": "test the water", "water_change": "change water", "measure": "measure", "count": "count"}


def _habit(entry: Entry, event: e.Habit, scene: Scene) -> str:
    joint = " in " if event.task == "water_change" else " of " if event.task == "water_test" else " in "
    where = f"{joint}{event.place}" if event.place else ""
    return f"Habit: {TASKS[event.task]}{where} every {counted(event.every_days, 'day') if event.every_days > 1 else 'day'}."


def _away(entry: Entry, event: e.Away, scene: Scene) -> str:
    sitter = f" {scene.person(event.sitter)} looks after them and gets the digest." if event.sitter else ""
    return f"Away {scene.style.days(event.from_day, event.to_day)}.{sitter}"


def _free_days(entry: Entry, event: e.FreeDays, scene: Scene) -> str:
    names = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
    clock = scene.style.clock
    hours = f", {clock(event.from_time)} to {clock(event.to_time)}" if event.from_time and event.to_time else ""
    days = "every day" if len(event.weekdays) == len(names) else f"on {listed(names[day] for day in event.weekdays)}"
    return f"Free to catch and hand over {days}{hours}."


def _parents(entry: Entry, event: e.Parents, scene: Scene) -> str:
    said = [(word, naming.inside(scene.fish(one))) for word, one in (("father", event.sire), ("mother", event.dam)) if one]
    about = scene.fish(event.subject) if event.subject in scene.room.fish else scene.batch(event.subject)
    return f"{about}: {listed(f'the {word} is {one}' for word, one in said)}."


SHELF_OPEN: Mapping[str, str] = {
    "yes": "The shelf page is open to everybody now, also without signing in.",
    "no": "The shelf page is for members only now.",
}


def _set(name: str, value: str) -> str:
    if name == "shelf_public" and value in SHELF_OPEN:
        return SHELF_OPEN[value]
    shown = percent(float(value)) if name == "promise_level" else value
    return f"{capital(name.replace('_', ' '))}: {shown}."


LINES: Mapping[type[e.Event], Words] = {
    **ORDER_LINES,
    e.PlaceAdded: _place_added,
    e.PlaceRetired: lambda entry, event, scene: f"{capital(event.place)} is out of use.",
    e.StrainAdded: lambda entry, event, scene: f"Strain added: {event.name}{species_line(event)}.",
    e.Joined: _joined,
    e.BatchJoined: _batch_joined,
    e.Named: lambda entry, event, scene: f"{scene.fish(event.fish)} it is.",
    e.Parents: _parents,
    e.Spawned: _spawned,
    e.Holding: _holding,
    e.StillHolding: _still_holding,
    e.BroodLost: lambda entry, event, scene: f"{scene.fish(event.female)} lost her brood{scene.when(entry)}; no longer holding.",
    e.Released: _released,
    e.Stripped: _stripped,
    e.Moved: _moved,
    e.Counted: _counted,
    e.Died: _died,
    e.Measured: _measured,
    e.Sexed: _sexed,
    e.Split: _split,
    e.Merged: _merged,
    e.Mixed: _mixed,
    e.ToldApart: lambda entry, event, scene: (
        f"{listed(map(naming.label, event.batches))} in {event.place} are kept apart in the book."
    ),
    e.HeldBack: lambda entry, event, scene: (
        f"{of_sex(event.count, event.sex)} of batch {naming.label(event.batch)} kept as breeders."
    ),
    e.Culled: lambda entry, event, scene: (
        f"{event.count} of batch {naming.label(event.batch)} culled{scene.when(entry)}.{scene.left_in(event.batch)}"
    ),
    e.Left: _left,
    e.WaterTested: _water_tested,
    e.WaterChanged: _water_changed,
    e.Fed: _fed,
    e.Noted: _noted,
    e.Photographed: _photographed,
    e.Habit: _habit,
    e.Away: _away,
    e.TaskDone: lambda entry, event, scene: tasks.done_line(scene.room, event.task),
    e.TaskLater: lambda entry, event, scene: f"Put off until {scene.style.day(event.until)}{tasks.named_by(scene.room, event.task)}.",
    e.TaskDropped: lambda entry, event, scene: f"Dropped{tasks.named_by(scene.room, event.task)}. I shall not bring this one up again.",
    e.FreeDays: _free_days,
    e.FishroomSetting: lambda entry, event, scene: _set(event.name, event.value),
    e.ClubSetting: lambda entry, event, scene: _set(event.name, event.value),
    e.Announced: lambda entry, event, scene: "Posted to the group.",
    e.Voided: lambda entry, event, scene: "Taken back.",
}


def species_line(event: e.StrainAdded) -> str:
    """Whose figures a strain is reckoned with, where its name does not say so."""
    if event.species == "general":
        return " (reckoned with general figures)"
    species = event.species.replace("-", " ")
    return "" if species in event.name.lower() else f" (reckoned as {species})"
