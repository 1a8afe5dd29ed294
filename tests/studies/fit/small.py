"""A small fit: a tank that empties, its pressure measured with noise."""

from __future__ import annotations

import numpy as np

from pneusim.studies.fit.file import load_fit_text
from tests.studies.fit.synthetic import tank, traces, written

NOISE = 1e3  # [Pa]

TEXT = """\
pneusim: 1
circuit: tank
scenario: empties
measured:
  columns: {{p: {{channel: tank.pressure{noise}}}}}
  offset: {offset}
parameters:
  {parameters}
starts: {starts}
"""
C_AND_B = """\
c: {of: hole.conductance, from: 0.5 dm3/(s bar), to: 10 dm3/(s bar), start: 1 dm3/(s bar)}
  b: {of: hole.critical_ratio, from: 0, to: 0.9, start: 0.5}"""

TIMES = np.arange(0.02, 2.5, 0.02)


def truth(times=TIMES, changes=None, heat="isothermal"):
    """The pressure without noise."""
    return traces(tank(heat), "empties", ["tank.pressure"], changes)["tank.pressure"](times)


def csv(values, times=TIMES):
    return written(times, {"p": (values, "kPa", "pressure")}, digits=9)


def problem(folder, text, parameters=C_AND_B, starts=1, noise="", offset="0 s", heat="isothermal"):
    """The fit of a measured text."""
    file = folder / "measured.csv"
    file.write_text(text)
    fit = TEXT.format(parameters=parameters, starts=starts, noise=noise, offset=offset)
    return load_fit_text(fit, "fit.yaml", tank(heat), file)
