"""One-cycle root mean square, renewed each half cycle, of records with time and volts.

For each file: the lowest value, and for how long values are below 108 V, back at 110.4 V. By numpy
alone: the crossing is found by a fit of sine and cosine at 60 Hz over the first ten cycles, and the
integral of the square is interpolated between samples, each of which stands until the next.
"""
import json
import sys

import numpy as np

CYCLE = 1 / 60
results = []
for name in sys.argv[1:]:
    time, volts = np.loadtxt(name, delimiter=",", skiprows=1, unpack=True)
    first = time < 10 * CYCLE
    angle = 2 * np.pi * 60 * time[first]
    columns = np.column_stack([np.sin(angle), np.cos(angle), np.ones_like(angle)])
    a, b, _ = np.linalg.lstsq(columns, volts[first], rcond=None)[0]
    start = (-np.arctan2(b, a) % np.pi) / (2 * np.pi * 60)
    steps = np.diff(time, append=2 * time[-1] - time[-2])
    energy = np.concatenate([[0.0], np.cumsum(volts**2 * steps)])
    edges = np.concatenate([time, [time[-1] + steps[-1]]])
    begins = np.arange(start, time[-1] - CYCLE, CYCLE / 2)
    square = np.interp(begins + CYCLE, edges, energy) - np.interp(begins, edges, energy)
    values = np.sqrt(np.maximum(square, 0) / CYCLE)
    low = np.flatnonzero(values < 108.0)
    dip = 0.0
    if low.size:
        back = np.flatnonzero((values >= 110.4) & (np.arange(values.size) > low[0]))
        dip = (begins[back[0]] - begins[low[0]]) * 1000
    results.append({"lowest": float(values.min()), "dip_ms": float(dip)})
json.dump(results, sys.stdout)
