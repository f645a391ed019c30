import pytest
from hypothesis import given
from hypothesis import strategies as st

from reassembly.trade.quantity import of, read, value
from reassembly.trade.stages import (
    SHARES,
    Stage,
    doubt_about_stages,
    generic_stages,
    generic_workings,
    lubricated,
    read_stages,
    with_prevailing,
)

READ = {
    "30 N.m, 60 N.m, 90 deg": "30 N.m|60 N.m|90 deg",
    "by hand; 30 Nm; back off; 60; +90°; check 60": "by hand|30 Nm|back off|60 N.m|90°|check pass 60 N.m",
    "8,5 mkg, 90°": "8,5 mkg|90°",
    "60 Nm + 90° + 90°": "60 Nm|90°|90°",
    "60 Nm, 2 x 90°": "60 Nm|90°|90°",
    "hand tight, 1/4 turn": "by hand|1/4 turn",
    "tighten to 60 Nm then turn 90": "60 Nm|90 deg",
    "20 Nm; loosen 1/2 turn; 60": "20 Nm|back off 1/2 turn|60 N.m",
    "60 Nm; check": "60 Nm|check pass 60 Nm",
    "60 Nm, check pass 60 Nm": "60 Nm|check pass 60 Nm",
    "torque 85 ft lbs, angle 45": "85 ft lbs|45 deg",
    "40 N.m\n80 N.m": "40 N.m|80 N.m",
    "25 → 50": "25 N.m|50 N.m",
    "62 lb-ft, 80": "62 lb-ft|80 lbf.ft",
    "Finger-tight; 12 Nm": "by hand|12 Nm",
    "110": "110 N.m",
}


@pytest.mark.parametrize(("typed", "stages"), READ.items())
def test_stages_are_read_as_manuals_and_people_write_them(typed: str, stages: str) -> None:
    assert "|".join(stage.words for stage in read_stages(typed, "N.m")) == stages


def test_each_stage_says_its_kind_and_whether_its_unit_was_assumed() -> None:
    found = read_stages("by hand; 30 Nm; back off; 60; +90°; check 60")
    assert [stage.kind for stage in found] == ["by hand", "torque", "back off", "torque", "angle", "check pass"]
    assert [stage.assumed for stage in found] == [False, False, False, True, False, True]
    assert not any(stage.generic for stage in found)


def test_an_angle_is_a_stage_of_its_own_and_reads_as_an_angle() -> None:
    torque, angle = read_stages("30 N.m + 1/4 turn")
    assert torque.reading is not None
    assert value(torque.reading.quantity, "N.m") == 30
    assert angle.reading is not None
    assert value(angle.reading.quantity, "deg") == pytest.approx(90)


@pytest.mark.parametrize(
    ("typed", "why"),
    [
        ("", "no stage typed"),
        (" ; , ", "no stage typed"),
        ("60", "stage 1: 60 has no unit"),
        ("30 Nm, sixty", "stage 2: sixty does not begin with a number"),
        ("90 deg", "stage 1: .*counts from a snug joint"),
        ("back off, 90 deg", "stage 2: .*counts from a snug joint"),
        ("60 Nm, -90 deg", "stage 2: -90 deg: an angle is more than nothing"),
        ("60 Nm, 0 deg", "stage 2: 0 deg: an angle is more than nothing"),
        ("0 Nm", "stage 1: 0 Nm: a torque is more than nothing"),
        ("1,500 Nm", "stage 1: 1,500 can mean"),
        ("60 +/- 5 Nm", "stage 1: .*a tolerance goes in the note"),
        ("by hand 30", "stage 1: 30: a stage by hand has no value"),
        ("check", "stage 1: a check pass needs a torque"),
        ("60 Nm, 90 d", "stage 2: "),
        ("1 Nm, " * 21, "21 stages are more than 20"),
        ("1 Nm, " * 90, "too many"),
        ("60 Nm\x1b[2J", "cannot be seen"),
    ],
)
def test_what_is_no_stage_is_refused_by_its_number(typed: str, why: str) -> None:
    with pytest.raises(ValueError, match=why) as refusal:
        read_stages(typed)
    assert str(refusal.value).isprintable()


@given(
    st.text(max_size=60) | st.from_regex(r"([0-9]{1,3}( Nm| deg)?|by hand|back off|check|[,;+ ]){0,9}", fullmatch=True)
)
def test_any_text_is_stages_or_refused_in_words(typed: str) -> None:
    try:
        stages = read_stages(typed, "N.m")
    except ValueError as refusal:
        assert str(refusal).isprintable()  # noqa: PT017  either outcome is right
    else:
        again = read_stages("; ".join(stage.words for stage in stages))
        assert [(stage.kind, stage.value) for stage in again] == [(stage.kind, stage.value) for stage in stages]
        doubt_about_stages(stages)


