"""What is said with a picture, a printed sheet or tables."""

from __future__ import annotations

from bot.replies import orders
from bot.replies.fetching import what_to_bring as bring
from bot.replies.words import Style, counted
from core.fishroom.state import Reservation

SEASON = "The season: each brood from holding to grow-out, and what lies ahead."
NO_PLACES = 'There are no places in the book yet. "new tank 1" with its size and warmth adds one.'


def batch_chart(label: str) -> str:
    """A batch's growth and numbers."""
    return f"Batch {label}: how it grows, and where its fish went."


def water_chart(place: str) -> str:
    """A place's water over time."""
    return f"The water of {place} over the last months."


def no_tests(place: str) -> str:
    """Nothing to draw."""
    return f"The water of {place} was never tested, so there is nothing to draw."


def family(name: str) -> str:
    """A pedigree."""
    return f"The family of {name[:1].lower()}{name[1:]}, as far as the book goes back."


def labels(count: int, *, only_here: bool = False) -> str:
    """A sheet of labels. `only_here`: the page behind their codes can be opened on this machine alone."""
    text = (
        f"Labels for {counted(count, 'place')}: print, cut, laminate. Scanning one opens this chat at that place, "
        'so that "2 dead" or "w/c 30%" needs no more. Tape them above the waterline.'
    )
    return f"{text}\n{ONLY_HERE}" if only_here else text


ONLY_HERE = (
    "As set up now, the codes open on this machine only: before you print, whoever runs Frywire gives the page an address that "
    "phones can reach (FRYWIRE_PAGE_HOST or FRYWIRE_PAGE_ADDRESS)."
)


def pickup_title(one: Reservation, batch: str, other: str, *, mine: bool) -> str:
    """A pickup in a calendar: with whom, how many of what."""
    fish = orders.fish(one.left or one.count, one.sex, one.males, one.females)
    return f"Fetch {fish} of batch {batch} from {other} (#{one.number})" if mine else f"{other} fetches {fish} of batch {batch} (#{one.number})"


def what_to_bring(style: Style) -> str:
    """What the buyer's calendar recalls."""
    return bring(style)


def for_keeper(number: int, *, dated: bool) -> str:
    """A pickup's papers."""
    dates = "; the calendar file puts it into your calendar" if dated else ". No pickup day is agreed yet"
    return f"The papers for #{number}: a packing list, and a label for each bag{dates}."


def for_buyer(number: int, *, dated: bool) -> str:
    """The calendar entry, for the buyer."""
    if not dated:
        return f'No pickup day is agreed for #{number} yet. Say for example "pickup for #{number} saturday 10:30".'
    return f"The pickup of #{number} for your calendar."


NO_PICKUPS = "No pickup is agreed, so there is nothing to put into a calendar yet."


def calendar(pickups: int, ready: int = 0) -> str:
    """All pickups in one file, and in another the days on which batches are likely to be ready."""
    found = [counted(pickups, "agreed pickup")] if pickups else []
    found += [f"the likely ready {'day of a batch' if ready == 1 else f'days of {ready} batches'}"] if ready else []
    said = " and ".join(found)
    return f"{said[:1].upper()}{said[1:]} for your calendar. Ask again when something changes: the file brings yours up to date."


def ready_title(batch: str, strain: str) -> str:
    """The head of the day on which a batch is likely ready."""
    return f"Batch {batch} ({strain}): half of them likely large enough to sell"


def no_reservation(number: int) -> str:
    """Not there, or somebody else's."""
    return f"I find no reservation #{number} of yours."


def over(number: int) -> str:
    """Collected, cancelled or lapsed."""
    return f"Reservation #{number} is over, so there are no papers for it."


def reach(name: str, contact: str) -> str:
    """How somebody is reached."""
    return f"Reach {name}: {contact}"


def no_contact(name: str) -> str:
    """Nothing is known."""
    return f'{name} has left no contact with me. One is left by saying "my contact is 555 0100".'


CONTACT_IN_PRIVATE = "Contacts are told in private only: ask me in a chat of our own."


def contact_kept(contact: str) -> str:
    """A contact was said."""
    return f"Your contact is kept: {contact}. Only the other side of a confirmed reservation and the club's organiser get to see it."


CONTACT_GONE = "Your contact is deleted."
