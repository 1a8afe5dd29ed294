"""A result's folder read back, and the file in it that holds the circuit.

``circuit.json`` holds the circuit as it ran and the scenario; of the files that they were read from it knows the names
alone, so that it is the same on every machine.
"""

from __future__ import annotations

import csv
import io
import json
import zipfile
from collections.abc import Callable
from dataclasses import fields, is_dataclass, replace
from functools import cache
from pathlib import Path, PurePath
from typing import Any, NamedTuple, TypeVar

import numpy as np
from pydantic import TypeAdapter, ValidationError

from pneusim.circuit.circuit import Circuit
from pneusim.circuit.scenario import Scenario
from pneusim.errors import Place, UsageError
from pneusim.results.run import Channel, Closure, Event, MeasureResult, Run, SolverReport

Found = TypeVar("Found")


class _Ran(NamedTuple):
    """What ``circuit.json`` holds."""

    circuit: Circuit
    scenario: Scenario


def circuit_as_json(circuit: Circuit, scenario: Scenario) -> bytes:
    """The content of ``circuit.json``."""
    plain = _adapter().dump_python(_Ran(_placeless(circuit), _placeless(scenario)))
    content = dict(zip(_Ran._fields, plain))
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
    ran = _read(place, "circuit.json", _ran)
    words = _read(place, "channels.json", _words)
    channels = _read(place, "channels.npz", lambda data: _channels(data, words))
    events = _read(place, "events.csv", _events)
    timing = _read(place, "timing.json", _timing)
    return _told(place, lambda: _run(ran, summary, timing, channels, events), "summary.json")


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
    except (ValueError, KeyError, TypeError, AttributeError, IndexError, zipfile.BadZipFile, EOFError) as error:
        why = f"{type(error).__name__}: {error}"
    raise UsageError(f"{place / name}: the file is damaged ({why}); run the scenario again")


def _ran(data: bytes) -> _Ran:
    content = json.loads(data)
    return _adapter().validate_python(tuple(content[name] for name in _Ran._fields))


def _timing(data: bytes) -> tuple[dict[str, float], float, float]:
    content = json.loads(data)
    return content["phases"], content["wall_s"], content["cpu_s"]


def _words(data: bytes) -> dict[str, tuple[str, str]]:
    """Dimension and label of every channel."""
    return {name: (told["dimension"], told["label"]) for name, told in json.loads(data).items()}


def _channels(data: bytes, words: dict[str, tuple[str, str]]) -> dict[str, Channel]:
    with np.load(io.BytesIO(data), allow_pickle=False) as stored:
        arrays = {name: stored[name].astype(float) for name in stored.files}
    times = arrays.pop("time", np.zeros(0))
    if wrong := [name for name, values in arrays.items() if values.shape != times.shape]:
        raise ValueError(f"{wrong[0]} has not as many samples as there are times")
    if arrays.keys() != words.keys():
        raise ValueError("its channels are not those of channels.json")
    return {name: Channel(name, times, values, *words[name]) for name, values in arrays.items()}


def _events(data: bytes) -> tuple[Event, ...]:
    rows = csv.DictReader(io.StringIO(data.decode(), newline=""))
    return tuple(
        Event(float(row["time"]), row["kind"], row["component"], row["text"], row["category"]) for row in rows
    )


def _run(
    ran: _Ran, summary: dict[str, Any], timing: tuple[dict[str, float], float, float], channels: dict[str, Channel],
    events: tuple[Event, ...],
) -> Run:  # fmt: skip
    solver, closure = summary["solver"], summary["closure"]
    return Run(
        ran.circuit, ran.scenario, channels, events,
        Closure(_number(closure["mass"]), _number(closure["energy"])),
        SolverReport(
            solver["engine"], solver["states"], solver["steps"], solver["rejected"], solver["segments"],
            _number(solver["smallest_time_constant"]), *timing,
        ),
        summary["status"], summary["message"],
        measures=tuple(map(_measure, summary["measures"])), narrative=tuple(summary["narrative"]),
        sources=tuple(summary["sources"]), extrapolated=tuple(summary["extrapolated"]), variant=summary["variant"],
    )  # fmt: skip


def _measure(told: dict[str, Any]) -> MeasureResult:
    return MeasureResult(
        told["name"], told["value"], told["dimension"], told.get("reason", ""), told["limit"] or "", told["met"],
        told.get("error"),
    )  # fmt: skip


def _number(value: float | None) -> float:
    return float("nan") if value is None else value


def _plain_number(value: Any) -> Any:
    """A number of numpy, in a circuit made in Python."""
    return value.item()


@cache
def _adapter() -> TypeAdapter[_Ran]:
    return TypeAdapter(_Ran)


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
