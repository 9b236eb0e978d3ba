"""How one soil lies, and what the words dry, moist and wet stand for in it."""

from dataclasses import dataclass

from pickrig.physics import wetness
from pickrig.rulebook import Rules
from pickrig.rulebook.tables import Soil


@dataclass(frozen=True)
class Levels:
    """Of one soil: its dry density, kg/m3, and its water by weight, kg/kg, where it is dry, moist, wet and full."""

    density: float
    dry: float
    moist: float
    wet: float
    full: float

    @property
    def dry_moist(self) -> float:
        """Half-way between the two, where one word gives way to the other."""
        return (self.dry + self.moist) / 2

    @property
    def moist_wet(self) -> float:
        """The same between moist and wet."""
        return (self.moist + self.wet) / 2


def levels(soil: Soil, rules: Rules) -> Levels:
    """Dry is the wilting point, moist field capacity, wet on the way from there to full pores."""
    density, (wilting, capacity, full, _) = lies(soil, rules)
    wet = capacity + rules.wetness["seen_wet"].value * (full - capacity)
    return Levels(density, *(float(wetness.gravimetric(theta, density)) for theta in (wilting, capacity, wet, full)))


def lies(soil: Soil, rules: Rules) -> tuple[float, tuple[float, float, float, float]]:
    """Dry density, kg/m3; and by volume wilting point, field capacity and saturation, with conductivity, m/s.

    Density is the texture's own, or the group's where that is given: its pores, and what they hold, follow from it.
    What a survey measured stands as it is.
    """
    if soil.held is not None:
        held = soil.held
        assert soil.dry_density is not None
        return soil.dry_density, (held.wilting, held.capacity, held.saturation, held.conductivity)
    texture, grains = soil.texture, rules.strength["solids_density"].value
    assert texture is not None
    own = (texture.sand, texture.clay, texture.organic)
    usual = (1 - float(wetness.soil_hydraulics(*own)[2])) * grains
    density = soil.dry_density or usual
    wilting, capacity, full, rate = (float(x) for x in wetness.soil_hydraulics(*own, density / usual))
    return density, (wilting, capacity, full, rate)
