"""A result's folder read back, and the file in it that holds the circuit.

``circuit.json`` holds the circuit as it ran and the scenario; of the files that they were read from it knows the names
alone, so that it is the same on every machine.
"""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields, is_dataclass, replace
from functools import cache
from pathlib import Path, PurePath
from typing import Any, Literal, TypeVar

import numpy as np
from pydantic import TypeAdapter, ValidationError

from pneusim.circuit.circuit import Circuit
from pneusim.circuit.network import used_ports
from pneusim.circuit.scenario import Scenario
from pneusim.errors import Place, UsageError
from pneusim.parts.registry import part, part_types
from pneusim.quantities import DIMENSIONS
from pneusim.results.run import Channel, Closure, Event, MeasureResult, Run, SolverReport

Found = TypeVar("Found")


@dataclass(frozen=True)
class _Ran:
    """What ``circuit.json`` holds."""

    circuit: Circuit
    scenario: Scenario


@dataclass(frozen=True)
class _Timing:
    """What is taken from ``timing.json`` [s]."""

    phases: dict[str, float]
    wall_s: float
    cpu_s: float


@dataclass(frozen=True)
class _Word:
    """What is taken from ``channels.json`` for each channel."""

    dimension: str
    label: str


@dataclass(frozen=True)
class _Summary:
    """What is taken from ``summary.json``."""

    circuit: str
    scenario: str
    closure: Closure
    solver: SolverReport
    status: Literal["ok", "failed"]
    message: str
    measures: tuple[MeasureResult, ...]
    narrative: tuple[str, ...]
    sources: tuple[str, ...]
    extrapolated: tuple[str, ...]
    variant: str | None


def circuit_as_json(circuit: Circuit, scenario: Scenario) -> bytes:
    """The content of ``circuit.json``."""
    content = _adapter(_Ran).dump_python(_Ran(_placeless(circuit), _placeless(scenario)))
    text = json.dumps(content, separators=(",", ":"), ensure_ascii=False, allow_nan=False, default=_plain_number)
    return f"{text}\n".encode()


def read_result(folder: str | Path) -> Run:
    """Read a result's folder.

    Parameters
    ----------
    folder : str or path
        That of one scenario: ``results/<circuit>/<scenario>``.

    Returns
    -------
    Run
        Values of channels as stored, in single precision.

    Raises
    ------
    UsageError
        If the folder holds no result, lacks a file, was written by another version, or cannot be read.
    """
    place = Path(folder)
    summary = _summary(place)
    timing = _read(place, "timing.json", lambda data: _adapter(_Timing).validate_python(json.loads(data)))
    told = _told(place, lambda: _told_by(summary, timing), "summary.json")
    words = _read(place, "channels.json", _words)
    channels = _read(place, "channels.npz", lambda data: _channels(data, words))
    ran = _read(place, "circuit.json", lambda data: _ran(data, told, channels))
    events = _read(place, "events.csv", _events)
    return Run(
        ran.circuit, ran.scenario, channels, events, told.closure, told.solver, told.status, told.message,
        told.measures, told.narrative, told.sources, told.extrapolated, told.variant,
    )  # fmt: skip


def as_stored(run: Run) -> Run:
    """The run as `read_result` gives it back, for what must be the same whether made from a run or from its folder."""
    channels = {
        name: replace(channel, values=channel.values.astype(np.float32).astype(float))
        for name, channel in sorted(run.channels.items())
    }
    return replace(run, circuit=_placeless(run.circuit), scenario=_placeless(run.scenario), channels=channels)


def _summary(place: Path) -> dict[str, Any]:
    from pneusim import __version__

    if not place.is_dir():
        raise UsageError(f"{place}: there is no such folder; name one that 'pneusim run' wrote")
    if not (place / "summary.json").is_file():
        inside = sorted(path.parent.name for path in place.glob("*/summary.json"))
        hint = f"it has folders of results: {', '.join(inside)}" if inside else "name one that 'pneusim run' wrote"
        raise UsageError(f"{place}: the folder holds no result, for it lacks summary.json; {hint}")
    summary: dict[str, Any] = _read(place, "summary.json", json.loads)
    version = summary.get("pneusim") if isinstance(summary, dict) else None
    if version != __version__:
        written = f"pneusim {version}" if version else "a pneusim of an unknown version"
        raise UsageError(
            f"{place}: the result was written by {written}, this is {__version__}; "
            "run the scenario again"
        )
    return summary


def _read(place: Path, name: str, use: Callable[[bytes], Found]) -> Found:
    try:
        data = (place / name).read_bytes()
    except FileNotFoundError:
        raise UsageError(f"{place}: the result lacks {name}; run the scenario again") from None
    except OSError as error:
        raise UsageError(f"{place / name}: cannot be read ({error.strerror})") from None
    return _told(place, lambda: use(data), name)


