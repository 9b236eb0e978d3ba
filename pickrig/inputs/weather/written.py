"""How a weather file is written, where it does not say so itself."""

import datetime as dt
from functools import cached_property
from typing import Annotated, Literal

from pydantic import AfterValidator

from pickrig.inputs.fields import AnyCase, Name, Strict
from pickrig.inputs.weather.zones import read_zone

DateOrder = Literal["day first", "month first"]
"""How dates with slashes are written: 01/05/2026 is the first of May, or the fifth of January."""


def _zone(text: str) -> str:
    read_zone(text)
    return text


class Written(Strict):
    """station: of a file that holds several. zone: the site's time zone, by which hours are summed to days."""

    rain_unit: Literal["in", "mm", "cm", "tenths of mm"] | None = None
    temperature_unit: Literal["F", "C", "tenths of C"] | None = None
    date_order: Annotated[DateOrder, AnyCase] | None = None
    zone: Annotated[Name, AfterValidator(_zone)] | None = None
    station: Name | None = None

    @cached_property
    def tzinfo(self) -> dt.tzinfo | None:
        return None if self.zone is None else read_zone(self.zone)
