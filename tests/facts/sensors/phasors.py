"""What an energy screen shows of current transformers that sit in every way, by sampled waves.

Argument: a seed. Prints a list of cases in JSON: the supply, how each channel's transformer sits, and
under each load the clamp's and the screen's readings, both with errors. Volts and currents are sampled
over one cycle, and watts are the mean of their product: no phasor formula is used.
"""
import itertools
import json
import sys

import numpy as np

rng = np.random.default_rng(int(sys.argv[1]))
ANGLES = {"single": [0.0], "split": [0.0, 180.0], "three": [0.0, -120.0, 120.0]}
VOLTS = {"single": 230.0, "split": 120.0, "three": 230.0}
RATIOS = [1.0, 0.5, 2.0, 0.25, 4.0]
TIME = np.arange(720) / 720
# Clamp and screen, one sigma; cut off at two.
CLAMP, SCREEN = 0.007, 0.005


def off(sigma):
    return 1 + float(np.clip(rng.normal(0, sigma), -2 * sigma, 2 * sigma))


def wave(degrees):
    return np.sqrt(2) * np.cos(2 * np.pi * TIME + np.radians(degrees))


def reading(system, states, load):
    """One load: amperes and lag of each leg, what clamp and screen show."""
    angles, volts = ANGLES[system], VOLTS[system]
    currents = [amperes * wave(angles[leg] - lag) for leg, (amperes, lag) in enumerate(load["legs"])]
    shown = []
    for state in states:
        current = currents[state["leg"]] * state["times"] * (-1 if state["reversed"] else 1)
        watts = float(np.mean(volts * wave(angles[state["reference"]]) * current))
        amperes = float(np.sqrt(np.mean(current**2)))
        error = off(SCREEN)
        shown.append({"watts": watts * error, "amperes": amperes * error})
    clamp = [float(np.sqrt(np.mean(one**2))) * off(CLAMP) for one in currents]
    return {"clamp": clamp, "loaded": load["loaded"], "power_factor": load["power_factor"], "shown": shown}


def loads(system, kind):
    """Loads by name: each leg alone with a heater or a motor, or all legs at once."""
    legs = len(ANGLES[system])
    power_factor = 0.7 if "motor" in kind else 1.0
    lag = float(np.degrees(np.arccos(power_factor)))
    found = []
    for leg in range(legs):
        own = [(60.0, lag) if one == leg else (float(rng.uniform(0, 0.6)), float(rng.uniform(-50, 50)))
               for one in range(legs)]
        found.append({"legs": own, "loaded": [one == leg for one in range(legs)], "power_factor": power_factor})
    if kind == "all":
        own = [(60.0 - 15 * leg, 0.0) for leg in range(legs)]
        return [{"legs": own, "loaded": [True] * legs, "power_factor": 1.0}]
    return found[:1] if kind == "first" else found


cases = []
for system, angles in ANGLES.items():
    legs = range(len(angles))
    ways = [dict(leg=leg, reversed=turned, reference=reference, times=times)
            for leg, turned, reference, times in itertools.product(legs, [False, True], legs, RATIOS)]
    every = [list(pair) for pair in itertools.product(ways, ways)] if system == "split" else [
        [way] + [ways[rng.integers(len(ways))] for _ in range(len(angles) - 1)] for way in ways for _ in range(2)]
    for states in every:
        for kind in ["each", "each with motors", "first", "all"]:
            chosen = loads(system, "each") if "motor" in kind else []
            chosen += loads(system, "motor" if "motor" in kind else kind)
            sign = int(rng.choice([1, -1]))
            tests = [reading(system, states, load) for load in chosen]
            for test in tests:
                for shown in test["shown"]:
                    shown["watts"] *= sign
            cases.append({"system": system, "volts": VOLTS[system], "kind": kind, "import": sign,
                          "states": states, "tests": tests})
json.dump(cases, sys.stdout)