def _told(place: Path, use: Callable[[], Found], name: str) -> Found:
    try:
        return use()
    except ValidationError as errors:
        error = errors.errors()[0]
        why = f"{'.'.join(map(str, error['loc']))}: {error['msg']}"
    except Exception as error:  # whatever the readers of archives, numbers and texts stumble over
        why = f"{type(error).__name__}: {error}"
    raise UsageError(f"{place / name}: the file is damaged ({why}); run the scenario again")


def _ran(data: bytes, told: _Summary, channels: Mapping[str, Channel]) -> _Ran:
    ran: _Ran = _adapter(_Ran).validate_python(json.loads(data))
    for noun, ours, theirs in (
        ("circuit", ran.circuit.name, told.circuit), ("scenario", ran.scenario.name, told.scenario),
    ):  # fmt: skip
        if ours != theirs:
            raise ValueError(f"its {noun} is {ours}, that of summary.json is {theirs}")
    _hangs_together(ran.circuit)
    owners = {name.rpartition(".")[0] for name in channels}
    if channels and (without := [name for name in ran.circuit.lines if name not in owners]):
        raise ValueError(f"its line {without[0]} has no channels: it is of another circuit")
    return ran


def _hangs_together(circuit: Circuit) -> None:
    """Raise an error if a port or a parameter is none of the circuit's components."""
    if unknown := [port for port in used_ports(circuit) if port.component not in circuit.components]:
        raise ValueError(f"there is no component {unknown[0].component}")
    for component in circuit.components.values():
        if component.type in part_types():
            part(component.type).model_validate(dict(component.parameters))


def _words(data: bytes) -> dict[str, _Word]:
    words: dict[str, _Word] = _adapter(dict[str, _Word]).validate_python(json.loads(data))
    for name, word in words.items():
        _known(word.dimension, name)
    return words


def _known(dimension: str, of: str) -> None:
    if dimension not in DIMENSIONS:
        raise ValueError(f"{of} has a dimension {dimension!r}, which there is not")


def _channels(data: bytes, words: Mapping[str, _Word]) -> dict[str, Channel]:
    with np.load(io.BytesIO(data), allow_pickle=False) as stored:
        arrays = {name: stored[name].astype(float) for name in stored.files}
    times = arrays.pop("time", np.zeros(0))
    if wrong := [name for name, values in arrays.items() if values.shape != times.shape]:
        raise ValueError(f"{wrong[0]} has not as many samples as there are times")
    if arrays.keys() != words.keys():
        raise ValueError("its channels are not those of channels.json")
    return {
        name: Channel(name, times, values, words[name].dimension, words[name].label) for name, values in arrays.items()
    }


def _events(data: bytes) -> tuple[Event, ...]:
    rows = csv.DictReader(io.StringIO(data.decode(), newline=""))
    return tuple(
        Event(float(row["time"]), row["kind"], row["component"], row["text"], row["category"]) for row in rows
    )


def _told_by(summary: dict[str, Any], timing: _Timing) -> _Summary:
    solver, closure = summary["solver"], summary["closure"]
    told = {
        **summary,
        "closure": {name: _number(value) for name, value in closure.items()},
        "solver": {
            **solver, "smallest_time_constant": _number(solver["smallest_time_constant"]),
            "rtol": _number(solver["rtol"]),
            "phases": timing.phases, "wall": timing.wall_s, "cpu": timing.cpu_s,
        },
        "measures": [{**measure, "limit": measure["limit"] or ""} for measure in summary["measures"]],
    }  # fmt: skip
    checked: _Summary = _adapter(_Summary).validate_python(told)
    for measure in checked.measures:
        _known(measure.dimension, measure.name)
    return checked


def _number(value: float | None) -> float:
    return float("nan") if value is None else value


def _plain_number(value: Any) -> Any:
    """A number of numpy, in a circuit made in Python."""
    return value.item()


@cache
def _adapter(kind: type[Found]) -> TypeAdapter[Found]:
    """What checks JSON and makes data of a kind of it."""
    return TypeAdapter(kind)


def _placeless(value: Any) -> Any:
    """Data of a circuit without the folders of its files."""
    if isinstance(value, Place):
        return replace(value, file=PurePath(value.file).name)
    if isinstance(value, Circuit):
        value = replace(value, source=PurePath(value.source).name)
    if is_dataclass(value) and not isinstance(value, type):
        return replace(value, **{f.name: _placeless(getattr(value, f.name)) for f in fields(value)})
    if isinstance(value, dict):
        return {key: _placeless(item) for key, item in value.items()}
    if isinstance(value, tuple):
        return tuple(map(_placeless, value))
    return value
