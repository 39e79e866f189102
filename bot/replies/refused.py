"""Why something was not done, in one sentence that says what can be done instead."""

from __future__ import annotations

from bot.replies import naming, orders
from bot.replies.words import Style
from core.club import Refused
from core.club.decisions import Objection
from core.club.permissions import Area
from core.fishroom.state import Fishroom

NOT_ALLOWED = {
    Area.STOCK: "Only the keeper of a fishroom records what happens in it, so nothing was recorded.",
    Area.CARE: "Only the keeper, or a sitter while the keeper is away, logs feeding, water and deaths there.",
    Area.RUNNING: "Only the keeper of the fishroom decides that, so nothing was changed.",
    Area.SELLING: "Only the keeper of the fishroom can do that, so nothing was changed.",
    Area.RESERVING_FOR_ANOTHER: "You can reserve for yourself; for somebody else only the keeper can.",
    Area.RESERVING: "Reserving is for members of the club.",
    Area.WISHING: "The wanted list is for members of the club.",
    Area.CLUB: "Only the club's organiser can do that, so nothing was changed.",
    Area.INVITING: "Only the organiser or a keeper can invite.",
    Area.SEEING_THE_ROOM: "What goes on in a fishroom is for its keeper. Ask \"what's available?\" for what the club has.",
    Area.SEEING_THE_SHELF: "What the club has is for its members.",
    Area.SEEING_A_CONTACT: "A contact is shown to the other side of a confirmed reservation and to the club's organiser only.",
}


def sentence(refusal: Refused, style: Style, room: Fishroom | None) -> str:
    """The reason."""
    if refusal.area is not None:
        return NOT_ALLOWED[refusal.area]
    if refusal.why == "not_yours":
        return "That was told by somebody else; only they or the keeper can take it back."
    found = refusal.objection
    if found is None:
        return "That could not be done, so nothing was recorded."
    match found.why:
        case "nothing_proposed":
            return f"No other pickup is proposed for #{found.facts.number}, so nothing changed."
        case "own_proposal":
            return f"That pickup of #{found.facts.number} was proposed from your side; it stands once the other side accepts."
        case "no_such_batch":
            return f"There is no batch {found.facts} with fish in it now."
        case "no_such_reservation":
            return f"There is no reservation #{found.facts}."
        case "closed":
            return f"Reservation #{found.facts.number} is {found.facts.status.replace('_', '-')} already."
        case "lapsed":
            return f"Reservation #{found.facts.number} was not confirmed in time, and its fish are free again."
        case "already_confirmed":
            return f"Reservation #{found.facts.number} is confirmed already."
        case "by_hand":
            return "The keeper confirms reservations in person there, so nothing was reserved."
        case "too_many" | "stands_again" | "lapsed_and_gone" | "more_by_hand" | "too_early":
            return _not_promised(found, style, room)
        case _:
            return "That does not fit the book as it stands, so nothing was recorded."


def _not_promised(found: Objection, style: Style, room: Fishroom | None) -> str:
    """The fish cannot be promised, or not any more."""
    match found.why:
        case "too_early":
            one, begins = found.facts
            return f"Batch {naming.label(one.batch)} is on offer from {style.day(begins)}, so #{one.number} cannot be fetched earlier."
        case "more_by_hand":
            one, more = found.facts
            return (
                f"The keeper confirms reservations in person there. #{one.number} stays as it is; "
                f"for {more} more say \"reserve {more} of {naming.label(one.batch)}\"."
            )
        case "stands_again":
            number, decision = found.facts
            lead = f"With that #{number} would stand again, and its fish are promised by now. "
        case "lapsed_and_gone":
            lapsed, decision = found.facts
            lead = f"The hold of #{lapsed.number} has lapsed, and its fish were free for others. "
        case _:
            lead, decision = "", found.facts
    return f"{lead}{orders.too_many(decision, style, room)}"
