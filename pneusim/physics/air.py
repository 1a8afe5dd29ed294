"""Air as an ideal gas with constant specific heats: the state of a lumped volume.

Source: any thermodynamics text, e.g. Balmer, Modern Engineering Thermodynamics, ideal gas relations.
"""

import math

from pneusim.physics.compiled import law
from pneusim.physics.constants import CHOKED_FLUX, CP, CV, KAPPA, MU, PRANDTL, RHO0, T0, R

__all__ = [
    "CHOKED_FLUX", "CP", "CV", "KAPPA", "MU", "PRANDTL", "RHO0", "T0", "R",
    "choked_mass_flux", "pressure_from_energy", "temperature",
]  # fmt: skip


@law
def pressure_from_energy(energy: float, volume: float) -> float:
    """Pressure of a volume from its internal energy: p = (kappa - 1) U / V.

    Parameters
    ----------
    energy : float
        Internal energy [J], positive.
    volume : float
        Volume [m3], positive.

    Returns
    -------
    float
        Absolute pressure [Pa]. It does not need the mass, so it stays good when the mass is small.

    Examples
    --------
    >>> round(pressure_from_energy(2500.0, 1e-3))
    1000000
    """
    return (KAPPA - 1.0) * energy / volume


@law
def temperature(mass: float, energy: float) -> float:
    """Temperature of a volume: T = U / (m cv).

    Parameters
    ----------
    mass : float
        Mass of air [kg], positive.
    energy : float
        Internal energy [J], positive.

    Returns
    -------
    float
        Temperature [K].

    Examples
    --------
    >>> round(temperature(0.01, 2103.717), 2)
    293.15
    """
    return energy / (mass * CV)


@law
def choked_mass_flux(p: float, T: float) -> float:
    """Largest mass flux of an ideal nozzle: 0.68473 p / sqrt(R T).

    Parameters
    ----------
    p : float
        Stagnation pressure upstream [Pa absolute].
    T : float
        Stagnation temperature upstream [K].

    Returns
    -------
    float
        Mass flux [kg/(s m2)].

    Examples
    --------
    >>> round(choked_mass_flux(900e3, 293.15), 1)
    2124.4
    """
    return CHOKED_FLUX * p / math.sqrt(R * T)
