"""What wood does: moisture, movement and how nails and screws hold. Formulas of the Wood Handbook.

WH190: Wood Handbook, FPL-GTR-190, USDA Forest Products Laboratory, 2010; WH282: its 2021 edition, FPL-GTR-282.
Moisture contents are in % of the ovendry weight. Lengths mm, forces N, temperatures degrees Celsius.
"""

from __future__ import annotations

from kitforge.model.workshop import Material, MaterialKind
from kitforge.workshop.cutting_data import LateralConstant, cutting_data

_LOW_MC, _HIGH_MC = 6.0, 14.0
_FIBRE_SATURATION = 30.0
_COLDEST, _HOTTEST = -1.1, 132.0
_FIGURE_13_1 = "Wood Handbook, FPL-GTR-190 (2010), Fig. 13-1 (quoted second hand) and p. 13-13"


def equilibrium_moisture(temperature: float, humidity: float) -> float:
    """Return the moisture content in % that wood settles to in air of `temperature` C and `humidity` %.

    WH190 and WH282 Eq. 4-5, p. 4-3 (one curve for all species; boards lag the air by days to weeks).
    Raises ValueError outside -1.1 to 132 C (the range of Table 4-2, recalled) or outside 0 to 100 % humidity.
    """
    if not _COLDEST <= temperature <= _HOTTEST:
        raise ValueError(f"{temperature} degrees C is outside {_COLDEST} to {_HOTTEST}, where the equation was fitted")
    if not 0 <= humidity < 100:
        raise ValueError(f"relative humidity {humidity} % is not from 0 to under 100")
    t, h = temperature, humidity / 100
    w = 349 + 1.29 * t + 0.0135 * t**2
    k = 0.805 + 0.000736 * t - 0.00000273 * t**2
    k1 = 6.27 - 0.00938 * t - 0.000303 * t**2
    k2 = 1.91 + 0.0407 * t - 0.000293 * t**2
    kh = k * h
    dissolved = kh / (1 - kh)
    bound = (k1 * kh + 2 * k1 * k2 * kh**2) / (1 + k1 * kh + k1 * k2 * kh**2)
    return 1800 / w * (dissolved + bound)


def movement(width: float, coefficient: float, moisture_from: float, moisture_to: float) -> float:
    """Return by how many mm a width changes: dD = D C (M_F - M_I). WH190 Eq. 13-2, p. 13-15.

    coefficient: per 1 % of moisture, tangential for flatsawn widths, radial for quartersawn ones (Table 13-5).
    Raises ValueError outside 6 to 14 % moisture, where the equation does not hold; see `movement_from_shrinkage`.
    """
    for moisture in (moisture_from, moisture_to):
        if not _LOW_MC <= moisture <= _HIGH_MC:
            raise ValueError(f"{moisture} % moisture is outside 6 to 14 %, where the movement coefficients hold")
    return width * coefficient * (moisture_to - moisture_from)


def movement_from_shrinkage(
    width: float, shrinkage: float, moisture_from: float, moisture_to: float, saturation: float = _FIBRE_SATURATION
) -> float:
    """Return by how many mm a width changes, from total shrinkage in %: D (M_F - M_I) / (100 fs / S - fs + M_I).

    saturation: fs, the moisture above which wood does not swell any more: 30 %, 22 % for redwood and western redcedar.
    WH190 Eq. 13-3, p. 13-17; the form of the equation is recalled (its 30 % limit and symbols were read). Moisture
    above the saturation counts as the saturation. Raises ValueError outside 0 to 30 % moisture or for a shrinkage
    outside 0 to 30 %.
    """
    if not 0 < shrinkage < _FIBRE_SATURATION:
        raise ValueError(f"a total shrinkage of {shrinkage} % is not between 0 and 30 %")
    if not (0 <= moisture_from <= _FIBRE_SATURATION and 0 <= moisture_to <= _FIBRE_SATURATION):
        raise ValueError("moisture is not between 0 and 30 %, where wood shrinks and swells")
    first, last = min(moisture_from, saturation), min(moisture_to, saturation)
    return width * (last - first) / (saturation * 100 / shrinkage - saturation + first)


def coefficient_from_shrinkage(shrinkage: float, saturation: float = _FIBRE_SATURATION) -> float:
    """Return the movement coefficient per 1 % moisture, re-based to 10 %: (s/Mf) / (1 - s (Mf - 10) / Mf), s = S/100.

    The rule behind WH190 Table 13-5 as far as it could be rebuilt: it gives 28 of 32 printed numbers exactly.
    `saturation`: 30 %; 22 % for redwood and western redcedar.
    """
    s = shrinkage / 100
    return (s / saturation) / (1 - s * (saturation - 10) / saturation)


