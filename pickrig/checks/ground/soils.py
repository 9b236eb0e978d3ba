"""What the soil may be: the one that is named, all that a ribbon leaves, or what a survey maps, with weights."""

from dataclasses import dataclass

import numpy as np

from pickrig.checks.ground.levels import lies
from pickrig.facts import Quantity, Ruled, Said, Statements, Term, Value
from pickrig.inputs import Job
from pickrig.inputs.survey import Horizon, family_of, group_of
from pickrig.physics import wetness
from pickrig.rulebook import Rules
from pickrig.rulebook.tables import Held, Soil, Texture


@dataclass(frozen=True)
class Candidate:
    """A soil it may be. key, soil: of the upper layer; lower_key, lower: of the one under it. weight: how likely, of
    one. surveyed: whether its figures are a survey's."""

    key: str
    soil: Soil
    lower_key: str
    lower: Soil
    weight: float
    surveyed: bool = False

    @property
    def below(self) -> Soil | None:
        """The lower soil, where it is another."""
        return self.lower if self.lower is not self.soil else None


def groups_of(job: Job, rules: Rules) -> list[str]:
    """The soil's group, or all it may be: what a ribbon says, what a survey maps, else any fine soil."""
    if job.ground.soil:
        return [job.ground.soil]
    if job.ground.ribbon:
        return rules.field_tests["ribbon"].groups[job.ground.ribbon]
    mapped = list(dict.fromkeys(one.key for one in _mapped(job, rules)))
    return mapped or [key for key, soil in rules.soils.items() if soil.family == "fine"]


def soil_name(job: Job, rules: Rules) -> Value:
    """What to call the soil: the group that is named, or most of what the survey maps."""
    if job.ground.soil:
        return Ruled(rules.soils[job.ground.soil].name)
    mapped = _mapped(job, rules)
    return Said("survey.soil", soil=Ruled(mapped[0].soil.name)) if mapped else Term("unknown_soil")


def candidates(job: Job, rules: Rules) -> list[Candidate]:
    """With weights that come to one. What the survey does not tell, or tells wrong, may be any fine soil."""
    if not job.ground.soil and not job.ground.ribbon and (mapped := _mapped(job, rules)):
        fine = [key for key, soil in rules.soils.items() if soil.family == "fine"]
        left = 1.0 - sum(one.weight for one in mapped)
        return [*mapped, *(_plain(key, left / len(fine), rules) for key in fine)]
    groups = groups_of(job, rules)
    return [_plain(key, 1 / len(groups), rules) for key in groups]


def _plain(key: str, weight: float, rules: Rules) -> Candidate:
    soil = rules.soils[key]
    return Candidate(key, soil, key, soil, weight)


def _mapped(job: Job, rules: Rules) -> list[Candidate]:
    """Fine soils of the survey, the largest first; none on fill, of which no survey knows."""
    survey, land = job.ground.mapped, job.ground.land
    if survey is None or land == "filled":
        return []
    keeps = rules.survey["keeps_built" if land == "built on" else "keeps_natural"].value
    whole, out = max(sum(one.share for one in survey.components), 1.0), []
    for component in sorted(survey.components, key=lambda one: -one.share):
        if not component.layers:
            continue
        keys = [group_of(layer, rules) for layer in component.layers]
        if all(rules.soils[key].family == "fine" for key in keys):
            upper, lower = (
                _surveyed(layer, rules.soils[key], land == "built on", rules)
                for layer, key in zip(component.layers, keys, strict=True)
            )
            out.append(Candidate(keys[0], upper, keys[1], lower, component.share / whole * keeps, surveyed=True))
    return out


def mapped_layers(job: Job, rules: Rules) -> tuple[Soil, Soil] | None:
    """Both layers of most of what the survey maps; None without one, or where it has no texture."""
    survey, land = job.ground.mapped, job.ground.land
    if survey is None or land == "filled":
        return None
    largest = max(survey.components, key=lambda one: one.share * bool(one.layers))
    soils = [rules.soils[group_of(layer, rules)] for layer in largest.layers]
    if not soils or any(soil.texture is None for soil in soils):
        return None
    upper, lower = (
        _surveyed(layer, soil, land == "built on", rules) for layer, soil in zip(largest.layers, soils, strict=True)
    )
    return upper, lower


