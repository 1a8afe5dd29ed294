"""How much of the friction of a road anti-lock control uses."""

from __future__ import annotations

from pneusim.circuit.braking import vehicle_name
from pneusim.errors import UsageError
from pneusim.quantities import STANDARD_GRAVITY, express
from pneusim.results.measures.crossing import first_crossing
from pneusim.results.road.compatibility import ROLLING
from pneusim.results.run import Run

FROM, TO = 45.0 / 3.6, 15.0 / 3.6
"""Speeds between which a controlled stop is measured [m/s]; UN R13 Annex 13 (from memory, to be read against it)."""


def mean_ratio(run: Run, unit: str = "", fast: float = FROM, slow: float = TO) -> float:
    """Mean braking ratio of a unit between two speeds: dv/(g t), which from 45 to 15 km/h is 0.849 s/t.

    Parameters
    ----------
    run : Run
        On a road.
    unit : str
        Name of the unit, "" in a circuit of one.
    fast, slow : float
        Speeds [m/s].

    Raises
    ------
    UsageError
        If the unit does not slow from the one to the other in this run.
    """
    speed = run[f"{vehicle_name(unit)}.speed"]
    start, end = run.span
    since = first_crossing(speed, fast, -1, start, end)
    until = None if since is None else first_crossing(speed, slow, -1, since, end)
    if since is None or until is None:
        raise UsageError(
            f"{speed.name} does not fall from {express(fast, 'speed')} to {express(slow, 'speed')} in this run"
        )
    return (fast - slow) / (STANDARD_GRAVITY * (until - since))


def utilised(ratio: float, peak: float, rolling: float = ROLLING) -> float:
    """Share of the peak friction that brakes use: eps = (z - f_r)/k.

    Parameters
    ----------
    ratio : float
        Braking ratio under control [-].
    peak : float
        Peak friction of the road at about 30 km/h [-], positive.
    rolling : float
        Braking ratio of wheels that only roll [-].

    Notes
    -----
    It means something only where brakes are stronger than the road.  UN R13 Annex 13 asks 0.75 (from memory).

    Examples
    --------
    >>> round(utilised(0.287, 0.315), 2)
    0.89
    """
    return (ratio - rolling) / peak
