"""Photos, kept by us, so that they survive any platform and go into backups. They come in already made safe."""

from __future__ import annotations

import hashlib
import secrets
from dataclasses import dataclass

from sqlalchemy import select

from core.events import PersonId
from core.store.subject import Subject
from core.store.tables import photo_files, photos


@dataclass(frozen=True, slots=True)
class Photo:
    """A picture: its file as it is sent, its size in pixels, who sent it."""

    id: str
    media_type: str
    width: int
    height: int
    sha256: str
    by: PersonId
    content: bytes


class Photos(Subject):
    """Photos within a transaction."""

    def put(self, content: bytes, media_type: str, width: int, height: int, by: PersonId, *, id: str | None = None) -> str:  # noqa: A002
        """Keeps a picture and gives its id; the same person's same picture is kept once."""
        digest = hashlib.sha256(content).hexdigest()
        same = select(photos.c.id).where(photos.c.sha256 == digest, photos.c.by_person == by).limit(1)
        if id is None and (there := self.connection.execute(same).scalar_one_or_none()) is not None:
            return str(there)
        made = id or secrets.token_hex(8)
        row = {"id": made, "media_type": media_type, "width": width, "height": height, "sha256": digest}
        self._add_new(photos, row | {"by_person": by, "content": content})
        return made

    def get(self, photo: str) -> Photo | None:
        """The picture, or None."""
        row = self.connection.execute(select(photos).where(photos.c.id == photo)).one_or_none()
        return Photo(row.id, row.media_type, row.width, row.height, row.sha256, row.by_person, row.content) if row else None

    def of(self, person: PersonId) -> list[str]:
        """The ids of the pictures the person sent."""
        query = select(photos.c.id).where(photos.c.by_person == person).order_by(photos.c.id)
        return list(self.connection.execute(query).scalars())

    def set_file(self, photo: str, door: str, file: str) -> None:
        """The platform keeps the picture under this name of its own, and can send it from there."""
        self._keep(photo_files, {"photo": photo, "door": door, "file": file})

    def file(self, photo: str, door: str) -> str | None:
        """The platform's own name of the picture, or None."""
        here = (photo_files.c.photo == photo) & (photo_files.c.door == door)
        return self.connection.execute(select(photo_files.c.file).where(here)).scalar_one_or_none()
