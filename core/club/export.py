"""Everything a person or a fishroom owns, in open forms, in one archive: tables as CSV, the rest as JSON."""

from __future__ import annotations

import json
from collections.abc import Mapping
from io import BytesIO
from zipfile import ZIP_DEFLATED, ZipFile

from core.club.visit import Visit
from core.codec import encode_entry
from core.events import PersonId
from core.fishroom.state import Fishroom
from core.planning.tables import csv_tables


def archive(files: Mapping[str, bytes]) -> bytes:
    """The files in one zip archive."""
    out = BytesIO()
    with ZipFile(out, "w", ZIP_DEFLATED) as packed:
        for name, content in files.items():
            packed.writestr(name, content)
    return out.getvalue()


def tables_of(room: Fishroom, names: Mapping[str, str], texts: Mapping[str, str]) -> bytes:
    """Everything of a fishroom as CSV tables."""
    return archive({name: text.encode("utf-8-sig") for name, text in csv_tables(room, names, texts).items()})


TOLD = frozenset({"deliveries", "page_entries"})
"""Left out: what the bot said to the person can name others and how they are reached."""


def everything_of(visit: Visit, person_id: PersonId) -> bytes:
    """All that is kept of a person: who they are, their fishrooms' tables and journals, their own texts, reservations and photos."""
    person = visit.person(person_id)
    about = {
        "name": person.name,
        "contact": person.contact,
        "joined": person.joined.isoformat(),
        "zone": person.zone,
        "units": person.units,
        "date_order": person.date_order,
        "clubs": [{"club": club.name, "roles": sorted(roles)} for club, roles in visit.tx.clubs.of(person_id)],
        "known_at": [{"door": one.door, "as": one.external} for one in visit.tx.people.identities(person_id)],
    }
    mine = visit.tx.texts.of(person_id)
    kept = {table: rows for table, rows in visit.tx.leaving.belongings(person_id).items() if table not in TOLD}
    files = {"person.json": _json(about), "texts.json": _json(mine), "everything-kept.json": _json(kept)}
    for row in visit.tx.clubs.rooms_of(person_id):
        files |= _of_room(visit, row.id)
    files["reservations.json"] = _json(_reservations(visit, person_id))
    for photo in visit.tx.photos.of(person_id):
        found = visit.tx.photos.get(photo)
        files[f"photos/{photo}.jpg"] = found.content
    return archive(files)


def _of_room(visit: Visit, room_id: str) -> dict[str, bytes]:
    room = visit.room(room_id)
    clubs = visit.tx.clubs.clubs_of_room(room_id)
    names = {person: name for club in clubs for person, name in visit.names(club).items()}
    texts = visit.tx.texts.get_all([note.text for note in room.notes if note.text])
    entries = visit.tx.journal.entries(f"fishroom:{room_id}")
    files = {f"{room_id}/{name}": text.encode("utf-8-sig") for name, text in csv_tables(room, names, texts).items()}
    return files | {f"{room_id}/journal.json": _json([encode_entry(entry) for entry in entries])}


def _reservations(visit: Visit, person_id: PersonId) -> list[dict[str, object]]:
    """The person's own, wherever they stand; nothing of anybody else."""
    found = []
    for club, _ in visit.tx.clubs.of(person_id):
        for room in visit.rooms_of_club(club.id):
            for one in room.reservations.values():
                if one.member == person_id:
                    found.append({
                        "number": one.number,
                        "club": club.name,
                        "batch": one.batch,
                        "count": one.count,
                        "status": one.status,
                        "pickup": one.pickup.isoformat() if one.pickup else None,
                        "deposit": str(one.deposit),
                    })
    return found


def _json(value: object) -> bytes:
    return json.dumps(value, ensure_ascii=False, indent=1, default=str).encode()
