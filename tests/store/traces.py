"""A member who left traces wherever a member can leave them."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

from core.events import Holding, Noted, Source
from core.store import NewEntry, Store
from core.store.invitations import Invitation
from core.store.page import PageEntry, PageFile
from core.store.people import Person

HOUR = timedelta(hours=1)
SECRET = "Zanzibar"


def settle_in(store: Store, now: datetime) -> Person:
    """A member who left traces wherever a member can leave them, each with the same odd word."""
    with store.write() as tx:
        person = tx.people.add(f"Marit {SECRET}", now, id="marit", contact=f"{SECRET} street 1")
        tx.people.save(replace(person, prefs={"nick": SECRET}))
        club = tx.clubs.add("Lakers", id="lakers")
        tx.clubs.join(club.id, person.id, ["keeper"], now)
        tx.clubs.add_room("Cellar", [club.id], [person.id], id="r1")
        tx.people.identify("telegram", f"{SECRET}7", person.id, "chat7")
        tx.people.address(person.id, club.id, "r1")
        secret = tx.invitations.make(club.id, ["keeper"], "ivar", now, now + HOUR, name=SECRET)
        opened = tx.invitations.open(secret, f"telegram:{SECRET}7", now)
        assert isinstance(opened, Invitation)
        tx.invitations.use(opened, person.id, now)
        tx.invitations.open("wrong", f"telegram:{SECRET}7", now)
        tx.sessions.link(person.id, now + HOUR)
        tx.inbox.keep("telegram", "1", "chat7", {"text": SECRET}, now)
        tx.inbox.done(tx.inbox.pending("telegram")[0].id)
        about: dict[str, Any] = {"door": "telegram", "chat": "chat7", "now": now, "due_at": now, "payload": {"text": SECRET}}
        tx.deliveries.put("d1", kind="notice", person=person.id, **about)
        tx.deliveries.put("d2", kind="answer", **about)
        tx.buttons.make(person.id, club.id, {"text": SECRET}, now + HOUR)
        tx.drafts.open(
            person.id, "telegram", "chat7", about="count", draft={"x": SECRET}, text=SECRET, written=now.replace(tzinfo=None),
            expires=now + HOUR,
        )  # fmt: skip
        tx.memory.set(person.id, "telegram", "chat7", {"last": SECRET})
        tx.mornings.set(person.id, now)
        tx.photos.put(b"fish", "image/jpeg", 1, 1, person.id, id="ph1")
        line = PageEntry("member", now, SECRET, client=f"browser-{SECRET}")
        tx.pages.write(person.id, [line], [PageFile("file1", f"{SECRET}.jpg", "image/jpeg", SECRET.encode())])
        tx.journal.lock(["fishroom:r1"])
        told = NewEntry(Noted("t1", fish="F4"), now.date(), now, person.id, source=Source("telegram:chat7", "1"))
        tx.journal.append("fishroom:r1", [told, NewEntry(Holding("F4", "1"), now.date(), now, person.id)], {"t1": SECRET})
    return person
