"""The weather of a job: the days before it and the forecast."""

import datetime as dt
from typing import Annotated

from pydantic import Field, PrivateAttr, model_validator

from pickrig.errors import WrongError
from pickrig.facts import Statements
from pickrig.inputs.fields import SI, Latitude, Rain, Share, Strict, Temperature
from pickrig.inputs.weather.written import Written


class Day(Strict):
    """One day's weather, SI: rain in m, temperatures in degC. chance: that the rain comes; None is for sure."""

    date: Annotated[dt.date, Field(examples=["2026-04-20"])]
    rain: Annotated[Rain, Field(examples=['"0.4 in"'])]
    tmin: Temperature | None = None
    tmax: Temperature | None = None
    chance: Share | None = None

    @property
    def expected(self) -> float:
        """Rain in the mean, m."""
        return self.rain if self.chance is None else self.rain * self.chance

    @model_validator(mode="after")
    def _is_a_day(self) -> "Day":
        if self.tmin is not None and self.tmax is not None and self.tmin > self.tmax:
            raise WrongError("fault.tmin_above")
        return self


class Weather(Written):
    """The job's day, the last measured day, and the days themselves: listed, or from a file of the days behind and one
    of the days ahead, which may be the same."""

    job_day: Annotated[dt.date, Field(examples=["2026-04-21"])]
    today: dt.date | None = None
    latitude: Latitude | None = None
    file: str | None = None
    forecast: str | None = None
    days: Annotated[list[Day], Field(max_length=1000)] = Field(default_factory=list)
    _notes: Statements = PrivateAttr(())
    _guessed: frozenset[dt.date] = PrivateAttr(frozenset())
    _record: bool = PrivateAttr(False)

    @model_validator(mode="after")
    def _has_days(self) -> "Weather":
        named = self.file is not None or self.forecast is not None
        if named and self.days:
            raise WrongError("fault.file_and_days")
        if not named and not self.days:
            raise WrongError("fault.no_days")
        if self.today is not None and self.today >= self.job_day:
            raise WrongError("fault.today_late")
        return self

    @property
    def last_measured(self) -> dt.date:
        return self.today or self.job_day - dt.timedelta(days=1)

    @property
    def notes(self) -> Statements:
        """What was filled in."""
        return self._notes

    @property
    def guessed(self) -> frozenset[dt.date]:
        """Days whose temperatures stood nowhere: filled in from the nearest day or the season."""
        return self._guessed

    @property
    def record(self) -> bool:
        """Whether every day was measured and every day is asked for, as in a year's record."""
        return self._record

    def with_days(self, days: list[Day], today: dt.date, notes: Statements, guessed: frozenset[dt.date]) -> "Weather":
        """The same with its days read from its files, in order and without gaps."""
        update = {"file": None, "forecast": None, "days": days, "today": today}
        whole = self.model_copy(update=update)
        whole._notes, whole._guessed = notes, guessed
        return whole


def record_of(days: list[Day], first: dt.date, latitude: float | None) -> Weather:
    """Measured days, of which each from the first on is asked for."""
    weather = Weather.model_validate({"job_day": first, "latitude": latitude, "days": days}, context=SI)
    weather._record = True
    return weather
