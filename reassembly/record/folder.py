"""The data folder: its database, and the lock that everyone who writes or closes it takes."""

import fcntl
import os
import sqlite3
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from reassembly.record import durable, reserve, schema, witness
from reassembly.record.finding import Progress
from reassembly.record.trouble import HELD, Damage, Held, Trouble, of_database, of_file


def usual() -> Path:
    """Where the data folder is when nobody names another."""
    from platformdirs import user_data_path

    return user_data_path("reassembly")


_NOTHING = (0, 0)


class Folder:
    """One open data folder. Whatever goes wrong is raised as Trouble, and the next call tries again.

    `patience` is how many seconds to wait for another program that is writing, and `refused` hears in which words that
    was told where it took longer; `whichever` takes a journal that is not
    the one that was last written here; `progress` is told how far the search tables are where an update of the program
    makes them anew.
    """

    def __init__(
        self,
        path: Path,
        patience: float = 5.0,
        *,
        whichever: bool = False,
        progress: Progress = lambda _done, _all: None,
    ) -> None:
        self.path = path
        self.database = path / "shop.db"
        self._name = str(self.database)
        self.patience = patience
        self.refused: Callable[[str], object] = lambda _words: None
        self._whichever = whichever
        self._progress = progress
        self.openings = 0
        self._connection: sqlite3.Connection | None = None
        self._file = _NOTHING
        self._lock: int | None = None
        self._held = 0
        self._words_to_wipe = False
        self._writable = False
        self._room_until = 0.0

    @contextmanager
    def reading(self) -> Iterator[sqlite3.Connection]:
        """The connection, for reading."""
        try:
            yield self._connection if self._connection and self._file == self._identity() else self._open()
        except UnicodeDecodeError as error:
            raise self._told(Damage(str(error))) from error
        except (sqlite3.Error, OSError) as error:
            raise self._told(error) from error

    @contextmanager
    def writing(self) -> Iterator[sqlite3.Connection]:
        """One transaction: kept and on the disk when this returns, or as if it had never begun."""
        try:
            self._take_lock()
            try:
                there = self._identity()
                if there != _NOTHING and time.monotonic() >= self._room_until:
                    self._room_until = reserve.look(self.path)
                sound = self._writable and self._file == there
                connection = self._connection if self._connection and sound else self._open()
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
            finally:
                self._leave_lock()
        except UnicodeDecodeError as error:
            raise self._told(Damage(str(error))) from error
        except (sqlite3.Error, OSError) as error:
            raise self._told(error) from error

    @property
    def warning(self) -> str:
        """That the disk is full, though all that was said is kept; nothing while there is room."""
        try:
            return reserve.warning(self.path)
        except OSError as error:
            raise self._told(error) from error

    def wait_at_most(self, seconds: float) -> None:
        """How long to be patient from now on."""
        self.patience = seconds
        if self._connection is not None:
            self._connection.execute(f"pragma busy_timeout = {seconds * 1000:.0f}")

    def held_elsewhere(self) -> bool:
        """Whether another program writes just now: the lock is asked for, and not waited for."""
        patience, refused = self.patience, self.refused
        self.wait_at_most(0)
        self.refused = lambda _words: None
        try:
            with self.writing():
                return False
        except Held:
            return True
        finally:
            self.wait_at_most(patience)
            self.refused = refused

    def wipe(self) -> None:
        """What the transaction deletes shall leave the write-ahead log too, once it is kept."""
        self._words_to_wipe = True

    def close(self) -> None:
        """Close under the lock: the last to close moves the write-ahead log into the database."""
        try:
            if self._connection is not None:
                self._take_lock()
                try:
                    self._drop()
                finally:
                    self._leave_lock()
        except (sqlite3.Error, OSError) as error:
            raise self._told(error) from error
        if self._lock is not None:
            os.close(self._lock)
            self._lock = None

    def _identity(self) -> tuple[int, int]:
        """Which file lies there now: another one where the disk or the file was exchanged."""
        try:
            found = os.stat(self._name)  # noqa: PTH116 - twice as fast, once for every entry
        except FileNotFoundError:
            return _NOTHING
        return found.st_dev, found.st_ino

    def _open(self) -> sqlite3.Connection:
        """A new connection, made under the lock."""
        self._take_lock()
        try:
            self._drop()
            if self.openings and not self.database.exists():
                raise Trouble(f"{self.database} is gone: put it back, then say it again.")
            if not self.database.exists():
                self._refuse_another(None)
            self._room_until = 0.0
            reserve.let_go(self.path)
            connection = sqlite3.connect(self.database, timeout=self.patience, isolation_level=None)
            try:
                if not schema.is_current(connection):
                    self._refuse_another(connection)
                    connection.execute("pragma journal_mode = wal")
                    connection.execute("begin immediate")
                    schema.migrate(connection, self._progress)
                    connection.execute("commit")
                schema.set_pragmas(connection)
            except BaseException:
                connection.close()
                raise
        finally:
            self._leave_lock()
        self._connection, self._file = connection, self._identity()
        # SQLite opens a file it may not write for reading only, and then stays at that.
        self._writable = os.access(self._name, os.W_OK)
        self.openings += 1
        return connection

    def _refuse_another(self, connection: sqlite3.Connection | None) -> None:
        another = self.another(connection)
        if another:
            raise Trouble(another)

    def another(self, connection: sqlite3.Connection | None) -> str:
        """That the journal here is not the one last written here, or a copy, in words; `` where it is neither."""
        if self._whichever:
            return ""
        return witness.displaced(self.path, connection) or (witness.copied(self.path, connection) if connection else "")

    def _drop(self) -> None:
        if self._connection is not None:
            connection, self._connection = self._connection, None
            connection.close()

    def _told(self, error: sqlite3.Error | OSError) -> Exception:
        """An error of disk or database as one sentence."""
        self._room_until = 0.0
        if isinstance(error, OSError):
            return of_file(error, self.path)
        told = of_database(error, self.database)
        if isinstance(told, Held):
            self.refused(str(told))
        return told or error

    def _take_lock(self) -> None:
        """Wait for it, however often this process has taken it already."""
        if self._held:
            self._held += 1
            return
        if self._lock is not None and _NOTHING != self._file != self._identity() != _NOTHING:
            os.close(self._lock)  # of the disk or folder that lay here before
            self._lock = None
        if self._lock is None:
            durable.make(self.path)
            self._lock = os.open(self.path / "shop.lock", os.O_RDWR | os.O_CREAT, 0o600)
        patient_until = time.monotonic() + self.patience
        while True:
            try:
                fcntl.flock(self._lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
            except BlockingIOError:
                if time.monotonic() > patient_until:
                    words = HELD.format(path=self.path)
                    self.refused(words)
                    raise Held(words) from None
                time.sleep(0.002)
            else:
                self._held = 1
                return

    def _leave_lock(self) -> None:
        if self._held:
            self._held -= 1
            if not self._held and self._lock is not None:
                fcntl.flock(self._lock, fcntl.LOCK_UN)
