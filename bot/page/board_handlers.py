"""The board's page: for who keeps the fishroom, without JavaScript."""

from __future__ import annotations

from urllib.parse import unquote

from bot.page import words
from bot.page.base import Page, RefusalError
from bot.page.board import Board, board_of
from bot.page.outlook import told_of
from bot.page.seats import Seat


class BoardPage(Page):
    """The board of one of the member's fishrooms."""

    async def get(self, room: str = "") -> None:
        """The board; with several fishrooms, the way to the others."""
        if self.come_again():
            return
        seat = self.signed_in()
        wanted = unquote(room) or next((key for key, _ in seat.rooms), "")
        if wanted not in dict(seat.rooms):
            raise RefusalError(403, words.NOT_YOURS if room else words.NO_ROOM)
        board = await self.context.call(self._board, seat, wanted)
        others = [(key, name, key == wanted) for key, name in seat.rooms] if len(seat.rooms) > 1 else []
        self.render("board.html", board=board, rooms=others)

    def _board(self, seat: Seat, room_id: str) -> Board:
        moment = self.context.clock.now()
        style = seat.style(self.context.clock)
        with self.context.visits.read() as visit:
            room = visit.room(room_id)
            told = told_of(room, style, visit.names(seat.club))
        return board_of(room, dict(seat.rooms)[room_id], style, moment, told)
