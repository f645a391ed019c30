"""Level windows, expansion, drained against filled."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reassembly.trade.fluid import expansion, filled_of_drained, level_error, within_window
from reassembly.trade.quantity import of, value


@pytest.mark.parametrize(
    ("measured", "inside", "sentence"),
    [
        ("40 °C", True, "40 °C is in the window 35 °C to 45 °C"),
        ("35 °C", True, "35 °C is in the window 35 °C to 45 °C"),
        ("45 °C", True, "45 °C is in the window 35 °C to 45 °C"),
        ("45", True, "45 °C is in the window 35 °C to 45 °C"),
        ("95 °F", True, "95 °F is in the window 35 °C to 45 °C"),  # 35 °C exactly
        ("113 °F", True, "113 °F is in the window 35 °C to 45 °C"),  # 45 °C exactly
        ("45,1 °C", False, "45,1 °C is 0.1 °C above 45 °C: the level reads too high, let it cool first"),
        ("52 °C", False, "52 °C is 7 °C above 45 °C: the level reads too high, let it cool first"),
        ("28 °C", False, "28 °C is 7 °C below 35 °C: the level reads too low, warm it up first"),
        ("-4 °F", False, "-4 °F is 55 °C below 35 °C: the level reads too low, warm it up first"),
    ],
)
def test_a_level_counts_only_in_its_window(measured: str, inside: bool, sentence: str) -> None:
    verdict = within_window(measured, "35 °C", "45 °C")
    assert (verdict.inside, verdict.sentence) == (inside, sentence)


def test_a_window_may_be_in_fahrenheit_and_open_at_one_end() -> None:
    assert within_window("40", "95 °F", "113 °F").inside
    assert within_window("104 °F", "35 °C", "40 °C").inside  # 104 °F is 40 °C, rounding or not
    assert within_window("120 °F", "95 °F", "113 °F").sentence.startswith("120 °F is 7 °F above 113 °F")
    assert within_window("80 °C", "70 °C", "").sentence == "80 °C is at or above 70 °C"
    assert not within_window("60 °C", "70 °C", "").inside
    assert not within_window("60 °C", "", "50 °C").inside


@pytest.mark.parametrize(
    ("measured", "low", "high", "words"),
    [
        ("warm", "35 °C", "45 °C", "does not begin with a number"),
        ("", "35 °C", "45 °C", "no temperature typed"),
        ("40 °C", "45 °C", "35 °C", "upside down"),
        ("40 °C", "", "", "no temperature window"),
        ("40 mm", "35 °C", "45 °C", "not a unit of temperature"),
        ("-300 °C", "35 °C", "45 °C", "colder than anything"),
    ],
)
def test_what_is_no_reading_is_refused_in_words(measured: str, low: str, high: str, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        within_window(measured, low, high)


@given(st.decimals(-50, 200, places=1), st.decimals(0, 60, places=1), st.decimals(0, 60, places=1))
def test_the_window_agrees_with_plain_decimals(measured: Decimal, one: Decimal, other: Decimal) -> None:
    low, high = sorted((one, other))
    verdict = within_window(f"{measured} °C", f"{low} °C", f"{high} °C")
    assert verdict.inside == (low <= measured <= high)
    error = value(level_error(of(10, "l"), f"{measured}", f"{low}", f"{high}").result, "l")
    over, under = max(measured - high, Decimal(0)), max(low - measured, Decimal(0))
    assert error == pytest.approx(0.007 * float(over - under), abs=1e-9)


EXPANSION = {  # litres, from, to in °C, per kelvin, gain in litres
    "12 l at 0.0007 /K gain 0.0084 l each kelvin (fluids engineer, quoted)": (12, 40, 41, 0.0007, 0.0084),
    "API table 54D beta for 850 kg/m³ (memory): 10 l over 40 K": (10, 20, 60, 7.4e-4, 0.296),
    "cooling shrinks": (10, 60, 20, 7.4e-4, -0.296),
}


@pytest.mark.parametrize(("litres", "start", "end", "beta", "gain"), EXPANSION.values(), ids=EXPANSION.keys())
def test_oil_grows_with_its_temperature(litres: float, start: float, end: float, beta: float, gain: float) -> None:
    found = expansion(of(litres, "l"), of(start, "°C"), of(end, "°C"), beta)
    assert value(found.result, "l") == pytest.approx(gain, rel=1e-9)


def test_less_than_no_fluid_is_refused() -> None:
    with pytest.raises(ValueError, match="cannot be"):
        expansion(of(-1, "l"), of(20, "°C"), of(40, "°C"))


@pytest.mark.parametrize(
    ("filled", "drained", "sentence"),
    [
        (["2.5 l", "1,5 l"], ["5.8 l"], "2.5 l + 1,5 l = 4.0 l of 5.8 l drained"),
        (["4 l"], ["5.0 l", "0.8 l"], "4 l of 5.0 l + 0.8 l = 5.8 l drained"),
        (["2.5", "1"], ["5"], "2.5 l + 1 l = 3.5 l of 5 l drained"),
        (["0.1 l", "0.2 l"], ["0.30 l"], "0.1 l + 0.2 l = 0.3 l of 0.30 l drained"),
        (["2 l", "500 ml"], ["4 l"], "2 l + 500 ml = 2.50 l of 4 l drained"),
        (["2.0 l", "500 ml"], ["4 l"], "2.0 l + 500 ml = 2.50 l of 4 l drained"),
        ([], ["5.8 l"], "nothing filled of 5.8 l drained"),
        (["2 l"], [""], "2 l, nobody noted how much was drained"),
    ],
)
def test_fills_are_added_up_as_typed(filled: list[str], drained: list[str], sentence: str) -> None:
    assert filled_of_drained(filled, drained).sentence == sentence


def test_what_is_still_out_is_a_number_with_its_workings() -> None:
    found = filled_of_drained(["2.5 l", "1,5 l"], ["5.8 l"]).still_out
    assert found is not None
    assert value(found.result, "l") == pytest.approx(1.8)
    found = filled_of_drained(["1 US qt"], ["0,5 l"]).still_out
    assert found is not None
    assert value(found.result, "l") == pytest.approx(0.5 - 0.946352946)  # US quart, NIST SP 811
    assert filled_of_drained([], ["1 l"]).still_out is None
    with pytest.raises(ValueError, match="does not begin with a number"):
        filled_of_drained(["some"], ["5 l"])