def _surveyed(layer: Horizon, soil: Soil, built: bool, rules: Rules) -> Soil:
    """The group's row with what the survey measured in place of our guesses."""
    usual = soil.texture
    assert usual is not None
    texture = _texture(layer, usual, rules)
    density, held = _held(layer, soil, texture, built, rules)
    clay = soil.clay and (texture.clay, texture.clay)
    return soil.model_copy(update={"texture": texture, "dry_density": density, "held": held, "clay": clay})


def _texture(layer: Horizon, usual: Texture, rules: Rules) -> Texture:
    """The survey's, within what the published hydraulics take; the group's own where it tells none."""
    told = (layer.sand, layer.clay, layer.organic)
    own = (usual.sand, usual.clay, usual.organic)
    sand, clay, organic = (kept if given is None else given for given, kept in zip(told, own, strict=True))
    clay = min(clay, rules.survey["most_clay"].value)
    update = {"sand": min(sand, 1.0 - clay), "clay": clay, "organic": min(organic, rules.survey["most_organic"].value)}
    return usual.model_copy(update=update)


def _held(layer: Horizon, soil: Soil, texture: Texture, built: bool, rules: Rules) -> tuple[float, Held]:
    """Dry density, kg/m3, and the water it holds, in order whatever the survey's own figures are."""
    own = rules.survey
    least = {name: rules.wetness[f"least_{name}"].value for name in ("wilting", "held", "air", "pores")}
    grains = rules.strength["solids_density"].value
    with np.errstate(invalid="ignore"):
        of_texture = [float(x) for x in wetness.soil_hydraulics(texture.sand, texture.clay, texture.organic)]
    dry, at_third, full, rate = of_texture if np.all(np.isfinite(of_texture)) else lies(soil, rules)[1]
    density = layer.density if layer.density is not None else (1 - full) * grains
    density *= own["built_density"].value if built else 1.0
    pores = 1 - density / grains
    given = layer.saturation is not None and not built
    saturation = min(layer.saturation or 0.0, pores) if given else own["filled_pores"].value * pores
    saturation = max(saturation, least["wilting"] + least["pores"])
    capacity = layer.capacity if layer.capacity is not None else at_third
    capacity = min(max(capacity, least["wilting"] + least["held"]), saturation - least["air"])
    wilting = min(max(layer.wilting if layer.wilting is not None else dry, least["wilting"]), capacity - least["held"])
    conductivity = layer.conductivity if layer.conductivity is not None else rate
    conductivity *= own["built_conductivity"].value if built else 1.0
    return density, Held(wilting=wilting, capacity=capacity, saturation=saturation, conductivity=conductivity)


def soil_notes(job: Job, rules: Rules) -> Statements:
    """What the survey says and how far it is believed; else that nobody knows the soil."""
    survey = job.ground.mapped
    if survey is None:
        return (Said("assumed.any_soil"),)
    if job.ground.land == "filled":
        return (Said("survey.filled"), Said("assumed.any_soil"))
    largest = max(survey.components, key=lambda one: one.share)
    told = [
        Said(f"survey.{survey.source}", unit=survey.unit, name=largest.name, share=Quantity(largest.share, "share")),
        Said("survey.before"),
    ]
    told += [Said("survey.made")] if survey.made else []
    kept = rules.soils[job.ground.soil].family if job.ground.soil else "fine"
    told += [Said("survey.whole", soil=Ruled(rules.soils[job.ground.soil].name))] if job.ground.soil else []
    other = [one for one in survey.components if family_of(one, rules) not in (kept, "")]
    told += [Said("survey.other", names=tuple(one.name for one in other))] if other else []
    if survey.water_table is not None and survey.water_table < rules.survey["shallow_water"].value:
        told.append(Said("survey.shallow", depth=Quantity(survey.water_table, "length")))
    if survey.floods.lower().endswith(("occasional", "frequent")):
        told.append(Said("survey.floods"))
    return tuple(told)
