"""What a record is made of is read through the desk."""

from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from reassembly.job import entries as said
from reassembly.job.entries import CustomerNamed, JobOpened
from reassembly.record.customer import Customer
from reassembly.record.desk import Desk
from reassembly.record.gathering import gather
from reassembly.record.paper import as_data


def test_a_come_back_and_the_job_it_comes_back_from_name_each_other(tmp_path: Path) -> None:
    with Desk.open(tmp_path, who="ann", now=lambda: 1_773_503_703_000_000_000, trusted=lambda: True) as desk:
        first = desk.open_new(JobOpened(vehicle="Kestrel van", registration="4TN 881", complaint="drips"))
        desk.open_new(JobOpened(vehicle="Another", registration="4TN 882"))
        second = desk.open_new(JobOpened(vehicle="Kestrel van", registration="4tn881", earlier=first))
        assert [line.id for line in gather(desk, first).later] == [second]
        earlier = gather(desk, second).earlier
        assert earlier is not None
        assert (earlier.id, earlier.complaint) == (first, "drips")
        assert gather(desk, first).earlier is None


def test_the_customer_is_named_until_erased_and_the_digest_is_the_journals(tmp_path: Path) -> None:
    with Desk.open(tmp_path, who="ann") as desk:
        job = desk.open_new(JobOpened(vehicle="Kestrel van"))
        desk.say(CustomerNamed(digest=""), details=Customer(name="Mabel Quillfeather"))
        found = gather(desk, job)
        assert as_data(found)["customer"]["name"] == "Mabel Quillfeather"
        assert found.digest == desk.digest()
        desk.erase(job, "asked by letter")
        assert as_data(gather(desk, job))["customer"] is None


def test_the_earlier_job_is_found_among_many_ids_that_begin_like_it(tmp_path: Path) -> None:
    with Desk.open(tmp_path, who="ann") as desk:
        first = desk.open_new(JobOpened(vehicle="Kestrel van"))
        with desk.journal.writing() as writing:
            for number in range(250):
                writing.say(JobOpened(vehicle="another"), who="ann", job=f"{first}{number}")
        second = desk.open_new(JobOpened(vehicle="Kestrel van", registration="4TN 881", earlier=first))
        earlier = gather(desk, second).earlier
        assert earlier is not None
        assert earlier.id == first
        assert [line.id for line in gather(desk, first).later] == [second]


def test_a_record_of_work_with_a_calibrated_wrench_is_written_in_another_thread(tmp_path: Path) -> None:
    with Desk.open(tmp_path, who="ann") as desk:
        desk.say(said.WrenchAdded(wrench="T3", low="40 N.m", high="200 N.m"))
        desk.say(said.WrenchCalibrated(wrench="T3", on=desk.today, until="2099-01-01"))
        job = desk.open_new(JobOpened(vehicle="Kestrel van"))
        desk.say(said.PartRemoved(part="pan", name="pan"))
        stages = (said.Stage("torque", "60 N.m"),)
        spec = desk.say(said.TorqueSpecified(part="pan", count=2, stages=stages))
        desk.say(said.StageTightened(specification=spec.id, stage=1, position=1, wrench="T3"))
        found = gather(desk, job)
        with ThreadPoolExecutor(1) as other:
            assert other.submit(as_data, found).result()["warnings"] == as_data(found)["warnings"]
