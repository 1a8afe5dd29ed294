"""Small studies."""

from pneusim.studies.sweep.file import load_study_text
from tests.studies.small import CIRCUIT

HEAD = """\
pneusim: 1
title: A small study
circuit: orifice
scenario: empties
"""
PARAMETERS = """\
parameters:
  tank.volume: {from: 1 L, to: 3 L}
  hole.conductance: {tolerance: 10 %}
"""
LIMITS = """\
expect:
  - {measure: half, at_most: 0.45 s}
"""


def study(plan="plan: {kind: latin_hypercube, cases: 8, seed: 1}\n", parameters=PARAMETERS, rest=LIMITS):
    return load_study_text(HEAD + parameters + rest + plan, "study.yaml", CIRCUIT)
