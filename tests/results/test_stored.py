import io
import json
import math
import zipfile
from dataclasses import fields, replace
from pathlib import Path

import numpy as np
import pytest

from pneusim.circuit.circuit import Circuit, Component, Heat, Line, Port
from pneusim.errors import Place, RunFailed, UsageError
from pneusim.reading import load, shipped_circuits
from pneusim.results import finish
from pneusim.results.files import files
from pneusim.results.run import failed
from pneusim.results.store import store
from pneusim.results.stored import as_stored, circuit_as_json, read_result
from tests.results.synthetic import separation


@pytest.fixture(scope="module")
def run():
    return finish(separation())


@pytest.fixture
def folder(run, tmp_path):
    return store(run, tmp_path)


def test_a_result_comes_back_with_all_that_it_had(run, folder):
    back = read_result(folder)
    for field in fields(run):
        if field.name not in ("channels", "circuit", "scenario"):
            assert getattr(back, field.name) == getattr(run, field.name), field.name
    assert (back.circuit, back.scenario) == (run.circuit, run.scenario)
    assert back.channels.keys() == run.channels.keys()
    for name, channel in run.channels.items():
        assert (back[name].dimension, back[name].label) == (channel.dimension, channel.label)
        assert np.array_equal(back[name].times, channel.times)
        assert np.array_equal(back[name].values, channel.values.astype(np.float32))


def test_as_stored_is_what_comes_back(run, folder):
    back, told = read_result(folder), as_stored(run)
    assert (back.circuit, back.scenario, list(back.channels)) == (told.circuit, told.scenario, list(told.channels))
    assert all(np.array_equal(back[name].values, told[name].values) for name in told.channels)


def test_what_is_read_back_is_stored_as_it_was(folder):
    stored = {path.name: path.read_bytes() for path in folder.iterdir()}
    assert files(read_result(folder)) == stored


@pytest.mark.parametrize("name", sorted(shipped_circuits()))
def test_every_shipped_circuit_comes_back_but_for_the_folders_of_its_files(name, tmp_path):
    circuit = load(name)
    scenario = next(iter(circuit.scenarios.values()))
    place = store(failed(circuit, scenario, "nothing was run", "rodas4"), tmp_path)
    back = read_result(place)
    assert back.circuit.components.keys() == circuit.components.keys()
    assert circuit_as_json(back.circuit, back.scenario) == circuit_as_json(circuit, scenario)
    for ours, theirs in zip(back.circuit.components.values(), circuit.components.values()):
        assert replace(ours, place=theirs.place) == theirs
        assert (ours.place.line, Path(theirs.place.file).name) == (theirs.place.line, ours.place.file)
    for ours, theirs in zip(back.circuit.lines.values(), circuit.lines.values()):
        assert replace(ours, place=theirs.place) == theirs
    for ours, theirs in zip(back.scenario.steps, scenario.steps):
        assert replace(ours, place=theirs.place) == theirs
    assert back.circuit.vehicles == tuple(
        replace(
            theirs,
            place=ours.place,
            axles=tuple(replace(b, place=a.place) for a, b in zip(ours.axles, theirs.axles)),
            motion=_placed(ours.motion, theirs.motion),
        )
        for ours, theirs in zip(back.circuit.vehicles, circuit.vehicles)
    )


def _placed(ours, theirs):
    """What makes a unit roll, its loadings at the places of ours."""
    if theirs is None:
        return None
    laden, empty = replace(theirs.laden, place=ours.laden.place), theirs.empty
    return replace(theirs, laden=laden, empty=empty and replace(empty, place=ours.empty.place))


def test_no_folder_of_the_machine_is_told(tmp_path):
    place = Place(str(tmp_path / "mine.yaml"), 3, 4)
    tank = Component("tank", "reservoir", {"volume": 0.04, "ports": np.int64(2)}, heat=Heat("fixed", 9.0), place=place)
    line = Line("feed", Port("tank", "21"), Port("tank", "22"), 1.0, 0.009, place=place)
    circuit = Circuit("Mine", {"tank": tank}, {"feed": line}, source=str(tmp_path / "mine.yaml"))
    data = circuit_as_json(circuit, separation().scenario)
    assert str(tmp_path).encode() not in data
    assert json.loads(data)["circuit"]["components"]["tank"]["place"] == {"file": "mine.yaml", "line": 3, "column": 4}
    assert json.loads(data)["circuit"]["components"]["tank"]["parameters"]["ports"] == 2


