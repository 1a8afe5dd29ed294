"""What is packed comes back: to a step in Python's own reading, and value by value the same in the browser's."""

import base64
import json
import subprocess
import zlib
from pathlib import Path

import numpy as np
import pytest

from pneusim.results.run import Channel
from pneusim.show.replay.pack import RESOLUTION, TICK, on_tick, packed, tick
from pneusim.show.replay.samples import Samples
from tests.show.replay.rippled import rippled
from tests.tools import node

ROOT = Path(__file__).parents[3]

DECODE = """
import {readFileSync} from "node:fs";
import {decode} from "codec";
const track = await decode(JSON.parse(readFileSync(process.argv[1], "utf8")));
const text = array => Buffer.from(array.buffer, array.byteOffset, array.byteLength).toString("base64");
const values = Object.fromEntries([...track.values].map(([name, array]) => [name, text(array)]));
process.stdout.write(JSON.stringify({times: text(track.times), values}));
"""


def samples_of(times, **values):
    own = {name.replace("__", "."): np.asarray(v, float) for name, v in values.items()}
    return Samples(np.asarray(times, float), own, 1e-3, len(times))


def channels_of(samples, dimension="pressure"):
    return {name: Channel(name, samples.times, v, dimension, name) for name, v in samples.values.items()}


def unpacked(document):
    """Times and values as numpy reads them, written apart from the packing."""
    inflate = {key: zlib.decompress(base64.b64decode(document[key]), -15) for key in ("times", "values")}
    count, width = document["count"], len(document["channels"])
    planes = np.frombuffer(inflate["times"], np.uint8).reshape(4, count).astype(np.int64)
    times = np.cumsum(((planes[0] * 256 + planes[1]) * 256 + planes[2]) * 256 + planes[3]) * document["tick"]
    high, low = np.frombuffer(inflate["values"], np.uint8).reshape(2, width, count).astype(np.int64)
    codes = 256 * high + low
    steps = np.cumsum(np.where(codes % 2, -(codes + 1) // 2, codes // 2), axis=1)
    rows = np.array(document["offsets"])[:, None] + np.array(document["scales"])[:, None] * steps
    return times, dict(zip(document["channels"], rows.astype(np.float32)))


def varied():
    """Samples with all that may go wrong: jumps over the whole range both ways, noise, constants, negative values."""
    rng = np.random.default_rng(5)
    times = np.sort(np.round(rng.uniform(0.0, 20.0, 4000), 7))
    times[100] = times[101]
    return samples_of(
        times,
        a__pressure=rng.uniform(-3e4, 9e5, 4000),
        b__pressure=np.where(rng.uniform(size=4000) < 0.5, -101325.0, 1.2e7),
        c__pressure=np.full(4000, 827123.4),
        d__pressure=np.zeros(4000),
        e__pressure=7e5 * np.exp(-times / 3.0),
        f__pressure=np.where(times < 9.0, 0.0, 40.0),
    )


def test_values_come_back_within_half_a_step_and_times_within_half_a_tick():
    samples = varied()
    document = packed(samples, channels_of(samples))
    times, values = unpacked(document)
    assert np.abs(times - samples.times).max() <= 0.5001 * TICK
    for name, scale in zip(document["channels"], document["scales"]):
        error = np.abs(values[name] - samples.values[name]).max()
        assert error <= 0.5001 * scale + 1.0  # the browser's single precision: 1 Pa of 12 MPa
    assert document["scales"][0] == RESOLUTION["pressure"]
    assert values["c.pressure"][7] == np.float32(827123.4)


def test_nothing_stays_nothing():
    samples = samples_of([0.0, 1.0, 2.0], a__force=[-123.4, 0.0, 8888.0], b__force=[0.0, 0.0, 0.0])
    _, values = unpacked(packed(samples, channels_of(samples, "force")))
    assert values["a.force"][1] == 0.0
    assert values["b.force"].tolist() == [0.0, 0.0, 0.0]


def test_a_dimension_without_a_resolution_has_many_steps():
    samples = samples_of([0.0, 1.0, 2.0], a__rate=[0.0, 1e-9, 2e-9])
    _, values = unpacked(packed(samples, channels_of(samples, "pressure_rate")))
    assert values["a.rate"] == pytest.approx([0.0, 1e-9, 2e-9], abs=1e-13)


def test_a_run_of_hours_has_wider_ticks():
    samples = samples_of([0.0, 1e5], a__pressure=[0.0, 1.0])
    document = packed(samples, channels_of(samples))
    assert document["tick"] == tick(samples.times) > 1e5 / 2**32
    assert unpacked(document)[0].tolist() == [0.0, 1e5]


def test_an_event_stands_exactly_at_its_samples():
    event = 5.31415926535
    samples = samples_of([0.0, event, event, 9.0], a__pressure=[0.0, 0.0, 5e5, 5e5])
    times, _ = unpacked(packed(samples, channels_of(samples)))
    assert times[1] == times[2] == on_tick(event, tick(samples.times))


@pytest.mark.needs("node")
def test_the_page_reads_the_same_values(tmp_path):
    samples = varied()
    document = packed(samples, channels_of(samples))
    (tmp_path / "samples.json").write_text(json.dumps(document))
    register = (ROOT / "tests" / "web" / "register.js").as_uri()
    call = [node(), "--import", register, "--input-type=module", "--eval", DECODE, str(tmp_path / "samples.json")]
    done = subprocess.run(call, cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    seen = json.loads(done.stdout)
    times, values = unpacked(document)
    assert np.array_equal(np.frombuffer(base64.b64decode(seen["times"]), "<f8"), times)
    assert seen["values"].keys() == values.keys()
    for name, own in values.items():
        assert np.array_equal(np.frombuffer(base64.b64decode(seen["values"][name]), "<f4"), own), name


def test_twenty_seconds_of_150_channels_at_1_ms_are_less_than_a_megabyte():
    samples, channels = rippled()
    document = packed(samples, channels)
    assert (document["count"], len(document["channels"])) == (20_001, 150)
    assert len(document["times"]) + len(document["values"]) < 1e6
    assert len(document["values"]) < 4 / 3 * 4 * 150 * 20_001 / 15  # as plain numbers of single precision in base64
    _, values = unpacked(document)
    assert max(np.abs(values[name] - samples.values[name]).max() for name in channels if "pressure" in name) <= 50.1
