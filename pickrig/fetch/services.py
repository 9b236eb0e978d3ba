"""What each service is asked, and how: positions rounded as its rules allow, never a name or an address."""

import datetime as dt
import json

from pickrig.errors import InputError
from pickrig.facts import Said
from pickrig.fetch.client import Answer, Client
from pickrig.rulebook import Rules

Position = tuple[float, float]
_PAST_DAYS = 60

# Left joins, so that urban land, pits and water, which have no horizons, come back too.
_SOIL = """
SELECT mu.mukey, mu.muname, ma.wtdepannmin, ma.flodfreqdcd,
       co.cokey, co.compname, co.compkind, co.comppct_r, co.drainagecl, co.hydgrp,
       ch.hzname, ch.hzdept_r, ch.hzdepb_r, ch.sandtotal_r, ch.claytotal_r, ch.om_r, ch.dbthirdbar_r,
       ch.wthirdbar_r, ch.wfifteenbar_r, ch.wsatiated_r, ch.ksat_r, u.unifiedcl
FROM SDA_Get_Mukey_from_intersection_with_WktWgs84('point({longitude:.{n}f} {latitude:.{n}f})') p
JOIN mapunit mu ON mu.mukey = p.mukey
LEFT JOIN muaggatt ma ON ma.mukey = mu.mukey
LEFT JOIN component co ON co.mukey = mu.mukey
LEFT JOIN chorizon ch ON ch.cokey = co.cokey AND ch.hzdept_r < 60
LEFT JOIN chunified u ON u.chkey = ch.chkey AND u.rvindicator = 'Yes'
ORDER BY co.comppct_r DESC, co.cokey, ch.hzdept_r
"""


def us_soil(client: Client, at: Position, rules: Rules) -> Answer:
    """The survey's components and horizons at a point."""
    service = rules.services.us_soil
    query = _SOIL.format(latitude=float(at[0]), longitude=float(at[1]), n=service.decimals)
    return client.post(service.url, {"query": query, "format": "JSON+COLUMNNAME"})


def soil_grid(client: Client, at: Position, rules: Rules) -> Answer:
    """The grid's topsoil at a point."""
    service = rules.services.soil_grid
    latitude, longitude = _rounded(at, service.decimals)
    return client.get(
        service.url,
        {
            "lon": longitude,
            "lat": latitude,
            "property": ["clay", "sand", "soc", "bdod", "wv0033", "wv1500"],
            "depth": ["0-5cm", "5-15cm", "15-30cm"],
            "value": ["mean"],
        },
    )


def us_forecast(client: Client, at: Position, rules: Rules, since: str) -> Answer:
    """Two steps: which box of the grid the point is in, then its forecast."""
    service = rules.services.us_forecast
    latitude, longitude = _rounded(at, service.decimals)
    first = client.get(f"{service.url}/{latitude},{longitude}")
    try:
        where = json.loads(first.text or "")["properties"]["forecastGridData"]
    except (ValueError, KeyError, TypeError) as error:
        raise InputError([Said("fault.net_strange", host="api.weather.gov")]) from error
    return client.get(str(where), since=since)


def norway(client: Client, at: Position, rules: Rules, since: str) -> Answer:
    service = rules.services.norway
    latitude, longitude = _rounded(at, service.decimals)
    return client.get(service.url, {"lat": latitude, "lon": longitude}, since)


def open_meteo(client: Client, at: Position, rules: Rules, zone: str | None) -> Answer:
    """Past days and forecast in one table."""
    service = rules.services.open_meteo
    latitude, longitude = _rounded(at, service.decimals)
    daily = "precipitation_sum,precipitation_probability_max,temperature_2m_min,temperature_2m_max"
    return client.get(
        service.url,
        {
            "latitude": latitude,
            "longitude": longitude,
            "daily": daily,
            "past_days": _PAST_DAYS,
            "forecast_days": 14,
            "timezone": zone or "auto",
        },
    )


def us_daily(client: Client, station: str, today: dt.date, rules: Rules) -> Answer:
    """The last two months of a station."""
    return client.get(
        rules.services.us_daily.url,
        {
            "dataset": "daily-summaries",
            "stations": station,
            "startDate": str(today - dt.timedelta(days=_PAST_DAYS)),
            "endDate": str(today),
            "dataTypes": "PRCP,TMAX,TMIN",
            "units": "metric",
        },
    )


def _rounded(at: Position, decimals: int) -> Position:
    return round(at[0], decimals), round(at[1], decimals)
