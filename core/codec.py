"""How an event is written down as plain JSON, and read back: the one place that knows both forms.

An event becomes an object with its `kind` (the class's name in snake case) and the fields that are not at their default; days,
times of day, moments and money are text. When the shape of a kind changes, the old shape gets an upgrade in `UPGRADES`, and what
was written long ago is read as if it had been written today. The journal itself is never rewritten.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import MISSING, fields
from datetime import date, datetime, time
from decimal import Decimal
from types import NoneType
from typing import Any, get_args, get_origin, get_type_hints

from core import events
from core.events import Entry, Event, Source

Plain = dict[str, Any]
"""What JSON can hold: texts, numbers, truth values, lists and objects of them."""
Upgrade = Callable[[Plain], Plain]
"""Takes an event's fields (with `kind`, without `shape`) in one shape and gives them in the next."""

UPGRADES: dict[str, tuple[Upgrade, ...]] = {}
"""By kind, the steps from its first shape to today's. A kind's present shape number is the number of its steps.

To change a shape: change the class, append a step here, and add the old form to the codec's tests. A step may also give another
`kind` (a kind that was renamed keeps its old name as a key here).
"""


class UnreadableEventError(Exception):
    """The journal holds an entry that this version of Frywire cannot read. Install the version that wrote it, or a later one."""


def kind_of(event: Event) -> str:
    """The event's kind: `StillHolding` is "still_holding"."""
    return _KIND[type(event)]


def encode(event: Event) -> Plain:
    """The event as plain JSON: its `kind`, and every field that differs from its default."""
    kind = _KIND[type(event)]
    plain: Plain = {"kind": kind}
    for name, default, write in _WRITERS[type(event)]:
        value = getattr(event, name)
        if value != default:
            plain[name] = write(value) if write else value
    if steps := UPGRADES.get(kind):
        plain["shape"] = len(steps)
    return plain


def decode(plain: Mapping[str, Any]) -> Event:
    """The event that was written as `plain`, in today's shape.

    Raises `UnreadableEventError` for an unknown kind or field, or a value that its field cannot hold.
    """
    given = dict(plain)
    try:
        kind = given.pop("kind")
        if kind in UPGRADES or "shape" in given:
            kind, given = _upgraded(kind, given)
        make, readers = _READERS[kind]
        for name, read in readers:
            value = given.get(name)
            if value is not None:
                given[name] = read(value)
        return make(**given)
    except (KeyError, TypeError, ValueError, ArithmeticError) as trouble:
        raise UnreadableEventError(f"{plain!r}: {trouble}") from trouble


def encode_entry(entry: Entry) -> Plain:
    """A journal entry as plain JSON, for exports and backups: its envelope, with the event under `event`."""
    plain: Plain = {
        "stream": entry.stream,
        "number": entry.number,
        "event": encode(entry.event),
        "on": entry.on.isoformat(),
        "told": entry.told.isoformat(),
        "by": entry.by,
        "order": entry.order,
    }
    if entry.at is not None:
        plain["at"] = entry.at.isoformat()
    if entry.source is not None:
        plain["source"] = [entry.source.door, entry.source.message, entry.source.revision]
    return plain


def decode_entry(plain: Mapping[str, Any]) -> Entry:
    """The journal entry that was written as `plain`; raises `UnreadableEventError`."""
    try:
        source = plain.get("source")
        at = plain.get("at")
        return Entry(
            stream=plain["stream"],
            number=plain["number"],
            event=decode(plain["event"]),
            on=date.fromisoformat(plain["on"]),
            told=datetime.fromisoformat(plain["told"]),
            by=plain["by"],
            at=None if at is None else time.fromisoformat(at),
            source=None if source is None else Source(*source),
            order=plain["order"],
        )
    except (KeyError, TypeError, ValueError) as trouble:
        raise UnreadableEventError(f"{plain!r}: {trouble}") from trouble


def _upgraded(kind: str, given: Plain) -> tuple[str, Plain]:
    shape = given.pop("shape", 0)
    steps = UPGRADES.get(kind, ())
    if shape > len(steps):
        raise ValueError(f"shape {shape} of {kind} is newer than this program")
    for step in steps[shape:]:
        given = step({"kind": kind, **given})
        kind = given.pop("kind")
    return kind, given


# --- the forms, worked out once when this module is loaded -----------------------------------------------------------

Write = Callable[[Any], Any]
Read = Callable[[Any], Any]

_FORMS: dict[Any, tuple[Write, Read]] = {
    date: (date.isoformat, date.fromisoformat),
    datetime: (datetime.isoformat, datetime.fromisoformat),
    time: (time.isoformat, time.fromisoformat),
    Decimal: (str, Decimal),
    tuple: (list, tuple),
}
"""How the types that JSON lacks are written and read; every other field is written as it is."""


def _form(hint: Any) -> tuple[Write, Read] | None:
    """The form of a field's type, seen through "or None"."""
    choices = [choice for choice in get_args(hint) if choice is not NoneType] if NoneType in get_args(hint) else [hint]
    chosen = choices[0]
    return _FORMS.get(get_origin(chosen) or chosen)


def _snake(name: str) -> str:
    return re.sub(r"(?<!^)(?=[A-Z])", "_", name).lower()


def _fields_of(kind: type[Event]) -> list[tuple[str, Any, tuple[Write, Read] | None]]:
    hints = get_type_hints(kind)
    return [
        (field.name, _NEVER if field.default is MISSING else field.default, _form(hints[field.name])) for field in fields(kind)
    ]


_NEVER = object()
"""Stands for the default of a field that has none: no value equals it."""
KINDS: dict[str, type[Event]] = {
    _snake(name): kind
    for name, kind in vars(events).items()
    if isinstance(kind, type) and issubclass(kind, Event) and kind is not Event
}
"""Every kind of event, by its name in the journal."""
_KIND = {kind: name for name, kind in KINDS.items()}
_WRITERS = {kind: tuple((name, default, form and form[0]) for name, default, form in _fields_of(kind)) for kind in KINDS.values()}
_READERS = {name: (kind, tuple((field, form[1]) for field, _, form in _fields_of(kind) if form)) for name, kind in KINDS.items()}
