"""The page on results names every automatic measure."""

from pathlib import Path

from pneusim.results import finish
from tests.results.synthetic import separation

PAGE = Path(__file__).parents[2] / "docs" / "results.md"


def test_every_kind_of_measure_is_on_the_page():
    page = PAGE.read_text(encoding="utf-8")
    run = finish(separation())
    own = {measure.name for measure in run.scenario.measures}
    happened = {f"{event.component}.{event.kind}" for event in run.events}
    kinds = {m.name.rsplit(".", 1)[1] for m in run.measures if m.name not in own | happened}
    assert len(kinds) >= 15
    assert [
        kind for kind in sorted(kinds | {"force_10", "lets_go"}) if f"`{kind}`" not in page and f".{kind}`" not in page
    ] == []


def test_every_file_is_on_the_page():
    from pneusim.results.files import files

    page = PAGE.read_text(encoding="utf-8")
    assert [name for name in files(finish(separation())) if f"`{name}`" not in page] == []
