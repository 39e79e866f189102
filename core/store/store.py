"""The store: opened by an address, used in transactions that are kept whole or not at all."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager, nullcontext
from typing import TypeVar

from sqlalchemy.exc import DBAPIError

from core.store.engine import address, engines
from core.store.schema import prepare
from core.store.transaction import Transaction
from core.store.trouble import Busy, trouble_of

_Result = TypeVar("_Result")


class Store:
    """A club's memory on disk. Safe to use from many threads; `open` it once per process."""

    def __init__(self, url: str) -> None:
        self.url = address(url)
        self.writer, self.reader = engines(self.url)
        self._turn: AbstractContextManager[object] = threading.Lock() if self.dialect == "sqlite" else nullcontext()
        self._thread = threading.local()

    @classmethod
    def open(cls, url: str) -> Store:
        """Opens the database at `sqlite:///PATH` or `postgresql://USER@HOST/DATABASE`, makes it or migrates it where needed.

        Raises a `StoreTrouble`: `UnusableAddress`, `Unreachable`, `Damaged`, `NewerSchema`, `ReadOnly` …
        """
        store = cls(url)
        try:
            with _troubles():
                prepare(store.writer)
        except BaseException:
            store.close()
            raise
        return store

    @property
    def dialect(self) -> str:
        """ "sqlite" or "postgresql"."""
        return self.writer.dialect.name

    @contextmanager
    def write(self) -> Iterator[Transaction]:
        """One transaction that writes: kept at the end, taken back when anything is raised.

        On SQLite it holds the only write lock from its first moment; threads of this process take turns. One within another
        of the same thread would wait for itself, and raises `RuntimeError`.
        """
        if getattr(self._thread, "writing", False):
            raise RuntimeError("a transaction that writes within another")
        with _troubles(), self._turn, self.writer.begin() as connection:
            self._thread.writing = True
            try:
                transaction = Transaction(connection)
                yield transaction
                transaction.finish()
            finally:
                self._thread.writing = False

    @contextmanager
    def read(self) -> Iterator[Transaction]:
        """One transaction that only reads, and sees the database as it was at its first look."""
        with _troubles(), self.reader.begin() as connection:
            yield Transaction(connection)

    def run(self, work: Callable[[Transaction], _Result], tries: int = 5) -> _Result:
        """Does `work` in a transaction that writes, again where the database was `Busy`; `work` may be called several times."""
        for _ in range(tries - 1):
            try:
                with self.write() as transaction:
                    return work(transaction)
            except Busy:
                continue
        with self.write() as transaction:
            return work(transaction)

    def close(self) -> None:
        """Lets go of every connection."""
        self.reader.dispose()
        self.writer.dispose()


@contextmanager
def _troubles() -> Iterator[None]:
    """Turns the database's errors into the store's troubles."""
    try:
        yield
    except DBAPIError as error:
        raise trouble_of(error) from error
