"""Everything that is kept: the journal, people, photos, messages in and out, and snapshots of what they add up to."""

from core.store.journal import NewEntry, ToldMessage
from core.store.store import Store
from core.store.transaction import Transaction
from core.store.trouble import (
    AlreadyTold,
    Busy,
    Damaged,
    DiskFailed,
    DiskFull,
    NewerSchema,
    NotEmpty,
    ReadOnly,
    StoreTrouble,
    Unreachable,
    Unreadable,
    UnsuitableArchive,
    UnusableAddress,
)

__all__ = [
    "AlreadyTold",
    "Busy",
    "Damaged",
    "DiskFailed",
    "DiskFull",
    "NewEntry",
    "NewerSchema",
    "NotEmpty",
    "ReadOnly",
    "Store",
    "StoreTrouble",
    "ToldMessage",
    "Transaction",
    "Unreachable",
    "Unreadable",
    "UnsuitableArchive",
    "UnusableAddress",
]
