"""How a visitor of the demonstration comes in, changes seats and lets a night pass."""

from __future__ import annotations

import hmac

from bot.clock import WallClock
from bot.page import words
from bot.page.base import Page, RefusalError
from bot.page.demo import Demo


class DemoDoor(Page):
    """The link that the demonstration prints."""

    async def get(self, code: str) -> None:
        """Sit down as the first member."""
        demo = _demo(self)
        if not hmac.compare_digest(code.encode(), demo.token.encode()):
            raise RefusalError(403, words.LINK_USED)
        if self.seat is None or not demo.plays(self.seat.person):
            self.keep_signed_in(await self.context.call(self.context.seats.open, demo.seats[0].key))
        self.redirect("/", status=303)


class DemoTurn(Page):
    """The bar's buttons."""

    async def post(self) -> None:
        """Sit down elsewhere, or let the next morning come."""
        demo = _demo(self)
        self.signed_in()
        person = self.get_body_argument("be", "")
        if person and demo.plays(person) and self.secret:
            await self.context.call(self.context.seats.leave, self.secret, everywhere=False)
            self.keep_signed_in(await self.context.call(self.context.seats.open, person))
        if self.get_body_argument("go", "") == "morning" and isinstance(self.context.clock, WallClock):
            demo.next_morning(self.context.clock)
            await self.context.tick()
        self.redirect("/", status=303)


def _demo(page: Page) -> Demo:
    if page.context.demo is None:
        raise RefusalError(404, words.NOTHING_HERE)
    return page.context.demo
