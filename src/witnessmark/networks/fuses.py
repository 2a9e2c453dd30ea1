"""When a fuse opens: its time-current band, the middle of it, and a fusible link's melting."""

from functools import lru_cache
from typing import Final

import numpy as np

from witnessmark.networks.fusing import onderdonk_a, preece_a

# Multiples of the rating, and the least and greatest time to open [s]. Blade: ISO 8820-3 type C;
# large: type E; seen in notes that transcribe fuse makers' sheets, not in the standard. At 1.1
# times the rating neither opens within 100 h (blade: from memory).
NEVER_S: Final = 360_000.0
BANDS: Final = {
    "blade": ((1.35, 0.75, 600.0), (1.6, 0.25, 50.0), (2.0, 0.15, 5.0), (3.5, 0.08, 0.5)),
    "large": ((1.35, 60.0, 1800.0), (2.0, 2.0, 50.0), (3.5, 0.2, 7.0), (6.0, 0.04, 1.0)),
}
HOLDS: Final = 1.1  # times its rating, for 100 h


@lru_cache(maxsize=256)
def opens_at(band: str, held_s: float) -> float:
    """Return the multiple of its rating at which a fuse opens within a time.

    Parameters
    ----------
    band
        "blade" or "large".
    held_s
        How long the current is held. [s]

    Returns
    -------
    float
        Where the middle of the band (on log scales) reaches that time. [1]

    Notes
    -----
    A fuse of this rating may open anywhere inside its band, so this is the likeliest answer, not
    a promise. Above the last point of the band the time is taken to stay.

    References
    ----------
    ISO 8820-3 limits as transcribed in notes on fuse makers' sheets; seen there.

    Examples
    --------
    >>> round(opens_at("blade", 0.866), 2)
    2.0
    """
    multiples = [HOLDS, *(row[0] for row in BANDS[band])]
    middles = [NEVER_S, *(float(np.sqrt(row[1] * row[2])) for row in BANDS[band])]
    at = np.interp(np.log(held_s), np.log(middles[::-1]), np.log(multiples[::-1]))
    return float(np.exp(at))


def link_melts_a(area_mm2: float, held_s: float) -> float:
    """Return the current at which a copper link melts within a time.

    Parameters
    ----------
    area_mm2
        Cross-section of its copper. [mm²]
    held_s
        How long the current is held. [s]

    Returns
    -------
    float
        Onderdonk's current for that time, but not less than Preece's lasting one. [A]

    Examples
    --------
    A 16 AWG link held for 5 s:

    >>> round(link_melts_a(1.309, 5.0))
    169
    """
    return max(onderdonk_a(area_mm2, held_s), preece_a(area_mm2))
