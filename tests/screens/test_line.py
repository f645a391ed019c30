"""What is pasted into a line."""

from pathlib import Path

import pytest

from reassembly.job import entries as said
from reassembly.record.desk import Desk
from reassembly.screens.app import ReassemblyApp
from reassembly.screens.form import FormScreen
from reassembly.screens.line import Line, one_line
from reassembly.screens.stripdown import StripdownScreen
from tests.screens.bench import at_bench
from tests.screens.hands import bench, told


@pytest.mark.parametrize(
    ("pasted", "line"),
    [
        ("one", "one"),
        ("one\n", "one"),
        (" one ", " one "),
        ("one\ntwo\nthree", "one, two, three"),
        ("one,\r\n\r\n  two ;\rthree,", "one, two ;, three,"),
        ("\n\n", ""),
    ],
)
def test_lines_become_one_and_nothing_is_lost(pasted: str, line: str) -> None:
    assert one_line(pasted) == line


async def test_a_pasted_block_stays_whole_in_a_line_and_in_a_field_and_is_told(tmp_path: Path) -> None:
    with bench(tmp_path) as desk:
        story = told(desk)
        desk.open_job = story.job
        for screen in (StripdownScreen(), FormScreen(said.FindingNoted, "FINDING")):
            async with at_bench(desk) as at:
                assert isinstance(at.app, ReassemblyApp)
                at.app.push_screen(screen)
                await at.press()
                await at.paste("pan\nwet at the rear\n3 bolts loose")
                await at.press()
                assert at.app.screen.query(Line).first().value == "pan, wet at the rear, 3 bolts loose"
                assert "3 lines pasted, joined by commas" in at.painted()


async def test_of_a_pasted_name_that_is_too_long_as_much_stays_as_fits_and_it_is_told(desk: Desk) -> None:
    async with at_bench(desk) as at:
        await at.press("p", "shift+tab")
        await at.paste("Annabelle Thistlewood-Smith")
        assert at.screen.query_one("#name", Line).value == "Annabelle Thistlewoo"
        assert at.answer() == "at most 20 letters go in here: the rest of what was pasted is left out"
