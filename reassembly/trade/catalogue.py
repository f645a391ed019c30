"""Every computation of the trade by its plain name, so that it can be listed, and run from text."""

from reassembly.trade import catalogue_balance, catalogue_bolts, catalogue_places, catalogue_turning
from reassembly.trade.computation import Computation, find

CATALOGUE: dict[str, tuple[Computation, ...]] = {
    "units, threads, torque and wrenches": catalogue_bolts.ROWS,
    "order, position and codes": catalogue_places.ROWS,
    "balance": catalogue_balance.ROWS,
    "driveline, vibration, ratio and fluid": catalogue_turning.ROWS,
}
"""Under headings, in the order in which they are listed."""

EVERY: tuple[Computation, ...] = tuple(each for rows in CATALOGUE.values() for each in rows)


def named(name: str) -> Computation:
    """The computation of a name, in any case, with blanks or hyphens. Raises ValueError that names the nearest."""
    return find(EVERY, name)
