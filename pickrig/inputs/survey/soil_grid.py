"""A global soil grid at a point: SoilGrids 2.0 (ISRIC, CC BY 4.0), the weaker source where no survey is to be had.

Layout after public samples of its service, read second-hand: every property by depth, to be divided by the factor that
stands beside it; null where a place is masked, as towns and water are.
"""

from collections import defaultdict
from pathlib import Path
from typing import Any

from pickrig.errors import InputError
from pickrig.facts import Said
from pickrig.inputs.survey.profile import Component, Horizon, Survey, layers_of

_HUMUS = 1.724  # organic matter over organic carbon, van Bemmelen
_SIZES = {
    "sand": ("sand", 0.01),  # per cent
    "clay": ("clay", 0.01),
    "bdod": ("density", 1000.0),  # kg/dm3
    "soc": ("organic", _HUMUS / 1000),  # g/kg
    "wv0033": ("capacity", 0.01),  # per cent of volume
    "wv1500": ("wilting", 0.01),
}


def is_grid(data: Any) -> bool:
    properties = data.get("properties") if isinstance(data, dict) else None
    return isinstance(properties, dict) and isinstance(properties.get("layers"), list)


def read_grid(path: Path, data: Any) -> Survey:
    """Raises InputError where the point is masked, or the answer is not of that layout."""
    by_depth: dict[tuple[float, float], dict[str, Any]] = defaultdict(dict)
    try:
        for layer in data["properties"]["layers"]:
            if layer["name"] not in _SIZES:
                continue
            name, size = _SIZES[layer["name"]]
            for depth in layer["depths"]:
                ends = depth["range"]["top_depth"] / 100, depth["range"]["bottom_depth"] / 100
                mean = depth["values"].get("mean")
                if mean is not None:
                    by_depth[ends][name] = float(mean) / float(layer["unit_measure"]["d_factor"]) * size
    except (KeyError, TypeError, ValueError, ZeroDivisionError) as error:
        raise InputError([Said("fault.survey_broken", file=str(path))]) from error
    for told in by_depth.values():
        for name, value in told.items():
            low, high = (100, 2200) if name == "density" else (0, 1)
            if not low <= value <= high:
                raise InputError([Said("fault.survey_odd", file=str(path), name=name, read=f"{value:g}")])
    layers = layers_of([Horizon(top, bottom, **told) for (top, bottom), told in sorted(by_depth.items())])
    if not layers:
        raise InputError([Said("fault.survey_masked", file=str(path))])
    return Survey("grid", "", (Component("", 1.0, layers=layers),), path)