def test_a_run_that_failed_before_anything_was_sampled_comes_back(run, tmp_path):
    nothing = failed(run.circuit, run.scenario, "It did not settle.", "rodas4", "large_feed")
    back = read_result(store(nothing, tmp_path))
    assert (back.status, back.message, back.variant) == ("failed", "It did not settle.", "large_feed")
    assert back.channels == {}
    assert math.isnan(back.closure.mass)
    assert back.span == (0.0, 0.0)


def test_a_real_run_comes_back(tmp_path):
    import pneusim

    circuit = load("tank-and-orifice")
    real = pneusim.run(circuit, "empty")
    assert not isinstance(real, RunFailed)
    back = read_result(store(real, tmp_path))
    assert back.measures == real.measures
    assert back.events == real.events


def _told(folder):
    with pytest.raises(UsageError) as error:
        read_result(folder)
    assert error.value.exit_code == 2
    return str(error.value)


def test_a_folder_that_is_not_there(tmp_path):
    gone = tmp_path / "gone"
    assert _told(gone) == f"{gone}: there is no such folder; name one that 'pneusim run' wrote"


def test_a_folder_without_a_result_names_those_inside(folder):
    assert _told(folder.parent) == (
        f"{folder.parent}: the folder holds no result, for it lacks summary.json; it has folders of results: separation"
    )


def test_an_empty_folder(tmp_path):
    assert _told(tmp_path).endswith("it lacks summary.json; name one that 'pneusim run' wrote")


@pytest.mark.parametrize("name", ["circuit.json", "channels.npz", "channels.json", "events.csv", "timing.json"])
def test_a_file_that_is_missing(folder, name):
    (folder / name).unlink()
    assert _told(folder) == f"{folder}: the result lacks {name}; run the scenario again"


@pytest.mark.parametrize(
    ("name", "content"),
    [
        ("summary.json", b"{"),
        ("summary.json", b"\xff\xfe"),
        ("summary.json", b"[" * 100_000),
        ("circuit.json", b"[]"),
        ("circuit.json", b'{"circuit": {}, "scenario": {}}'),
        ("channels.json", b"[]"),
        ("channels.json", b'{"tank.pressure": {"dimension": "pressure", "label": 7}}'),
        ("channels.json", b'{"tank.pressure": {"dimension": "charm", "label": ""}}'),
        ("channels.npz", b"PK"),
        ("channels.npz", b""),
        ("events.csv", b"time,kind\nsoon,set\n"),
        ("timing.json", b"{}"),
        ("timing.json", b"[]"),
        ("timing.json", b'{"phases": {"running": "long"}, "wall_s": 1, "cpu_s": 1}'),
    ],
)
def test_a_damaged_file(folder, name, content):
    (folder / name).write_bytes(content)
    assert _told(folder).startswith(f"{folder / name}: the file is damaged (")


def _bent(data, share):
    at = int(share * len(data))
    return data[:at] + bytes(byte ^ 0x5A for byte in data[at : at + 9]) + data[at + 9 :]


@pytest.mark.parametrize("share", [0.0, 0.001, 0.01, 0.1, 0.3, 0.5, 0.7, 0.9, 0.99])
@pytest.mark.parametrize("harm", [_bent, lambda data, share: data[: int(share * len(data))]], ids=["bent", "cut"])
def test_damaged_channels(folder, harm, share):
    place = folder / "channels.npz"
    place.write_bytes(harm(place.read_bytes(), share))
    assert _told(folder).startswith(f"{place}: the file is damaged (")


