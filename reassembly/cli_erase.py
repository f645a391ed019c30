"""`reassembly erase`: a customer's details erased on request."""

from __future__ import annotations

import click

from reassembly.cli_base import (
    Wrong,
    at_desk,
    find_job,
    named_job,
    safe,
    somebody,
    sure,
    tell,
    tell_data,
    with_data,
    with_json,
    with_who,
)


@click.command()
@named_job
@with_data
@with_who
@click.option("--why", default="asked by the customer", show_default=True, metavar="TEXT", help="What the record says.")
@click.option("--yes", is_flag=True, help="Do not ask.")
@with_json
def erase(name: str, why: str, yes: bool, as_json: bool) -> None:
    """Erase the customer's name, telephone, address and e-mail of a JOB for good; all else of the job stays.

    They are gone from the journal and from the record written in the data folder; that it was done stays in the
    journal. What may still name the customer elsewhere is said.

    \b
    Example:
      reassembly erase 412 --who ann
      reassembly erase 412 --who ann --why "letter of 14 March" --yes
    """
    from reassembly.record.erasing import customer_told
    from reassembly.record.erasing import erase as erase_details

    if not safe(why).strip():
        raise Wrong("Say why: the record keeps that it was done and why.")
    with at_desk() as desk:
        somebody(desk)
        job = find_job(desk, name)
        there = desk.customer(job) is not None
        left = []
        if there:
            if not yes:
                sure(f"Erase {customer_told(desk, desk.job(job))} of job {job} for good?")
            left = erase_details(desk, job, safe(why).strip())
    if as_json:
        tell_data({"job": job, "erased": there, "left": left})
        return
    tell(f"job {job}: the customer's details are erased" if there else f"job {job}: no customer's details are here")
    for sentence in left:
        tell(sentence)