@pytest.mark.parametrize(
    ("typed", "doubt"),
    [
        ("30 Nm, 60 Nm, 90 deg, check 60", None),
        ("40 Nm, back off, 20 Nm, 40 Nm", None),
        ("60 Nm, 30 Nm", "stage 2, 30 Nm, is less than 60 Nm before it"),
        ("60 Nm, 30 lb-ft", "stage 2, 30 lb-ft, is less than 60 Nm"),
        ("60 Nm, 50 lb-ft", None),
        ("60 Nm, check 66", "the check pass is at 66 N.m and the stage before it at 60 Nm"),
        ("60 Nm, check 44.3 lb-ft", None),
    ],
)
def test_stages_that_do_not_follow_are_doubted(typed: str, doubt: str | None) -> None:
    said = doubt_about_stages(read_stages(typed))
    assert said is None if doubt is None else said is not None and said.startswith(doubt)


@given(st.integers(1, 9999), st.integers(0, 2), st.sampled_from(["N.m", "lbf.in", "kgf.m"]))
def test_generic_stages_keep_to_the_rounds_of_pcc_1(digits: int, places: int, unit: str) -> None:
    # ASME PCC-1 table 2 (REFERENCES section 6, memory): 20-30 %, 50-70 %, 100 %, then a pass at 100 %
    final = f"{digits / 10**places:.{places}f} {unit}"
    stages = generic_stages(final)
    assert [stage.kind for stage in stages] == ["by hand", "torque", "torque", "torque", "check pass"]
    assert all(stage.generic for stage in stages)
    torques = [float(stage.reading.number) for stage in stages if stage.reading]
    first, second = torques[0] / torques[2], torques[1] / torques[2]
    assert 0.2 <= first <= 0.3 + 1e-9
    assert 0.5 <= second <= 0.7 + 1e-9
    assert stages[3].value == stages[4].value == final


def test_generic_stages_can_be_set_on_a_wrench() -> None:
    assert [stage.words for stage in generic_stages("85", "N.m")][1:4] == ["25 N.m", "59 N.m", "85 N.m"]
    assert [stage.words for stage in generic_stages("5.6 Nm")][1:4] == ["1.6 N.m", "3.9 N.m", "5.6 Nm"]


def test_one_or_two_bolts_need_no_rounds() -> None:
    assert [stage.words for stage in generic_stages("39 Nm", count=1)] == ["by hand", "39 Nm"]
    assert len(generic_stages("39 Nm", count=3)) == 5


def test_generic_stages_show_their_workings() -> None:
    shown = [round(value(workings.result, "N.m"), 1) for workings in generic_workings("85 Nm")]
    assert shown == [25.5, 59.5, 85.0]
    assert len(shown) == len(SHARES)


def test_no_torque_makes_no_stages() -> None:
    with pytest.raises(ValueError, match="more than nothing"):
        generic_stages("0 Nm")


def test_the_run_down_torque_is_added() -> None:
    # AC 43.13-1B, 7-40: final torque = desired torque + measured friction torque
    found = with_prevailing(read("50 lbf.in", "torque").quantity, read("15 lbf.in", "torque").quantity)
    assert value(found.result, "lbf.in") == pytest.approx(65)
    mixed = with_prevailing(of(50, "lbf.in"), of(1, "N.m"))
    assert value(mixed.result, "lbf.in") == pytest.approx(58.850746)
    with pytest.raises(ValueError, match="below nothing"):
        with_prevailing(of(50, "N.m"), of(-1, "N.m"))


def test_oil_on_a_dry_value_lowers_it_by_the_nut_factors() -> None:
    # K of the supplier's page (REFERENCES section 4b): dry 0.20-0.25, oiled 0.15-0.18
    found = lubricated(of(90, "N.m"), "dry steel", "oiled")
    assert value(found.result, "N.m") == pytest.approx(90 * 0.165 / 0.225)
    assert value(lubricated(of(90, "N.m"), "oiled", "oiled").result, "N.m") == pytest.approx(90)
    with pytest.raises(ValueError, match="type one of dry steel"):
        lubricated(of(90, "N.m"), "dry steel", "butter")


def test_a_stage_by_hand_has_no_value() -> None:
    assert Stage("by hand").reading is None
