"""Solves networks of leads with numpy: one JSON network a line in, its answer a line out.

A network is a list of lead resistances in ohms. `shares` is what each lead carries of `total` if all
ends have one voltage; `power` is what each one carries if its end takes a power `watts` from a source of
`volts`: a node-voltage matrix in both, Newton's method in the second.
"""

import json
import sys

import numpy as np


def shares(ohms, total):
    """Node 0 is the bar; every other node is held at 1 V behind nothing, joined to it by a lead."""
    count = len(ohms)
    matrix = np.zeros((2 * count + 1, 2 * count + 1))
    wanted = np.zeros(2 * count + 1)
    for lead, own in enumerate(ohms, start=1):
        siemens = 1.0 / own
        matrix[0, 0] += siemens
        matrix[lead, lead] += siemens
        matrix[0, lead] -= siemens
        matrix[lead, 0] -= siemens
        # The current of the source at this node is an unknown of its own.
        source = count + lead
        matrix[lead, source] -= 1.0
        matrix[source, lead] = 1.0
        wanted[source] = 1.0
    wanted[0] = -total
    return np.linalg.solve(matrix, wanted)[count + 1 :].tolist()


def at_power(ohms, volts, watts):
    """Voltage at each end by Newton's method on G * (v - V) + P / v = 0."""
    conductance = np.diag(1.0 / np.asarray(ohms))
    ends = np.full(len(ohms), float(volts))
    for _ in range(50):
        residual = conductance @ (ends - volts) + watts / ends
        step = np.linalg.solve(conductance - np.diag(watts / ends**2), residual)
        ends -= step
        if np.max(np.abs(step)) < 1e-12:
            break
    return ends.tolist(), (watts / ends).tolist()


for line in sys.stdin:
    case = json.loads(line)
    volts, amperes = at_power(case["ohms"], case["volts"], case["watts"])
    print(json.dumps({"shares": shares(case["ohms"], case["total"]), "volts": volts, "amperes": amperes}))
