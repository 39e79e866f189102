"""The shelf's page: for members, and for everybody where the organiser says so; without JavaScript."""

from __future__ import annotations

from zoneinfo import ZoneInfo

from bot.conversation.scene import style_of
from bot.page import words
from bot.page.base import Page, RefusalError
from bot.page.shelf import ShelfRow, read_sieve, sift, strains_of
from bot.page.shelf_rows import photos_on
from bot.replies.words import Style
from core.club import Visit
from core.fishroom.choices import shelf_is_public


class Shelf(Page):
    """Who may see the shelf of which club."""

    def club(self) -> str:
        """The club whose shelf it is; refuses a stranger where it is not public."""
        if self.seat:
            return self.seat.club
        with self.context.visits.read() as visit:
            for club in visit.tx.clubs.all():
                if shelf_is_public(visit.club(club.id)):
                    return str(club.id)
        raise RefusalError(401, words.NO_SHELF)

    def style(self, visit: Visit, club_id: str) -> Style:
        """How the visitor reads; a stranger as the club does."""
        club = visit.tx.clubs.get(club_id)
        person = visit.person(self.seat.person) if self.seat else None
        zone = ZoneInfo((person.zone if person else None) or club.zone)
        return style_of(visit, club, self.context.clock.now().astimezone(zone).date(), person)


class ShelfPage(Shelf):
    """What there is and what is coming."""

    async def get(self) -> None:
        """The shelf, sifted by what the visitor chose."""
        if self.come_again():
            return
        sieve, trouble = read_sieve(self.get_query_argument("strain", ""), self.get_query_argument("day", ""))
        rows = await self.context.call(self._rows)
        kept = sift(rows, sieve)
        lead = words.shelf_lead(len(rows)) if rows else words.SHELF_EMPTY
        self.render(
            "shelf.html",
            rows=kept,
            strains=strains_of(rows),
            chosen=sieve,
            trouble=trouble,
            lead=lead,
            empty=words.NOTHING_CHOSEN if rows else "",
            signed_in=self.seat is not None,
        )

    def _rows(self) -> list[ShelfRow]:
        club = self.club()
        with self.context.visits.read() as visit:
            return self.context.shelves.of(visit, club, self.style(visit, club), self.context.clock.now())


class ShelfPhoto(Shelf):
    """A batch's photo, where the batch is on a shelf that the visitor may see."""

    async def get(self, photo: str) -> None:
        """The picture; anything that is not on the shelf is not there."""
        found = await self.context.call(self._photo, photo)
        if found is None:
            raise RefusalError(404, words.NOTHING_HERE)
        kind, content = found
        self.set_header("Content-Type", kind)
        self.set_header("Content-Security-Policy", "default-src 'none'; sandbox")
        self.write(content)

    def _photo(self, photo: str) -> tuple[str, bytes] | None:
        club = self.club()
        with self.context.visits.read() as visit:
            if photo not in photos_on(visit, club):
                return None
            found = visit.tx.photos.get(photo)
        return (found.media_type, found.content) if found and found.media_type in words.PICTURES else None
