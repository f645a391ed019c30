"""The table of facts in DEVELOPERS.md says what the file format is."""

from pathlib import Path

import msgspec
import pytest

from reassembly.job.entries import Entry, Fact, kinds, read
from reassembly.job.fields import fields
from reassembly.record import facts_table
from reassembly.record.facts_table import BEGIN, END, ENVELOPE, EXAMPLE, markdown, renewed
from reassembly.record.handwritten import LineError, Said, read_line

DEVELOPERS = Path(__file__).parents[2] / "DEVELOPERS.md"


def test_the_table_in_developers_md_is_fresh() -> None:
    text = DEVELOPERS.read_text("utf-8")
    assert text.count(BEGIN) == text.count(END) == 1
    assert renewed(text) == text, "stale: python -m reassembly.record.facts_table DEVELOPERS.md"


def test_every_kind_and_every_field_has_its_row() -> None:
    sections = {block.partition("\n")[0]: block for block in markdown().split("#### ")}
    for kind in kinds():
        for field in fields(kind):
            assert f"| `{field.name}` |" in sections[kind.__name__]


def test_every_field_of_a_fact_is_explained() -> None:
    assert [(k.__name__, f.name) for k in kinds() for f in fields(k) if not (f.title and f.description)] == []


def test_the_envelope_is_described_whole_and_its_example_can_be_read() -> None:
    assert list(ENVELOPE) == [field.name for field in msgspec.structs.fields(Entry)]
    line = markdown().partition("```json\n")[2].partition("\n```")[0]
    assert read(line.encode()) == EXAMPLE


def test_what_stands_around_the_block_is_left_alone() -> None:
    old = f"# Developers\n\nbefore\n\n{BEGIN}\nstale words\n{END}\n\nafter\n"
    new = renewed(old)
    assert new.startswith("# Developers\n\nbefore\n\n")
    assert new.endswith(f"{END}\n\nafter\n")
    assert "stale words" not in new
    assert renewed(new) == new


@pytest.mark.parametrize("kind", kinds(), ids=lambda kind: kind.__name__)
def test_the_example_of_every_kind_is_a_line_that_can_be_appended(kind: type[Fact]) -> None:
    errors: list[LineError] = []
    said = read_line(1, facts_table.example(kind).encode(), lambda _: (), errors)
    assert errors == []
    assert isinstance(said, Said)
    assert type(said.fact) is kind
