"""A run that fails keeps what it has, and the scenarios after it still run."""

from __future__ import annotations

import json
from functools import partial
from pathlib import Path

import pytest
from click.testing import CliRunner

from pneusim.cli import main
from pneusim.engine.methods import Rosenbrock
from pneusim.errors import RunFailed
from pneusim.reading import load
from pneusim.simulate import run, session


@pytest.mark.parametrize("budget", [1, 5, 60])
def test_a_failed_run_keeps_its_last_steps_and_the_next_scenario_runs(
    budget: int, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(session, "METHODS", {"rodas4": partial(Rosenbrock, budget=budget)})
    with pytest.raises(RunFailed) as caught:
        run(load("circuits/one-axle.yaml"), "brake")
    told = float(str(caught.value).partition(" at ")[2].partition(" s;")[0])
    assert caught.value.partial["left.service_pressure"].times[-1] == pytest.approx(told, abs=1e-5)
    result = CliRunner().invoke(main, ["run", "circuits/one-axle.yaml", "brake", "park", "-o", str(tmp_path)])
    assert result.exit_code == 4
    for scenario in ("brake", "park"):
        summary = json.loads((tmp_path / f"{scenario}.failed" / "summary.json").read_text())
        assert summary["status"] == "failed"
