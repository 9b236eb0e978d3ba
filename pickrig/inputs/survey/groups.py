"""Which soil group of the rules a surveyed layer is of."""

from pickrig.inputs.survey.profile import Component, Horizon
from pickrig.rulebook import Rules


def group_of(layer: Horizon, rules: Rules) -> str:
    """The survey's own group, where the rules have it; else the group with the nearest texture."""
    if layer.group in rules.soils:
        return layer.group
    textures = {key: soil.texture for key, soil in rules.soils.items() if soil.texture is not None}

    def apart(key: str) -> float:
        texture = textures[key]
        return float((texture.sand - (layer.sand or 0)) ** 2 + (texture.clay - (layer.clay or 0)) ** 2)

    return min(textures, key=apart)


def family_of(component: Component, rules: Rules) -> str:
    """How the ground of a component is judged, by its upper layer; "" for what is no soil."""
    return rules.soils[group_of(component.layers[0], rules)].family if component.layers else ""
