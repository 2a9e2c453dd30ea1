"""Printed tables of wire sizes: milliohms of mm² cable."""

from typing import Final

# mm²: mΩ/m. 0.35 is the road-vehicle figure from memory; IEC 60228 begins at 0.5.
METRIC_MILLIOHM: Final = {
    0.35: 54.4,
    0.5: 39.0,
    0.75: 26.0,
    1.0: 19.5,
    1.5: 13.3,
    2.5: 7.98,
    4.0: 4.95,
    6.0: 3.30,
    10.0: 1.91,
    16.0: 1.21,
    25.0: 0.780,
    35.0: 0.554,
    50.0: 0.386,
    70.0: 0.272,
    95.0: 0.206,
    120.0: 0.161,
}
# The road-vehicle limits beside them, all from memory: kept to compare, not used.
VEHICLE_MILLIOHM: Final = {
    0.5: 37.1,
    0.75: 24.7,
    1.0: 18.5,
    1.5: 12.7,
    2.5: 7.60,
    4.0: 4.71,
    6.0: 3.14,
    10.0: 1.82,
    16.0: 1.16,
    25.0: 0.743,
    35.0: 0.527,
    50.0: 0.368,
    70.0: 0.259,
    95.0: 0.196,
    120.0: 0.153,
}
