"""One transaction, with the store's subjects as its attributes."""

from __future__ import annotations

from functools import cached_property

from sqlalchemy import Connection

from core.store.buttons import Buttons
from core.store.clubs import Clubs
from core.store.deliveries import Deliveries
from core.store.drafts import Drafts, Kept, Memory
from core.store.holds import Holds
from core.store.inbox import Inbox
from core.store.invitations import Invitations
from core.store.journal import Journal
from core.store.leaving import Leaving
from core.store.mornings import Mornings
from core.store.page import Pages
from core.store.people import People
from core.store.photos import Photos
from core.store.roster import Edition, Rosters
from core.store.sessions import Sessions
from core.store.snapshots import Snapshots
from core.store.texts import Texts


class Transaction:
    """What is read and written together. Subjects are made when they are first asked for."""

    def __init__(self, connection: Connection) -> None:
        self.connection = connection

    def finish(self) -> None:
        """Writes what was held back to be written together; called once, before the transaction is kept."""
        if "buttons" in self.__dict__:
            self.buttons.finish()

    @cached_property
    def journal(self) -> Journal:
        """Numbered entries per stream."""
        return Journal(self.connection, self.texts)

    @cached_property
    def texts(self) -> Texts:
        """Free texts beside the journal."""
        return Texts(self.connection)

    @cached_property
    def people(self) -> People:
        """Persons and how they are known."""
        return People(self.connection, self.edition)

    @cached_property
    def clubs(self) -> Clubs:
        """Clubs, members, fishrooms, keepers, groups."""
        return Clubs(self.connection, self.edition)

    @cached_property
    def edition(self) -> Edition:
        """The number of the present state of people and clubs."""
        return Edition(self.connection)

    @cached_property
    def rosters(self) -> Rosters:
        """Clubs' people and fishrooms, each in one piece."""
        return Rosters(self.connection)

    @cached_property
    def invitations(self) -> Invitations:
        """One-time invitations."""
        return Invitations(self.connection)

    @cached_property
    def sessions(self) -> Sessions:
        """Who is signed in on the page."""
        return Sessions(self.connection)

    @cached_property
    def pages(self) -> Pages:
        """Members' logs on the page."""
        return Pages(self.connection)

    @cached_property
    def inbox(self) -> Inbox:
        """What came in."""
        return Inbox(self.connection)

    @cached_property
    def holds(self) -> Holds:
        """Which worker is at which chat."""
        return Holds(self.connection)

    @cached_property
    def deliveries(self) -> Deliveries:
        """What is sent by itself."""
        return Deliveries(self.connection)

    @cached_property
    def buttons(self) -> Buttons:
        """What buttons do."""
        return Buttons(self.connection)

    @cached_property
    def drafts(self) -> Drafts:
        """Open asks."""
        return Drafts(self.connection)

    @cached_property
    def memory(self) -> Memory:
        """What is remembered of a person in a chat."""
        return Memory(self.connection)

    @cached_property
    def kept(self) -> Kept:
        """Single values of the installation."""
        return Kept(self.connection)

    @cached_property
    def mornings(self) -> Mornings:
        """Whose digest is next."""
        return Mornings(self.connection)

    @cached_property
    def photos(self) -> Photos:
        """Photos."""
        return Photos(self.connection)

    @cached_property
    def leaving(self) -> Leaving:
        """Forgetting a person, moving a chat."""
        return Leaving(self.connection, self.edition)

    @cached_property
    def snapshots(self) -> Snapshots:
        """States of fishrooms beside their journals."""
        return Snapshots(self.connection)
