"""Tables and triggers, as migrations. An entry is never transformed by one."""

import sqlite3

from reassembly.record import finding
from reassembly.record.trouble import Trouble

APPLICATION = 0x52454153  # "REAS": tells our file from another program's

A_COPY = 1
"""`user_version` of a copy, until it is brought back: the journal that carries its bench name is another file."""

PRAGMAS = {
    "journal_mode": "wal",
    "synchronous": 2,
    "foreign_keys": 1,
    "recursive_triggers": 1,  # without it REPLACE deletes behind the delete trigger's back
    "trusted_schema": 0,
    "secure_delete": 1,  # a customer's words are overwritten, not only unlinked
}

_JOURNAL = (
    f"pragma application_id = {APPLICATION}",
    """
    create table entry (
        bench text not null,
        number integer not null check (number >= 1),
        hlc integer not null check (hlc >= 1),
        job text not null,
        kind text not null,
        body text not null,
        hash text not null check (length(hash) = 64),
        primary key (bench, number)
    ) strict, without rowid
    """,
    "create index entry_of_job on entry (job, hlc, bench, number)",
    """
    create trigger entry_is_never_changed before update on entry
    begin select raise(abort, 'an entry is never changed'); end
    """,
    """
    create trigger entry_is_never_deleted before delete on entry
    begin select raise(abort, 'an entry is never deleted'); end
    """,
    """
    create trigger entry_follows_the_last before insert on entry
    begin
        select case
            when hash = new.hash and body = new.body then raise(ignore)
            else raise(abort, 'fork: this number is taken by another entry')
        end from entry where bench = new.bench and number = new.number;
        select case
            when new.number > 1 and before.number is null then raise(abort, 'gap: the entry before is missing')
            when not instr(new.body, '"previous":"' || coalesce(before.hash, '') || '"')
                then raise(abort, 'fork: the entry before is another one')
            when before.hlc >= new.hlc then raise(abort, 'the clock went back')
        end from (select new.number - 1 as last)
            left join entry as before on before.bench = new.bench and before.number = last;
    end
    """,
    """
    create table detail (
        bench text not null,
        number integer not null,
        salt text not null,
        body text not null,
        primary key (bench, number),
        foreign key (bench, number) references entry (bench, number)
    ) strict, without rowid
    """,
    # The last row is this bench's name; a restored copy takes a new one.
    "create table own_bench (since integer primary key, bench text not null unique) strict",
    # Serial numbers given out, said or not: none is given twice.
    "create table allotted (what text primary key, last integer not null) strict, without rowid",
    """
    create trigger allotted_only_grows before update on allotted
    when new.last <= old.last or new.what <> old.what
    begin select raise(abort, 'a number is never given out twice'); end
    """,
    """
    create trigger allotted_is_never_deleted before delete on allotted
    begin select raise(abort, 'a number is never given out twice'); end
    """,
)

_FINDING = (
    """
    create table found_job (
        id integer primary key,
        job text not null unique,
        hlc integer not null,
        opened text not null,
        vehicle text not null,
        registration text not null,
        vin text not null,
        complaint text not null,
        shop_order text not null,
        earlier text not null,
        closed integer not null,
        customer_bench text,
        customer_number integer
    ) strict
    """,
    "create index found_job_open on found_job (closed, hlc)",
    "create index found_job_newest on found_job (hlc)",
    """
    create table found_part (
        job text not null, bench text not null, number integer not null,
        part text not null, name text not null, folded text not null,
        primary key (job, bench, number)
    ) strict, without rowid
    """,
    "create index found_part_name on found_part (folded)",
    """
    create table found_code (
        job text not null, code text not null, bench text not null, number integer not null,
        hlc integer not null, what text not null, name text not null,
        primary key (job, code, bench, number)
    ) strict, without rowid
    """,
    "create index found_code_code on found_code (code)",
    "create virtual table found_text using fts5 (keys, words, tokenize = 'trigram')",
)

