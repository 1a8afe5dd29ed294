"""Runs a regulation's procedures on a circuit."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from pneusim.circuit.circuit import Circuit
from pneusim.errors import RunFailed
from pneusim.rules.bench import Bench
from pneusim.rules.finding import NOT_JUDGED, Finding, NotAddressed, NotJudged, Picture, Report, not_judged, signed
from pneusim.rules.regulation import Procedure, regulation
from pneusim.rules.subject import Subject


def judge(
    circuit: Circuit,
    name: str,
    *,
    only: str | None = None,
    progress: Callable[[str, float], None] | None = None,
) -> Report:
    """Run the published test procedures of a regulation on a circuit.

    Parameters
    ----------
    circuit : Circuit
        A vehicle or a combination; a regulation of vehicles tests each of them alone.
    name : str
        Name of the regulation, such as ``us121`` (49 CFR 571.121).
    only : str, optional
        Name of one procedure.
    progress : callable, optional
        Told what is running and the share of it done, 0..1.

    Returns
    -------
    Report
        Not a certificate.

    Raises
    ------
    UsageError
        For an unknown regulation or procedure, or a circuit without a vehicle that the regulation addresses.
    """
    chosen = regulation(name)
    procedures = chosen.procedures if only is None else (chosen.procedure(only),)
    findings: list[Finding] = []
    aside: list[Finding] = []
    pictures: list[tuple[str, Picture]] = []
    subjects = list(chosen.subjects_of(circuit))
    for subject in subjects:
        bench = Bench(subject, chosen.table, progress)
        for procedure in procedures:
            try:
                found = _judged(procedure, bench)
            except NotAddressed as reason:
                found = [not_judged(procedure.clause, procedure.title, str(reason))]
                aside += signed(found, procedure.name, subject.name)
                continue
            findings += signed(found, procedure.name, subject.name)
        pictures += [(subject.name, picture) for picture in bench.pictures]
    if only is not None:
        findings = findings or aside
    else:
        findings += [not_judged(beyond.clause, beyond.words, beyond.why) for beyond in chosen.table.beyond]
    notes = (*chosen.notes, *_assumed_springs(subjects))
    return Report(chosen.name, chosen.title, circuit.title, circuit.source, tuple(findings), tuple(pictures), notes)


def _assumed_springs(subjects: Sequence[Subject]) -> Iterator[str]:
    """That verdicts on springs rest on assumed figures, where a file gives none."""
    brakes = [brake for subject in subjects for brake in subject.all("spring_brake_actuator")]
    if any("spring_force" not in brake.parameters for brake in brakes):
        yield (
            "The file gives no spring_force: what is said of spring brakes rests on springs that this program assumes. "
            "Give spring_force and spring_rate of your actuators."
        )


def _judged(procedure: Procedure, bench: Bench) -> list[Finding]:
    """Findings of one procedure; what stops it stands at their end."""
    kind = bench.subject.vehicle.kind
    if procedure.kinds and kind not in procedure.kinds:
        raise NotAddressed(f"it is for {_words(*procedure.kinds)}; this is a {_words(kind)}")
    found: list[Finding] = []
    try:
        for finding in procedure.judge(bench):
            found.append(finding)
    except NotAddressed:
        raise
    except NotJudged as reason:
        found.append(not_judged(procedure.clause, procedure.title, str(reason)))
    except RunFailed as failure:
        why = f"a run failed: {failure}"
        found.append(Finding(procedure.clause, procedure.title, NOT_JUDGED, why=why, failed=True))
    return found


def _words(*kinds: str) -> str:
    return ", ".join(kinds).replace("_", " ")
