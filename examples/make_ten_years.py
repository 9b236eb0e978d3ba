"""Makes ten-years.csv: ten invented years of daily weather of a temperate farm country that does not exist.

Wet and dry days follow each other as a two-state chain whose odds change with the month; the rain of a wet day is gamma
distributed; temperatures swing with the season and from day to day. Nothing in it was measured anywhere.

Run: python examples/make_ten_years.py > examples/ten-years.csv
"""

import datetime as dt
import math
import random

# By month: chance of a wet day after a dry and after a wet one, mean rain of a wet day (in).
AFTER_DRY = (0.22, 0.22, 0.26, 0.30, 0.30, 0.26, 0.22, 0.20, 0.20, 0.22, 0.26, 0.25)
AFTER_WET = (0.45, 0.45, 0.48, 0.50, 0.48, 0.44, 0.40, 0.38, 0.40, 0.44, 0.48, 0.48)
MEAN_RAIN = (0.16, 0.17, 0.24, 0.32, 0.36, 0.38, 0.38, 0.36, 0.32, 0.26, 0.24, 0.19)
SHAPE = 0.75
FIRST, LAST = dt.date(2016, 1, 1), dt.date(2025, 12, 31)


def main() -> None:
    luck = random.Random(20161)
    print("# Invented weather; see make_ten_years.py")
    print("date,rain (in),tmin (F),tmax (F)")
    wet, warm, wetness = False, 0.0, {}
    for offset in range((LAST - FIRST).days + 1):
        day = FIRST + dt.timedelta(days=offset)
        month = day.month - 1
        kind_of_year = wetness.setdefault(day.year, luck.uniform(0.8, 1.25))  # dry years and wet ones
        wet = luck.random() < (AFTER_WET if wet else AFTER_DRY)[month]
        rain = luck.gammavariate(SHAPE, MEAN_RAIN[month] * kind_of_year / SHAPE) if wet else 0.0
        warm = 0.7 * warm + luck.gauss(0, 5)
        mean = 52 - 21 * math.cos(2 * math.pi * (day.timetuple().tm_yday - 20) / 365.25) + warm
        half = max(4.0, luck.gauss(8 if wet else 12, 2))
        print(f"{day},{rain:.2f},{mean - half:.0f},{mean + half:.0f}")


if __name__ == "__main__":
    main()