_RECALL = (
    "alter table found_part add column called text not null default ''",
    "alter table found_part add column hlc integer not null default 0",
    """
    create table found_use (
        what text not null, key text not null, hlc integer not null, bench text not null, number integer not null,
        job text not null, time text not null, doubt text not null, who text not null, typed text not null,
        did text not null, part text not null, about text not null, position integer, value text not null,
        wrench text not null, setting text not null, part_number text not null, batch text not null,
        primary key (what, key, hlc, bench, number)
    ) strict, without rowid
    """,
)

_COME_BACK = ("create index found_job_earlier on found_job (earlier) where earlier <> ''",)

_PHOTOS = (
    """
    create table found_photo (
        job text not null, bench text not null, number integer not null, source text not null,
        primary key (job, bench, number)
    ) strict, without rowid
    """,
    "create index found_photo_source on found_photo (source)",
)

# Each spelling of a part's name and how often it was said: what is offered while a name is typed does not take longer
# the longer the record is. By triggers, so that it cannot differ from the parts that are found.
_NAMES = (
    """
    create table found_name (
        folded text not null, name text not null, times integer not null,
        primary key (folded, name)
    ) strict, without rowid
    """,
    "insert into found_name select folded, name, count(*) from found_part group by folded, name",
    """
    create trigger found_part_is_named after insert on found_part
    begin
        insert into found_name values (new.folded, new.name, 1)
            on conflict (folded, name) do update set times = times + 1;
    end
    """,
    """
    create trigger found_part_is_named_no_more after delete on found_part
    begin
        update found_name set times = times - 1 where folded = old.folded and name = old.name;
        delete from found_name where folded = old.folded and name = old.name and times = 0;
    end
    """,
    "drop index found_part_name",
)

STEPS = {
    "journal": _JOURNAL,
    "finding": _FINDING,
    "recall": _RECALL,
    "come-back": _COME_BACK,
    "photos": _PHOTOS,
    "names": _NAMES,
}
"""Every step, oldest first: added to, never changed."""


def set_pragmas(connection: sqlite3.Connection) -> None:
    """Set them and read them back: a connection that would lose or leak is not used."""
    for name, value in PRAGMAS.items():
        connection.execute(f"pragma {name} = {value}")
        (found,) = connection.execute(f"pragma {name}").fetchone()
        if found != value:
            raise Trouble(f"The journal cannot be kept safely here: SQLite has {name} at {found}, not at {value}.")


def is_current(connection: sqlite3.Connection) -> bool:
    """Whether every step is in the file. Raises Trouble for a file that is not ours or of a newer program."""
    (tables,) = connection.execute("select count(*) from sqlite_master").fetchone()
    if not tables:
        return False
    (application,) = connection.execute("pragma application_id").fetchone()
    if application != APPLICATION:
        raise Trouble("shop.db belongs to another program: move it away, or name another data folder.")
    rows = connection.execute("select name from _sqlite_migrations where migration_set = 'reassembly'")
    applied = {name for (name,) in rows}
    if not applied <= STEPS.keys():
        raise Trouble("The journal was written by a newer version of this program: update the program here.")
    return applied == STEPS.keys()


def migrate(connection: sqlite3.Connection, progress: finding.Progress = lambda _done, _all: None) -> None:
    """Take the steps that are missing; the caller holds one write transaction around all of them."""
    from sqlite_utils import Database, Migrations  # 0.2 s, and needed only when a step is missing

    migrations = Migrations("reassembly")

    def step(statements: tuple[str, ...]) -> None:
        for statement in statements:
            connection.execute(statement)

    for name, statements in STEPS.items():
        migrations(name=name)(lambda _, statements=statements: step(statements))
    before = {name for (name,) in connection.execute("select name from sqlite_master")}
    migrations.apply(Database(connection, execute_plugins=False))
    if "found_part" in before and "found_use" not in before:
        finding.rebuild(connection, progress)  # what is found now was not looked for when it was kept
