"""The data folder: its database, and the lock that everyone who writes or closes it takes."""

import fcntl
import os
import sqlite3
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from reassembly.record import schema
from reassembly.record.trouble import Trouble, is_passing, of_database, of_file


def usual() -> Path:
    """Where the data folder is when nobody names another."""
    from platformdirs import user_data_path

    return user_data_path("reassembly")


class Folder:
    """One open data folder. Whatever goes wrong is raised as Trouble, and the next call tries again.

    `patience` is how many seconds to wait for another program that is writing.
    """

    def __init__(self, path: Path, patience: float = 5.0) -> None:
        self.path = path
        self.database = path / "shop.db"
        self.patience = patience
        self.openings = 0
        self._connection: sqlite3.Connection | None = None
        self._file = (0, 0)
        self._lock: int | None = None
        self._words_to_wipe = False
        self._suspect = False

    @contextmanager
    def reading(self) -> Iterator[sqlite3.Connection]:
        """The connection, for reading."""
        with self._told():
            if self._is_open():
                yield self._open()
                return
            with self._locked():
                connection = self._open()
            yield connection

    @contextmanager
    def writing(self) -> Iterator[sqlite3.Connection]:
        """One transaction: kept and on the disk when this returns, or as if it had never begun."""
        with self._told(), self._locked():
            connection = self._open()
            connection.execute("begin immediate")
            try:
                yield connection
                connection.execute("commit")
            except BaseException:
                if connection.in_transaction:
                    connection.execute("rollback")
                raise
            if self._words_to_wipe:
                (busy, *_) = connection.execute("pragma wal_checkpoint(truncate)").fetchone()
                self._words_to_wipe = bool(busy)

    def wipe(self) -> None:
        """What the transaction deletes shall leave the write-ahead log too, once it is kept."""
        self._words_to_wipe = True

    def close(self) -> None:
        """Close under the lock: the last to close moves the write-ahead log into the database."""
        if self._connection is not None:
            with self._told(), self._locked():
                self._drop()
        if self._lock is not None:
            os.close(self._lock)
            self._lock = None

    def _is_open(self) -> bool:
        return self._connection is not None and not self._suspect and self._file == self._identity()

    def _identity(self) -> tuple[int, int]:
        try:
            found = os.stat(self.database)  # noqa: PTH116 - twice as fast, once for every entry
        except FileNotFoundError:
            return (0, 0)
        return found.st_dev, found.st_ino

    def _open(self) -> sqlite3.Connection:
        """The connection, made anew where there is none or the file under it was exchanged. Under the lock."""
        if self._connection is not None:
            if self._is_open():
                return self._connection
            self._drop()
        if self.openings and not self.database.exists():
            raise Trouble(f"{self.database} is gone: put it back, then say it again.")
        connection = sqlite3.connect(self.database, timeout=self.patience, isolation_level=None)
        try:
            if not schema.is_current(connection):
                connection.execute("pragma journal_mode = wal")
                connection.execute("begin immediate")
                schema.migrate(connection)
                connection.execute("commit")
            schema.set_pragmas(connection)
        except BaseException:
            connection.close()
            raise
        self._connection, self._file, self._suspect = connection, self._identity(), False
        self.openings += 1
        return connection

    def _drop(self) -> None:
        if self._connection is not None:
            connection, self._connection = self._connection, None
            connection.close()

    @contextmanager
    def _told(self) -> Iterator[None]:
        """Errors of disk and database as one sentence."""
        try:
            yield
        except sqlite3.Error as error:
            self._suspect |= not is_passing(error)
            trouble = of_database(error, self.database)
            if trouble is None:
                raise
            raise trouble from error
        except OSError as error:
            raise of_file(error, self.path) from error

    @contextmanager
    def _locked(self) -> Iterator[None]:
        if self._lock is None:
            self.path.mkdir(mode=0o700, parents=True, exist_ok=True)
            self._lock = os.open(self.path / "shop.lock", os.O_RDWR | os.O_CREAT, 0o600)
        patient_until = time.monotonic() + self.patience
        while True:
            try:
                fcntl.flock(self._lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
                break
            except BlockingIOError:
                if time.monotonic() > patient_until:
                    raise Trouble(f"Another program holds {self.path}: close it or wait, then say it again.") from None
                time.sleep(0.002)
        try:
            yield
        finally:
            fcntl.flock(self._lock, fcntl.LOCK_UN)
