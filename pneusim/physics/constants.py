"""Gas constants of dry air and of the ISO 6358 reference state (plain numbers, no numba).

Source: R and KAPPA of dry air, any thermodynamics text; RHO0 and T0 from ISO 8778 (standard reference
atmosphere ANR), as used by ISO 6358-1:2013; MU and PRANDTL of air at 293 K.
"""

R = 287.05  #: gas constant of dry air [J/(kg K)]
KAPPA = 1.4  #: ratio of the specific heats [-]
CV = R / (KAPPA - 1.0)  #: specific heat at constant volume [J/(kg K)]
CP = KAPPA * CV  #: specific heat at constant pressure [J/(kg K)]
RHO0 = 1.185  #: reference density of ISO 6358 [kg/m3]
T0 = 293.15  #: reference temperature of ISO 6358 [K]
MU = 1.82e-5  #: dynamic viscosity of air at 293 K [Pa s]
PRANDTL = 0.71  #: Prandtl number of air [-]
CHOKED_FLUX = 0.68473  #: sqrt(KAPPA) (2/(KAPPA+1))^((KAPPA+1)/(2(KAPPA-1))), rounded [-]
OPEN_END_CD = 0.82  #: discharge coefficient of a short tube end, limit L -> 0 of `tube_conductance` [-]
