"""Soil from a survey, in the file its service answered with."""

import csv
import json
from pathlib import Path

from pickrig.errors import InputError
from pickrig.facts import Said
from pickrig.files import read_text
from pickrig.inputs.survey import soil_grid, us_survey
from pickrig.inputs.survey.groups import family_of, group_of
from pickrig.inputs.survey.profile import Component, Horizon, Survey

_BROKEN = (ArithmeticError, AttributeError, LookupError, TypeError, ValueError, RecursionError, csv.Error)

__all__ = ["Component", "Horizon", "Survey", "family_of", "group_of", "read_soil"]


def read_soil(path: Path) -> Survey:
    """The survey in a file. Raises InputError."""
    text = read_text(path, "survey")
    try:
        survey = us_survey.read_survey(path, text)
        if survey is not None:
            return survey
        data = json.loads(text)
        if soil_grid.is_grid(data):
            return soil_grid.read_grid(path, data)
    except _BROKEN as error:  # whatever stands where a service writes something else
        raise InputError([Said("fault.survey_broken", file=str(path))]) from error
    raise InputError([Said("fault.survey_broken", file=str(path))])