def _archive(method, version):
    """An archive of an empty file, written as if by a packer that this one does not know or cannot unpack."""
    data = io.BytesIO()
    with zipfile.ZipFile(data, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("time.npy", bytes(1000))
    raw = bytearray(data.getvalue())
    head, directory = raw.index(b"PK\x03\x04"), raw.index(b"PK\x01\x02")
    for at in (head + 8, directory + 10):
        raw[at : at + 2] = method.to_bytes(2, "little")
    raw[directory + 6 : directory + 8] = version.to_bytes(2, "little")
    return bytes(raw)


@pytest.mark.parametrize(("method", "version"), [(8, 221), (97, 20)])
def test_channels_in_an_archive_of_another_kind(folder, method, version):
    (folder / "channels.npz").write_bytes(_archive(method, version))
    assert "channels.npz: the file is damaged (NotImplementedError: " in _told(folder)


def test_channels_whose_packed_values_are_bent(folder):
    place = folder / "channels.npz"
    raw = bytearray(place.read_bytes())
    with zipfile.ZipFile(io.BytesIO(bytes(raw))) as archive:
        largest = max(archive.infolist(), key=lambda entry: entry.compress_size)
    at = largest.header_offset + 30 + len(largest.filename)
    raw[at : at + 8] = b"\xff" * 8
    place.write_bytes(bytes(raw))
    assert "channels.npz: the file is damaged (error: Error -3 while decompressing data" in _told(folder)


def test_a_file_that_cannot_be_read(folder):
    (folder / "circuit.json").unlink()
    (folder / "circuit.json").mkdir()
    assert _told(folder) == f"{folder / 'circuit.json'}: cannot be read (Is a directory)"


def _changed(folder, name, change):
    content = json.loads((folder / name).read_text())
    change(content)
    (folder / name).write_text(json.dumps(content))


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda told: told["measures"][0].update(value="much"), "measures.0.value"),
        (lambda told: told["measures"][0].update(dimension="charm"), "has a dimension 'charm', which there is not"),
        (lambda told: told.update(narrative=7), "narrative"),
        (lambda told: told["sources"].append({}), "sources."),
        (lambda told: told.update(status="well"), "status: Input should be 'ok' or 'failed'"),
        (lambda told: told.update(solver=[]), "TypeError"),
    ],
)
def test_a_summary_of_the_wrong_shape(folder, change, words):
    _changed(folder, "summary.json", change)
    assert _told(folder).startswith(f"{folder / 'summary.json'}: the file is damaged (")
    assert words in _told(folder)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda it: it["circuit"].update(name="bus"), "its circuit is bus, that of summary.json is made_up"),
        (lambda it: it["scenario"].update(name="hill"), "its scenario is hill, that of summary.json is separation"),
        (
            lambda it: it["circuit"]["lines"].update(
                hose={"name": "hose", "start": {"component": "tractor.primary", "number": "21"},
                      "end": {"component": "trailer.tank", "number": "1"}, "length": 1.0, "bore": 0.01}
            ),
            "its line hose has no channels: it is of another circuit",
        ),
        (
            lambda it: it["circuit"]["joints"].append({"ports": [{"component": "gone", "number": "1"}]}),
            "there is no component gone",
        ),
        (lambda it: it["circuit"]["components"]["trailer.tank"]["parameters"].update(volume="big"), "volume"),
    ],
)  # fmt: skip
def test_a_circuit_that_is_not_the_one_that_ran(folder, change, words):
    _changed(folder, "circuit.json", change)
    assert _told(folder).startswith(f"{folder / 'circuit.json'}: the file is damaged (")
    assert words in _told(folder)


def test_channels_and_their_words_that_do_not_belong_together(folder):
    (folder / "channels.json").write_text("{}")
    assert "channels.npz: the file is damaged (ValueError: its channels are not those of channels.json" in _told(folder)


def test_a_result_of_another_version(folder):
    summary = json.loads((folder / "summary.json").read_text())
    (folder / "summary.json").write_text(json.dumps({**summary, "pneusim": "0.0.0"}))
    assert "was written by pneusim 0.0.0, this is" in _told(folder)
    (folder / "summary.json").write_text("[]")
    assert "by a pneusim of an unknown version, this is" in _told(folder)


def test_a_summary_that_lacks_a_key(folder):
    summary = json.loads((folder / "summary.json").read_text())
    del summary["solver"]
    (folder / "summary.json").write_text(json.dumps(summary))
    assert "summary.json: the file is damaged (KeyError: 'solver')" in _told(folder)
