"""Air through holes and nozzles.

Sources of the figures: `shared/references/orifices.yaml`, each with title, edition and page.
"""

from __future__ import annotations

import math

import pytest

from pneusim.physics.constants import R
from pneusim.physics.plain import hole_conductance
from tests.engine.bench import ATMOSPHERE, Bench
from tests.reference_figures import Figure, figure, figures
from tests.validation.circuits import block, told

TABLE = [f for name, f in figures().items() if name.startswith("orifice_table")]
NOZZLES = ["cengel_12_5_subsonic", "cengel_12_5_choked", "fox_12_2_nozzle", "companion_3785_tank_outflow"]
HOLE_RATIO = 0.528
FREE_AIR = 1.185  # the density that a flow of volume in `cfm` stands for [kg/m3]


def test_table_of_free_air_through_a_hole():
    """One run that steps the source through the pressures of the table; free air is that around the hole."""
    given = TABLE[0].inputs
    steps = [f"{{at: {k + 1} s, set: source.pressure, to: {f.inputs['pressure']}}}" for k, f in enumerate(TABLE)]
    run = told(f"""
ambient: {{pressure: {given["ambient"]}, temperature: {given["temperature"]}}}
components:
  source: {{type: supply}}
  hole:   {{type: restriction, hole: {given["hole"]}, cd: {given["cd"]}}}
  air:    {{type: atmosphere}}
  tank:   {{type: reservoir, volume: 1 L}}
  cap:    {{type: plug}}
joints:
  - [source.1, hole.1]
  - [hole.2, air.1]
  - [tank.1, cap.1]
scenarios:
  check:
    lasts: {len(TABLE) + 1} s
    steps:
{block(steps)}
""")
    rho = TABLE[0]["ambient"] / (R * TABLE[0]["temperature"])
    for k, f in enumerate(TABLE):
        f.check(run["hole.flow"](k + 1.5) / rho * FREE_AIR)


@pytest.mark.parametrize("name", NOZZLES)
def test_nozzle(name: str):
    """The source holds the stagnation state, the surroundings the back pressure."""
    f: Figure = figure(name)
    bench = Bench(f["back"], f["temperature"])
    source, _ = bench.source("source", f["supply"] - f["back"])
    bench.valve("nozzle", source, ATMOSPHERE, hole_conductance(math.sqrt(4.0 * f["area"] / math.pi), 1.0), HOLE_RATIO)
    f.check(bench.run(0.01)["nozzle"][-1])
