"""The page in an archive of evidence that tells a stranger what it is and how to check it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reassembly.job.job import title
from reassembly.record.heads import grouped

if TYPE_CHECKING:
    from reassembly.record.gathering import Gathered

_PAGE = """\
EVIDENCE OF JOB {job}
{title}

Made {made} from the journal of the workshop.
{entries} entries of this job, said between {first} and {last}.

Seal of this archive: it was shown when the archive was made, and should have been written down
elsewhere then. The checking script shows it.
Digest of the journal at that moment: {digest}
Last entry of each bench then: {numbers}


WHAT IS IN HERE

record.pdf       the record of the job, to read
entries.jsonl    everything said of the job, struck out or not, one entry a line, byte for byte as
                 it was kept
customer.jsonl   {customer}
photos/          pictures, each named by the SHA-256 of its content{photos}
chain/           for each bench of the workshop one line for every entry it ever kept, of any job:
                 number, clock, SHA-256, SHA-256 of the entry before, and * where it is of this job
heads.json       the last entry of each bench, and what this archive is
SHA256SUMS       the SHA-256 of every file but itself
verify.py        the checking script


HOW TO CHECK IT

With Python 3.8 or later, on any machine, without a network:

    python3 -I -S verify.py
    python3 -I -S verify.py --paper "ABCD EFGH IJKL MNOP" --seal "ABCD EFGH IJKL MNOP"

--paper is what a printed record of the workshop ends with, such as the one the customer was given
at sign-off. Where several benches stand above it, add their numbers: "ABCD EFGH IJKL MNOP KD.40
NP.12". The script then says how many entries of this job are older than that paper, and that none
of them was changed since.

Whoever altered the archive could have altered the script. It is short and meant to be read; or do
without it:

    sha256sum -c SHA256SUMS                            every file is as it was listed
    sha256sum SHA256SUMS                               the seal is its first 80 bits, in base32
    sed -n 1p entries.jsonl | tr -d '\\n' | sha256sum   the hash of an entry, which stands in chain/
                                                       beside its number

A digest on paper is the first 80 bits, in base32, of the SHA-256 of the lines "bench number hash",
sorted by bench, each ended by a line feed; number and hash are those of the bench's last entry.


WHAT IT SHOWS

Each entry has in it the hash of the entry before. An entry that was edited, exchanged or taken out
of this archive does not fit the chain, and a chain that was rewritten or cut does not give the
digest on paper.

The times in the entries come from the clock of the workshop's machine; "clock_trusted" says whether
something kept it right. record.pdf, README.txt and verify.py are not in the chain: the list and the
seal hold them.


THAT NOTHING WAS LEFT OUT

The texts of other jobs are not in here. That none of the lines without * in chain/ belongs to this
job can only be checked with the whole journal. The workshop is bound by the hashes: it can show the
texts later, to you or to somebody you both trust, and cannot change them any more. It gives them
out with

    reassembly journal dump > all.jsonl

and the script checks every one of them, and that none of this job is missing here:

    python3 -I -S verify.py --journal /elsewhere/all.jsonl
"""


def page(gathered: Gathered, made: str, customer: str, missing: int) -> str:
    """`customer` says what became of the customer's details, `missing` how many pictures are no longer there."""
    entries = sorted((*gathered.job.entries, *gathered.job.struck), key=lambda entry: entry.order)
    words = {
        "job": gathered.job.id,
        "title": title(gathered.job),
        "made": made,
        "entries": str(len(entries)),
        "first": entries[0].time,
        "last": entries[-1].time,
        "digest": grouped(gathered.digest),
        "numbers": ", ".join(f"{bench}.{head.number}" for bench, head in sorted(gathered.heads.items())),
        "customer": f"the customer's details: {customer}",
        "photos": f"; {missing} were no longer there" if missing else "",
    }
    shown = {
        name: "".join(c if c.isprintable() else "\N{REPLACEMENT CHARACTER}" for c in w) for name, w in words.items()
    }
    return _PAGE.format(**shown)
