"""The outcome of a case: what a row of a study is made of, and its bytes in the store."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from pneusim.results.plain import finite
from pneusim.results.run import Run

OK, FAILED = "ok", "failed"


@dataclass(frozen=True)
class Outcome:
    """What a case came to.

    Attributes
    ----------
    key, name : str
        Key in the store and what the study calls the case; `pneusim.studies.study.work` fills them in.
    status : str
        ``ok`` or ``failed``.
    message : str
        Of a failed case: why, a sentence.
    measures : Mapping[str, float or None]
        SI, pressures gauge; None where there is no value.
    events : tuple of mappings
        ``{time, kind, component, text}``.
    narrative : tuple of str
    extra : Mapping[str, Any]
        What else the judge found; plain data of JSON, no wall times.
    """

    key: str = ""
    name: str = ""
    status: str = OK
    message: str = ""
    measures: Mapping[str, float | None] = field(default_factory=dict)
    events: tuple[Mapping[str, Any], ...] = ()
    narrative: tuple[str, ...] = ()
    extra: Mapping[str, Any] = field(default_factory=dict)

    @classmethod
    def of(cls, run: Run, **extra: Any) -> Outcome:
        """The outcome of a run, with all its measures, events and sentences."""
        events = tuple({"time": e.time, "kind": e.kind, "component": e.component, "text": e.text} for e in run.events)
        measures = {m.name: m.value for m in run.measures}
        return cls("", "", run.status, message_of(run), measures, events, run.narrative, extra)

    def to_bytes(self) -> bytes:
        """Canonical JSON without the name, which is the study's; the same outcome gives the same bytes."""
        content = {
            "key": self.key,
            "status": self.status,
            "message": self.message,
            "measures": {name: finite(value) for name, value in self.measures.items()},
            "events": [dict(event) for event in self.events],
            "narrative": list(self.narrative),
            "extra": dict(self.extra),
        }
        return (json.dumps(content, indent=1, ensure_ascii=False, allow_nan=False) + "\n").encode()

    @classmethod
    def from_bytes(cls, data: bytes) -> Outcome:
        """Read what `to_bytes` wrote.

        Raises
        ------
        ValueError
            If it is something else, or cut short.
        """
        content = json.loads(data)
        try:
            return cls(
                content["key"], "", content["status"], content["message"], content["measures"],
                tuple(content["events"]), tuple(content["narrative"]), content["extra"],
            )  # fmt: skip
        except (KeyError, TypeError) as missing:
            raise ValueError(f"no outcome of a case: {missing}") from None


def message_of(run: Run) -> str:
    """Why a run failed, "" if it did not."""
    return "" if run.status == OK else run.message
