"""What the wrench in hand is set to at one joint, and what speaks against that wrench."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reassembly.job.measured import WITH_A_WRENCH
from reassembly.job.wrenches import against, worn
from reassembly.screens.bignumbers import Number, value_of
from reassembly.screens.rack import is_reckoned, reckoned_setting, set_to

if TYPE_CHECKING:
    from reassembly.job.reckon import Reckoned
    from reassembly.job.shop import RackWrench, Shop
    from reassembly.job.tightening import StageAsked


class WrenchSetting:
    """As somebody typed it: a torque, or what it is reckoned from. Nothing typed is the torque of the stage itself."""

    def __init__(self) -> None:
        self.typed = ""
        self._worn: tuple[RackWrench | None, str, list[str]] = (None, "", [])

    def to_another_stage(self) -> None:
        """A torque was meant for its stage; an adapter stays on the wrench."""
        if not is_reckoned(self.typed):
            self.typed = ""

    def at(self, stage: StageAsked, unit: str) -> str:
        """What the wrench is set to where that is not the torque itself, in words; empty otherwise."""
        return set_to(self.typed, stage.value, unit) if stage.kind in WITH_A_WRENCH else ""

    def number(self, stage: StageAsked, unit: str) -> Number:
        """What is read from two metres: the setting, or the value of the stage."""
        number, _, its_unit = self.at(stage, unit).partition(" ")
        return Number("set wrench to", number, its_unit) if number else value_of(stage, unit)

    def reckoned(self, stage: StageAsked, unit: str) -> list[Reckoned]:
        """The numbers on the way to the setting; none where it was not reckoned."""
        if not self.at(stage, unit):
            return []
        from reassembly.job.reckon import Reckoned

        return [Reckoned(*step) for step in reckoned_setting(self.typed, stage.value, unit)]

    def speaks_against(self, wrench: str, stage: StageAsked, unit: str, shop: Shop, today: str) -> list[str]:
        """Why the wrench should not be trusted with it on that day; none without a wrench or a torque."""
        if not wrench or stage.kind not in WITH_A_WRENCH:
            return []
        torque = self.at(stage, unit) or stage.value
        return [
            *(each.told for each in against(wrench, torque, today, shop, unit)),
            *self._is_worn(wrench, shop, today),
        ]

    def _is_worn(self, wrench: str, shop: Shop, today: str) -> list[str]:
        """Its uses are counted when it comes into the hand, not at each key."""
        known = shop.wrench(wrench)
        if self._worn[:2] != (known, today):
            self._worn = known, today, worn(wrench, today, shop)
        return self._worn[2]