def shrinkage_from_coefficient(coefficient: float, saturation: float = _FIBRE_SATURATION) -> float:
    """Return the total shrinkage in % of a movement coefficient: `coefficient_from_shrinkage` backwards."""
    return 100 * coefficient * saturation / (1 + coefficient * (saturation - 10))


def nail_withdrawal(gravity: float, diameter: float, penetration: float) -> float:
    """Return N that pull a smooth nail from side grain, average maximum: 54.12 G^2.5 D L. WH282 Eq. 8-1, p. 8-2.

    gravity: ovendry weight over volume at 12 % moisture. Divide by 5 to 6 before relying on it.
    """
    _check_positive(gravity=gravity, diameter=diameter, penetration=penetration)
    return float(54.12 * gravity**2.5 * diameter * penetration)


def screw_withdrawal(gravity: float, diameter: float, thread: float) -> float:
    """Return N that pull a wood screw from side grain, average maximum: 108.25 G^2 D L. WH282 Eq. 8-10, p. 8-10.

    diameter: shank; thread: threaded length in the wood. Lead hole about 70 % of the root diameter in softwood, 90 %
    in hardwood. Divide by 5 to 6 before relying on it.
    """
    _check_positive(gravity=gravity, diameter=diameter, thread=thread)
    return float(108.25 * gravity**2 * diameter * thread)


def lateral_constants(kind: MaterialKind, gravity: float) -> LateralConstant:
    """Return the K values for a wood, from WH282 Table 8-4, p. 8-6.

    A gravity in the gap between two printed bands takes the lower band. Raises ValueError for panels and for
    gravities that the table does not cover.
    """
    if kind not in (MaterialKind.HARDWOOD, MaterialKind.SOFTWOOD):
        raise ValueError(f"the fastener equations are for solid wood, not for {kind}")
    bands = [band for band in cutting_data().lateral_constants if band.kind is kind]
    low, high = min(band.gravity_low for band in bands), max(band.gravity_high for band in bands)
    if not low <= gravity <= high:
        raise ValueError(f"specific gravity {gravity} is outside {low} to {high}, which the table covers for {kind}")
    return max((band for band in bands if band.gravity_low <= gravity), key=lambda band: band.gravity_low)


def nail_lateral(kind: MaterialKind, gravity: float, diameter: float) -> float:
    """Return N sideways on one nail at 0.38 mm slip (proportional limit): K D^1.5. WH282 Eq. 8-2, p. 8-6.

    Holds for a penetration of 10 D (G above 0.61) to 14 D (G below 0.42), see `nail_full_penetration`.
    """
    _check_positive(diameter=diameter)
    return float(lateral_constants(kind, gravity).nail.value * diameter**1.5)


def nail_full_penetration(gravity: float, diameter: float) -> float:
    """Return the penetration in mm that `nail_lateral` asks for: 14 D to G 0.42, 10 D from G 0.61, straight between.

    WH282 p. 8-6 gives the two ends; the straight line between them is ours.
    """
    share = min(max((gravity - 0.42) / (0.61 - 0.42), 0.0), 1.0)
    return (14 - 4 * share) * diameter


def short_penetration_factor(penetration: float, full: float) -> float:
    """Return the share of the lateral load at less than full penetration: in proportion, at most 1.

    The proportional reduction is recalled from the handbook's text on fasteners, not read again.
    """
    _check_positive(full=full)
    return min(max(penetration / full, 0.0), 1.0)


def movement_of(material: Material, width: float, moisture_from: float, moisture_to: float) -> float | None:
    """Return by how many mm a flatsawn width of `material` changes, or None where no coefficient is known.

    Between 6 and 14 % moisture by WH190 Eq. 13-2 with the coefficient of Table 13-5, beyond them by Eq. 13-3.
    """
    fact, saturation = material.movement_tangential, material.fibre_saturation
    if fact is None:
        return None
    if all(_LOW_MC <= moisture <= _HIGH_MC for moisture in (moisture_from, moisture_to)):
        return movement(width, fact.value, moisture_from, moisture_to)
    limit = _FIBRE_SATURATION if saturation is None else saturation.value
    shrinkage = shrinkage_from_coefficient(fact.value, limit)
    return movement_from_shrinkage(width, shrinkage, moisture_from, moisture_to, limit)


def _check_positive(**values: float) -> None:
    for name, value in values.items():
        if not value > 0:
            raise ValueError(f"{name} is {value}, not above zero")
