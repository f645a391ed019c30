"""A customer's details erased on request: gone everywhere, the chain whole, and every view says so."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from io import BytesIO
from typing import TYPE_CHECKING

from pypdf import PdfReader

from reassembly.job import entries as said
from reassembly.job.entries import Stage
from reassembly.job.signoff import signoff
from reassembly.record import recall_paper
from reassembly.record.customer import Customer
from reassembly.record.erasing import customer_told, erase
from reassembly.record.gathering import come_back, gather
from reassembly.record.lines import dump
from reassembly.record.paper import as_data, write_pdf
from tests.record.bench import Wall, desk_in, with_job

if TYPE_CHECKING:
    from pathlib import Path

    from reassembly.record.desk import Desk

NAME, PHONE, STREET, MAIL = "Xaverius Quobble", "01632 960 555", "7 Zwyx Lane", "xq@zwyx.example"
NOON = datetime(2026, 3, 14, 12, tzinfo=UTC)
GONE = ("quobble", "960 555", "1632960555", "zwyx")


def signed_off_job(desk: Desk) -> str:
    job = with_job(desk, complaint="hums")
    desk.say(said.CustomerNamed(digest=""), details=Customer(name=NAME, phone=PHONE, address=STREET, email=MAIL))
    desk.say(said.PartRemoved(part="flange", name="rear flange"))
    spec = desk.say(said.TorqueSpecified(part="flange", stages=(Stage("torque", "60 N.m"),), source="page 1"))
    desk.say(said.StageTightened(specification=spec.id, stage=1, wrench="T3"))
    desk.say(said.RoadTested(when="after", felt="quiet"))
    for check in signoff(desk.job(), desk.shop()).open:
        desk.say(said.CheckConfirmed(check=check.key))
    assert desk.sign_off()
    return job


def text_of(path: Path) -> str:
    return "\n".join(page.extract_text() for page in PdfReader(BytesIO(path.read_bytes())).pages)


def test_every_view_says_so_and_none_names_the_customer(tmp_path: Path) -> None:
    wall = Wall()
    with desk_in(tmp_path, wall) as desk:
        job = signed_off_job(desk)
        back = with_job(desk, registration="8XX 1", complaint="hums again", earlier=job)
        record = tmp_path / "records" / f"{job}.pdf"
        write_pdf(record, gather(desk, job))
        assert "Quobble" in text_of(record)
        bodies = desk.journal.after(desk.bench, 0)

        left = erase(desk, job, "asked by letter")

        assert desk.verify() == []
        assert desk.journal.after(desk.bench, 0)[: len(bodies)] == bodies
        found = gather(desk, job)
        data = as_data(found)
        assert data["customer"] is None
        assert [each["told"] for each in data["details_erased"]] == [
            "customer's details erased on request, asked by letter"
        ]
        assert data["since_signoff"] == []  # nothing about the work changed
        assert data["signed_off"]
        assert customer_told(desk, found.job) == "details erased on request"
        recall = desk.recall("wrench", "T3")
        assert recall.vehicles[job].told == "details erased on request"
        recall_paper.write_csv(tmp_path / "t3.csv", recall)
        recall_paper.write_pdf(tmp_path / "t3.pdf", recall, NOON, desk.digest())
        assert "details erased on request" in text_of(tmp_path / "t3.pdf")
        assert "erased on request" in text_of(record)
        everything = (
            json.dumps(data),
            repr(recall),
            repr(come_back(desk, back)),
            (tmp_path / "t3.csv").read_text("utf-8-sig"),
            text_of(tmp_path / "t3.pdf"),
            text_of(record),
            b"\n".join(dump(desk.journal, details=True)).decode(),
            "".join(path.read_bytes().decode("latin-1") for path in tmp_path.glob("shop.db*")),
        )
        for words in GONE:
            assert [view[:60] for view in everything if words in view.casefold()] == []
        assert left == ["Backups, archives and papers made before still do."]


def test_what_still_names_the_customer_is_told(tmp_path: Path) -> None:
    with desk_in(tmp_path) as desk:
        first = signed_off_job(desk)
        second = with_job(desk, earlier=first)
        desk.say(said.CustomerNamed(digest=""), details=Customer(name=f"  {NAME.upper()}"))
        with_job(desk)
        desk.say(said.CustomerNamed(digest=""), details=Customer(name="Xaverius Other"))
        recall_paper.write_csv(tmp_path / "recalls" / "t3.csv", desk.recall("wrench", "T3"))
        left = erase(desk, first, "asked")
        assert left[0] == f"The same name stands with job {second}: erase it there too."
        assert left[1] == f"Recalls written before may name the customer: delete {tmp_path / 'recalls'}."
        assert erase(desk, second, "asked")[0].startswith("Recalls")


def test_a_customer_named_again_after_it_stands_again(tmp_path: Path) -> None:
    with desk_in(tmp_path) as desk:
        job = signed_off_job(desk)
        assert customer_told(desk, desk.job(job)) == f"{NAME}  {PHONE}"
        erase(desk, job, "asked")
        desk.say(said.CustomerNamed(digest=""), job, Customer(phone="0555 1"))
        assert customer_told(desk, desk.job(job)) == "0555 1"
        assert desk.recall("wrench", "T3").vehicles[job].told == "0555 1"
        other = with_job(desk)
        assert customer_told(desk, desk.job(other)) == "not named"
