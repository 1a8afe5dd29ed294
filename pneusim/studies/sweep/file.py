"""Reads a study file: every fault at once, with line and column, in the study and against the circuit it names."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace
from pathlib import Path

from pneusim.circuit.automatic import AUTOMATIC
from pneusim.circuit.circuit import Circuit
from pneusim.circuit.scenario import Expectation, Measure
from pneusim.reading.documents import Document, Library
from pneusim.reading.faults import Faults, nearest
from pneusim.reading.fields import Fields
from pneusim.reading.measures import read_expectations, read_measures
from pneusim.reading.tree import ListNode, MapNode, Scalar
from pneusim.studies.file import Reader, Shelf, opened
from pneusim.studies.sweep.parameter import Parameter
from pneusim.studies.sweep.parameter_file import ParameterReader
from pneusim.studies.sweep.plans import GRID, INDICES, KINDS, LIST, MOST_CASES, SOBOL, Plan
from pneusim.studies.sweep.result import COLUMNS
from pneusim.studies.sweep.study import CONFIDENCE, INTERVALS, RTOL, WILSON, Study, Worst

_REQUIRED = ("pneusim", "circuit", "scenario", "parameters", "plan")
_OPTIONAL = ("title", "about", "variant", "measure", "expect", "rtol", "worst", "confidence", "interval")
_LEAST_RTOL, _MOST_RTOL = 1e-10, 1e-2
MOST_SEARCHED = 100_000

STUDIES = Shelf("studies", "study", "studies")


def load_study(path: str | Path) -> Study:
    """Read a study file, or a shipped study by its name.

    Raises
    ------
    InvalidFile
        With all faults of the study, or of the circuit that it names.
    """
    faults = Faults()
    library = Library(faults)
    return _study(library.open(STUDIES.find(path)), library, faults)


def load_study_text(text: str, name: str = "study", circuit: Circuit | None = None) -> Study:
    """Read a study from text; as text cannot name files, its circuit is given beside it.

    Raises
    ------
    InvalidFile
    """
    faults = Faults()
    library = Library(faults)
    return _study(library.text(text, name), library, faults, circuit)


def _study(document: Document | None, library: Library, faults: Faults, circuit: Circuit | None = None) -> Study:
    reader = _Reader(*opened(document, library, faults, _REQUIRED, _OPTIONAL, circuit))
    assert document is not None
    made = reader.study(Path(document.file).stem)
    faults.raise_errors()
    return replace(made, source=document.file)


class _Reader(Reader):
    """Reads what stands in a study."""

    def study(self, name: str) -> Study:
        fields = self.fields
        fields.text("about")
        section = fields.mapping("parameters")
        parameters = ParameterReader(self.circuit, self.scenario, self.context).read(section) if section else ()
        own, dimensions, automatic = self._measures()
        limits = self._limits(dimensions)
        measures = dict.fromkeys([*(m.name for m in own), *automatic, *(limit.measure for limit in limits)])
        if not measures and "measure" not in fields and "expect" not in fields:
            problem = "nothing is measured: neither the study nor the scenario asks for anything"
            fields.faults.report("S02", fields.node.place, "file", problem, "add 'measure: [...]'")
        self._check_columns(section, parameters, measures)
        rtol = fields.quantity("rtol", "number", low=_LEAST_RTOL, high=_MOST_RTOL)
        confidence = fields.quantity("confidence", "fraction", low=0.5, high=0.9999)
        made = Study(
            name, self.circuit, replace(self.scenario, measures=own), parameters, Plan(GRID), tuple(measures), limits,
            title=fields.text("title") or name.replace("-", " ").replace("_", " "),
            rtol=RTOL if rtol is None else rtol, worst=self._worst(limits),
            confidence=CONFIDENCE if confidence is None else confidence,
            interval=fields.word("interval", INTERVALS) or WILSON,
        )  # fmt: skip
        plan = self._plan(made)
        return replace(made, plan=plan) if plan else made

    def _check_columns(
        self, section: MapNode | None, parameters: Sequence[Parameter], measures: Collection[str]
    ) -> None:
        """A parameter has a column of its own in the table."""
        for parameter in parameters:
            if section and (parameter.name in COLUMNS or parameter.name in measures):
                what = "a measure" if parameter.name in measures else "a column that every table has"
                problem = f"{parameter.name!r} is the name of {what}"
                entry = section.entries[parameter.name]
                self.context.faults.report("N02", entry.place, section.path, problem, "choose another name")

    # ---- what is measured

    def _measures(self) -> tuple[tuple[Measure, ...], dict[str, str], list[str]]:
        """Measures of the study and the scenario, their dimensions, and the automatic ones named."""
        fields, node = self.fields, self.fields.sequence("measure")
        maps = [item for item in node.items if not isinstance(item, Scalar)] if node else []
        asked, dimensions = read_measures(
            ListNode(node.place, node.path, tuple(maps)) if node else None, self.scenario.lasts, self.context
        )
        names = {measure.name for measure in asked}
        own = tuple(measure for measure in self.scenario.measures if measure.name not in names)
        dimensions |= {measure.name: self._dimension(measure) for measure in own}
        automatic = []
        for item in node.items if node else ():
            if isinstance(item, Scalar) and self._is_measure(item, dimensions):
                automatic.append(item.text)
        wanted = [*names, *automatic]
        kept = tuple(measure for measure in own if "measure" not in fields or measure.name in wanted)
        needed = self._named_in_limits()
        return (*asked, *(m for m in own if m in kept or m.name in needed)), dimensions, automatic

    def _named_in_limits(self) -> set[str]:
        node = self.fields.get("expect")
        if not isinstance(node, ListNode):
            return {limit.measure for limit in self._usual_limits()}
        texts = [item.get("measure") for item in node.items if isinstance(item, MapNode)]
        return {text.text for text in texts if isinstance(text, Scalar)}

    def _dimension(self, measure: Measure) -> str:
        """Dimension of a measure of the scenario."""
        if measure.kind == "time" or measure.channel is None:
            return "time"
        owner, _, word = measure.channel.rpartition(".")
        model = self.context.draft.parts.get(owner)
        specs = model.channels if model else ()
        return next((spec.dimension for spec in specs if spec.name == word), "")

    def _is_measure(self, scalar: Scalar, dimensions: dict[str, str]) -> bool:
        owner, _, word = scalar.text.rpartition(".")
        model = self.context.draft.parts.get(owner)
        happenings = [event.name for event in model.events] if model else []
        if scalar.text in dimensions or (owner and word in AUTOMATIC) or word in happenings:
            return True
        near = nearest(scalar.text, list(dimensions)) or nearest(word, [*AUTOMATIC, *happenings])
        fix = f"write {f'{owner}.{near}' if owner and near not in dimensions else near!r}" if near else (
            "write {name: ..., since: ..., reach: ...}, or name an automatic one such as tank.lowest"
        )  # fmt: skip
        self.context.faults.report("M07", scalar.place, scalar.path, f"there is no measure {scalar.text!r}", fix)
        return False

    def _limits(self, dimensions: dict[str, str]) -> tuple[Expectation, ...]:
        if "expect" not in self.fields:
            return self._usual_limits()
        return read_expectations(self.fields.sequence("expect"), dimensions, self.context)

    def _usual_limits(self) -> tuple[Expectation, ...]:
        """Those of the scenario, if the study says neither what is measured nor what is expected."""
        return () if "measure" in self.fields or "expect" in self.fields else self.scenario.expectations

    # ---- how

    def _plan(self, study: Study) -> Plan | None:
        node = self.fields.get("plan")
        if isinstance(node, Scalar):  # a word alone
            kind = self.fields.word("plan", (GRID, LIST))
            plan = Plan(kind) if kind else None
        else:
            plan = self._plan_of(self.fields.mapping("plan"))
        if plan is None or not study.parameters:
            return plan
        if plan.kind == LIST:
            self._side_by_side(study)
        elif plan.kind == INDICES and any(0.0 < p.correlation < 1.0 for p in study.parameters):
            problem = "indices need parameters that are drawn independently; a correlation is between 0 and 1"
            self.fields.report("P02", "plan", problem, "set correlation to 0 or 1, or use plan latin_hypercube")
        size = plan.size(study.parameters)
        if size > MOST_CASES:
            self.fields.report("S10", "plan", f"the plan has {size} cases; at most {MOST_CASES}", "take fewer steps")
        return plan

    def _plan_of(self, node: MapNode | None) -> Plan | None:
        if node is None:
            return None
        fields = Fields(node, self.context.faults, ["kind"], ["cases", "seed"], missing_at=node.place)
        kind = fields.word("kind", KINDS)
        cases, seed = fields.integer("cases", 2, MOST_CASES), fields.integer("seed", 0, 2**31)
        if kind in (GRID, LIST):
            for key in ("cases", "seed"):
                if key in fields:
                    fields.report("S01", key, f"{key!r} does not belong to the plan {kind!r}", "leave it out")
        elif kind and "cases" not in fields:
            self.context.faults.report("S02", node.place, node.path, "the key 'cases' is missing", "add 'cases: 200'")
        if kind in (SOBOL, INDICES) and cases is not None and cases & (cases - 1):
            low = 1 << (cases.bit_length() - 1)
            problem = f"{cases} is not a power of two, which Sobol points need to be even"
            fields.report("S07", "cases", problem, f"write {low} or {2 * low}")
        return Plan(kind, cases or 2, seed or 0) if kind else None

    def _side_by_side(self, study: Study) -> None:
        """The plan ``list`` takes lists of one length, or of one value."""
        longest = max(len(parameter.values) for parameter in study.parameters)
        for parameter in study.parameters:
            if not parameter.values or len(parameter.values) not in (1, longest):
                has = f"has {len(parameter.values)} values" if parameter.values else "has a range"
                problem = f"{parameter.name} {has}, and the longest list {longest}"
                fix = f"give it {longest} values, or one" if longest else "write 'values: [...]' or use plan grid"
                self.fields.report("P02", "plan", f"the plan list takes values side by side; {problem}", fix)
                return

    def _worst(self, limits: tuple[Expectation, ...]) -> Worst | None:
        section = self.fields.mapping("worst")
        if section is None:
            return None
        fields = Fields(section, self.context.faults, ["cases"], ["seed"], missing_at=section.place)
        cases, seed = fields.integer("cases", 10, MOST_SEARCHED), fields.integer("seed", 0, 2**31)
        if not limits and "expect" not in self.fields:
            self.fields.report("S02", "worst", "a worst case is that of a limit; there is none", "add 'expect: [...]'")
        return Worst(cases, seed or 0) if cases else None
