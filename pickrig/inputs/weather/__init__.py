"""Weather: the days before a job and the forecast, listed or from files as people download them."""

from pickrig.inputs.weather.days import Day, Weather, record_of
from pickrig.inputs.weather.job_weather import complete
from pickrig.inputs.weather.record import read_record
from pickrig.inputs.weather.written import Written

__all__ = ["Day", "Weather", "Written", "complete", "read_record", "record_of"]
