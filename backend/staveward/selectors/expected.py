"""Whether what was read lies far from what the forecast expects of that moment.

The distance is counted in standard deviations of the difference: the forecast's own band beside the instrument's error.
"""

from __future__ import annotations

from math import hypot
from typing import Literal, NamedTuple

from staveward.models import Barrel
from staveward.science.alcoholometry import READABLE_SUGAR_G_L
from staveward.science.blending import Part, masses_of
from staveward.science.calibration import is_odd_reading
from staveward.science.liking import SD_OF_80
from staveward.selectors.forecasts import Contents
from staveward.selectors.geometry import barrel_shape
from staveward.selectors.learned import ROD_MM, litres_per_mm

# What an instrument is good for in a cellar (design values): a scale by 50 g with the wood's own water by another 2 %
# of its mass, an alcoholmeter by half a per cent.
SCALE_KG, WOOD_SHARE = 0.05, 0.02
ALCOHOLMETER_PCT = 0.5


class Seen(NamedTuple):
    """A figure that was read."""

    unit: Literal["mass_kg", "volume_l", "abv_pct"]
    value: float


def reading_is_odd(barrel: Barrel, seen: Seen, expected: Contents, sugar_g_l: float = 0.0) -> bool:
    """Whether a reading is so far off that it should be repeated; False where there is nothing to hold it against.

    ``sugar_g_l`` is that of the fill: a sweetened litre is heavier, and hides its strength from an alcoholmeter.
    """
    volume_l, volume_sd = _mid_and_sd(expected.volume_l)
    if seen.unit == "volume_l":
        rod_l = ROD_MM * litres_per_mm(barrel_shape(barrel), volume_l)
        return is_odd_reading(seen.value, volume_l, hypot(volume_sd, rod_l))
    if seen.unit == "abv_pct":
        if expected.abv_pct is None or sugar_g_l > READABLE_SUGAR_G_L:
            return False
        abv_pct, abv_sd = _mid_and_sd(expected.abv_pct)
        return is_odd_reading(seen.value, abv_pct, hypot(abv_sd, ALCOHOLMETER_PCT))
    if barrel.wet_mass_kg is None:
        return False
    abv_pct = expected.abv_pct[1] if expected.abv_pct is not None else 0.0
    kg_per_l = _kg_per_l(abv_pct, sugar_g_l)
    spread = hypot(volume_sd * kg_per_l, SCALE_KG, WOOD_SHARE * barrel.wet_mass_kg)
    return is_odd_reading(seen.value, barrel.wet_mass_kg + volume_l * kg_per_l, spread)


def _kg_per_l(abv_pct: float, sugar_g_l: float) -> float:
    ethanol, water, sugar, volume = masses_of(Part(1.0, abv_pct, sugar_g_l))
    return float((ethanol + water + sugar) / volume)


def _mid_and_sd(band: tuple[float, float, float]) -> tuple[float, float]:
    low, mid, high = band
    return mid, (high - low) / (2.0 * SD_OF_80)
