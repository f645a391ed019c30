"""What is offered from earlier jobs of the same model, and what is not copied."""

from reassembly.job import entries as said
from reassembly.job.capture import capture
from reassembly.job.entries import Fact, Stage
from reassembly.job.job import Job
from reassembly.job.likely import next_likely, offer_in_words
from tests.job.test_capture import SHOP, bare, told

FLANGE: tuple[Fact, ...] = (
    said.PartRemoved(part="f", name="rear flange", how="disconnected", note="seated all round"),
    said.FastenersRemoved(part="f", count=4, thread="M10x1.25", lengths=("30",)),
    said.FastenersRemoved(part="f", count=4, thread="M10x1.25", lengths=("35",), strength="10.9", reuse="renew"),
    said.TorqueSpecified(part="f", stages=(Stage("torque", "70 N.m"),), layout="circle", source="manual, page 212"),
    said.MarkMade(part="f", mark="white paint", to="pinion flange", spline_teeth=28, marked_tooth=7),
    said.WeightFound(part="f", position="hole 2", mass="14 g"),
    said.OrientationNoted(part="f", feature="lug", clock="4", seen_from="rear"),
    said.AidFitted(part="f", aid="wire", where="round the joint"),
    said.RenewalNeeded(part="f", what="gasket", why="once only"),
    said.RenewalNeeded(part="f", what="seal", why="leaked"),
    said.PartStuck(part="f", freed="heat"),
    said.CareNoted(part="f", care="clean", what="both faces, no burr"),
)


def removed(*names: str, parent: str = "") -> list[Fact]:
    return [said.PartRemoved(part=name, name=name, parent=parent) for name in names]


def job(number: int, vehicle: str, *facts: Fact) -> Job:
    return told(said.JobOpened(vehicle=vehicle), *facts, job=f"A.{number}")


LAST = job(7, "Kestrel van", *removed("tray", "hanger"), *FLANGE, *removed("pan"), *removed("filter", parent="pan"))
HERE = job(9, "kestrel  van", *removed("tray"))


def offered(here: Job, *earlier: Job, declined: tuple[str, ...] = ()) -> str:
    found = next_likely(here, earlier, declined)
    return found.name if found else ""


def test_the_next_one_is_the_first_not_off_yet_after_the_last_they_share() -> None:
    assert offered(job(9, "Kestrel van"), LAST) == "tray"
    assert offered(HERE, LAST) == "hanger"
    assert offered(job(9, "Kestrel van", *removed("Tray", "hanger")), LAST) == "rear flange"
    assert offered(job(9, "Kestrel van", *removed("rear flange")), LAST) == "pan"


def test_what_was_passed_over_is_offered_at_the_end_and_then_nothing() -> None:
    assert offered(job(9, "Kestrel van", *removed("rear flange", "pan", "filter")), LAST) == "tray"
    assert offered(job(9, "Kestrel van", *removed("tray", "hanger", "rear flange", "pan", "filter")), LAST) == ""


def test_what_was_declined_is_not_offered_again() -> None:
    assert offered(HERE, LAST, declined=("Hanger",)) == "rear flange"


def test_only_jobs_of_the_same_model_count_and_never_this_one() -> None:
    assert offered(HERE, job(7, "Other van", *removed("tray", "x"))) == ""
    assert offered(HERE, job(9, "Kestrel van", *removed("tray", "x"))) == ""
    assert offered(job(9, "", *removed("tray")), job(7, "", *removed("tray", "x"))) == ""


def test_the_job_that_shares_the_most_parts_is_taken_and_the_newer_of_two() -> None:
    gearbox = job(5, "Kestrel van", *removed("tray", "hanger", "gearbox"))
    newer = job(6, "Kestrel van", *removed("tray", "axle"))
    assert offered(HERE, gearbox, newer) == "axle"
    assert offered(job(9, "Kestrel van", *removed("tray", "hanger")), gearbox, newer) == "gearbox"


def test_what_belongs_to_the_model_is_copied_with_its_source() -> None:
    found = next_likely(job(9, "Kestrel van", *removed("tray", "hanger")), [LAST])
    assert found
    assert bare(found.facts) == [
        said.PartRemoved(part="", name="rear flange", how="disconnected"),
        said.FastenersRemoved(part="", count=4, thread="M10x1.25", lengths=("35",), strength="10.9", reuse="renew"),
        said.TorqueSpecified(part="", stages=(Stage("torque", "70 N.m"),), layout="circle", source="manual, page 212"),
        said.RenewalNeeded(part="", what="gasket", why="once only"),
        said.CareNoted(part="", care="clean", what="both faces, no burr"),
    ]
    assert offer_in_words(found) == "rear flange  4 x M10x1.25x35 10.9, RENEW"


def test_what_belongs_to_one_vehicle_is_asked_anew_with_what_it_was() -> None:
    found = next_likely(job(9, "Kestrel van", *removed("tray", "hanger")), [LAST])
    assert found
    assert found.anew == (
        "mark: last time white paint, to pinion flange, tooth 7 of 28 teeth",
        "balance weight: last time 14 g at hole 2",
        "lug: last time at 4 o'clock from rear",
        "aid: last time wire, round the joint",
        "renewed last time: seal, leaked",
    )
    assert found.mind == ("was stuck last time: freed by heat",)
    assert found.earlier == "A.7"


def test_the_offer_as_a_line_gives_the_same_facts() -> None:
    here = job(9, "Kestrel van", *removed("tray", "hanger"))
    found = next_likely(here, [LAST])
    assert found
    read = capture(found.line, here, SHOP)
    assert read.facts == found.facts
    assert read.not_understood == ()


def test_a_sub_assembly_is_the_one_of_this_job() -> None:
    pan = said.PartRemoved(part="pan 2", name="Pan")
    found = next_likely(job(9, "Kestrel van", *removed("rear flange"), pan), [LAST])
    assert found
    assert found.facts[0] == said.PartRemoved(part="filter", name="filter", parent="pan 2")
    without = next_likely(job(9, "Kestrel van", *removed("rear flange")), [LAST], declined=["pan"])
    assert without
    assert without.facts[0] == said.PartRemoved(part="filter", name="filter")
