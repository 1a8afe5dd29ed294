import pytest
from click.testing import CliRunner

from pneusim.cli import main

ORIFICE = """\
pneusim: 1
title: A reservoir empties through an orifice
components:
  tank: {type: reservoir, volume: 2 L, pressure: 6 bar}
  hole: {type: restriction, conductance: 2 dm3/(s bar), critical_ratio: 0.5}
  air:  {type: atmosphere}
joints:
  - [tank.21, hole.1]
  - [hole.2, air.1]
variants:
  large_tank: {tank.volume: 4 L}
scenarios:
  empties:
    lasts: 1 s
    measure:
      - {name: half, reach: tank.pressure, falls_to: 3 bar}
    expect:
      - {measure: half, at_most: 5 s}
  too_slow:
    lasts: 0.5 s
    expect:
      - {measure: tank.lowest, at_most: 0.1 bar}
"""


@pytest.fixture
def call(tmp_path, monkeypatch):
    """Calls the command line in an empty folder with one small circuit; gives the result."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "orifice.yaml").write_text(ORIFICE)

    def run(*args, **options):
        return CliRunner().invoke(main, [str(a) for a in args], catch_exceptions=False, **options)

    return run
