"""Volume: mass and internal energy to pressure and temperature."""

from __future__ import annotations

from pneusim.engine.families.family import Family
from pneusim.physics.compiled import law
from pneusim.physics.constants import CV, KAPPA

# Guards inside the right-hand side only, for trial steps; never written back to the state.
LEAST_PRESSURE = 10.0
LEAST_MASS = 1e-12
COLDEST = 50.0
HOTTEST = 1500.0


@law
def _volume(mass: float, energy: float, swept: float, fixed: float) -> tuple[float, float]:
    p = max((KAPPA - 1.0) * energy / (fixed + swept), LEAST_PRESSURE)
    T = energy / (max(mass, LEAST_MASS) * CV)
    return p, min(max(T, COLDEST), HOTTEST)


@law
def _volume_gradient(
    mass: float, energy: float, swept: float, fixed: float
) -> tuple[float, float, float, float, float, float]:
    V = fixed + swept
    dp_dE = (KAPPA - 1.0) / V
    p = dp_dE * energy
    dp_dV = -p / V
    if p < LEAST_PRESSURE:
        p, dp_dE, dp_dV = LEAST_PRESSURE, 0.0, 0.0
    dT_dE = 1.0 / (max(mass, LEAST_MASS) * CV)
    T = energy * dT_dE
    dT_dm = -T / mass if mass > LEAST_MASS else 0.0
    if T < COLDEST:
        T, dT_dm, dT_dE = COLDEST, 0.0, 0.0
    elif T > HOTTEST:
        T, dT_dm, dT_dE = HOTTEST, 0.0, 0.0
    return p, T, dp_dE, dp_dV, dT_dm, dT_dE


VOLUME = Family(
    "volume",
    _volume,
    {"mass": 0.01, "energy": 2e3, "swept": 1e-3},
    ("fixed",),
    ("p", "T"),
    gradient=_volume_gradient,
    depends={"p": ("energy", "swept"), "T": ("mass", "energy")},
)
