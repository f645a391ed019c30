"""Block figures: letters and numbers three rows high and more, for reading from two metres."""

from __future__ import annotations

from functools import lru_cache

HIGH = 5  # pixels; two of them stand in one row of a terminal

_GLYPHS = {
    " ": "../../../../..",
    "A": ".##./#..#/####/#..#/#..#",
    "B": "###./#..#/###./#..#/###.",
    "C": ".###/#.../#.../#.../.###",
    "D": "###./#..#/#..#/#..#/###.",
    "E": "####/#.../###./#.../####",
    "F": "####/#.../###./#.../#...",
    "G": ".###/#.../#.##/#..#/.###",
    "H": "#..#/#..#/####/#..#/#..#",
    "I": "#/#/#/#/#",
    "J": "..##/...#/...#/#..#/.##.",
    "K": "#..#/#.#./##../#.#./#..#",
    "L": "#.../#.../#.../#.../####",
    "M": "#...#/##.##/#.#.#/#...#/#...#",
    "N": "#...#/##..#/#.#.#/#..##/#...#",
    "O": ".##./#..#/#..#/#..#/.##.",
    "P": "###./#..#/###./#.../#...",
    "Q": ".##./#..#/#..#/#.#./.#.#",
    "R": "###./#..#/###./#.#./#..#",
    "S": ".###/#.../.##./...#/###.",
    "T": "#####/..#../..#../..#../..#..",
    "U": "#..#/#..#/#..#/#..#/.##.",
    "V": "#...#/#...#/#...#/.#.#./..#..",
    "W": "#...#/#...#/#.#.#/##.##/#...#",
    "X": "#...#/.#.#./..#../.#.#./#...#",
    "Y": "#...#/.#.#./..#../..#../..#..",
    "Z": "####/...#/.##./#.../####",
    "0": "###/#.#/#.#/#.#/###",
    "1": ".#./##./.#./.#./###",
    "2": "###/..#/###/#../###",
    "3": "###/..#/.##/..#/###",
    "4": "#.#/#.#/###/..#/..#",
    "5": "###/#../###/..#/###",
    "6": "###/#../###/#.#/###",
    "7": "###/..#/..#/.#./.#.",
    "8": "###/#.#/###/#.#/###",
    "9": "###/#.#/###/..#/###",
    ".": "././././#",
    ",": "../../../.#/#.",
    "-": ".../.../###/.../...",
    "/": "..#/..#/.#./#../#..",
}
_HALVES = {(False, False): " ", (True, False): "▀", (False, True): "▄", (True, True): "█"}


def block(text: str, scale: int = 1) -> list[str]:
    """The text as rows of half blocks, all equally long; `scale` pixels for each of the drawing.

    Capitals, figures and ` .,-/` are drawn; of any other sign nothing is, and the list is empty.
    """
    wanted = [_GLYPHS.get(sign) for sign in text.upper()]
    if not wanted or None in wanted:
        return []
    glyphs = [glyph.split("/") for glyph in wanted if glyph]
    pixels = [".".join(glyph[row] for glyph in glyphs) for row in range(HIGH)]
    lit = [[sign == "#" for sign in line for _ in range(scale)] for line in pixels for _ in range(scale)]
    if len(lit) % 2:
        lit.append([False] * len(lit[0]))
    return ["".join(_HALVES[pair] for pair in zip(*lit[row : row + 2], strict=True)) for row in range(0, len(lit), 2)]


@lru_cache(maxsize=64)
def fitted(text: str, width: int, height: int) -> list[str]:
    """The text as large as it goes into so many cells, on one line or a word on each; empty where nothing fits."""
    for scale in (3, 2, 1):
        for lines in ([text], text.split()):
            drawn = [block(line, scale) for line in lines]
            if all(drawn) and max(len(d[0]) for d in drawn) <= width and sum(map(len, drawn)) <= height:
                return [row for each in drawn for row in each]
    return []
