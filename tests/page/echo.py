"""A conversation small enough to see through: it repeats what it hears, once for every message, and counts what it did."""

from __future__ import annotations

from dataclasses import dataclass

from bot.clock import Clock
from bot.conversation.message import Attachment, Button, Incoming, Origin, Other, Picture, Press, Reply, Text
from bot.conversation.plain import to_plain
from core.store import Store
from core.store.invitations import Invitation

PNG = bytes.fromhex(
    "89504e470d0a1a0a0000000d4948445200000001000000010804000000b51c0c020000000b4944415478da6364f80f00010501012718e3660000000049454e44ae426082"
)
"""One grey pixel (PNG specification, third edition: signature, IHDR, IDAT, IEND)."""


@dataclass
class Echo:
    """Keeps what it did in the store, so that it knows a message again after a restart."""

    store: Store
    clock: Clock

    def hear(self, incoming: Incoming) -> list[Reply]:
        origin = incoming.origin
        told = self._told(incoming)
        if told == "crash":
            raise RuntimeError("told to crash")
        with self.store.write() as tx:
            new = tx.inbox.keep("echo", f"{origin.chat}:{origin.message}", origin.chat, {"told": told}, self.clock.now())
            if new and told.startswith("tell "):
                self._tell(tx, origin, told)
        return self._replies(incoming, told)

    def arrive(self, door: str, external_id: str, chat: str, shown_name: str, payload: str, group: bool) -> list[Reply]:
        with self.store.write() as tx:
            opened = tx.invitations.open(payload, f"{door}:{external_id}", self.clock.now())
            if not isinstance(opened, Invitation):
                return [Reply(f"That invitation cannot be used: {type(opened).__name__}.")]
            person = tx.people.add(shown_name or opened.name or "New", self.clock.now())
            tx.people.identify(door, external_id, person.id, chat)
            tx.clubs.join(opened.club, person.id, opened.roles, self.clock.now())
            tx.invitations.use(opened, person.id, self.clock.now())
        return [Reply(f"Welcome, {person.name}.")]

    def person_of(self, door: str, external_id: str) -> str | None:
        with self.store.read() as tx:
            found = tx.people.by_identity(door, external_id)
        return found.id if found else None

    def due(self) -> None:
        """Nothing falls due here."""

    def effects(self) -> list[str]:
        """What was told, in the order it took effect."""
        with self.store.read() as tx:
            return [str(each.payload["told"]) for each in tx.inbox.pending("echo")]

    def _told(self, incoming: Incoming) -> str:
        match incoming:
            case Text(text=text):
                return text
            case Press(token=token):
                return f"pressed {token}"
            case Picture(content=content, caption=caption):
                return f"{caption} ({len(content)} bytes)"
            case Other(what=what):
                return what

    def _tell(self, tx: object, origin: Origin, told: str) -> None:
        _, name, words = told.split(" ", 2)
        reply = to_plain(Reply(words))
        now = self.clock.now()
        key = f"{origin.message}:{name}"
        tx.deliveries.put(key, door="page", chat=name, kind="notice", payload=reply, due_at=now, now=now, person=name)  # type: ignore[attr-defined]

    def _replies(self, incoming: Incoming, told: str) -> list[Reply]:
        where = f" at {incoming.origin.here}" if incoming.origin.here else ""
        if isinstance(incoming, Press):
            return [Reply(f"Done: {told}.", replaces=True)]
        if told == "papers":
            papers = (Attachment("growth.png", "image/png", PNG), Attachment("pickups.ics", "text/calendar", b"BEGIN:VCALENDAR"))
            return [Reply("Here they are.", attachments=papers)]
        return [
            Reply(
                f"Heard: {told}{where}.",
                buttons=((Button("Take back", "1aTakeBack0000001"), Button("More", "1aMore00000000001")),),
            )
        ]
