"""A judge of sites outside Rust, on the answer-set solver clingo: the rules are in rules.lp.

Reads sites as JSON lines (the site file in JSON, canonical names, every demand stated in the site),
turns each into facts and writes the broken rules of each as a JSON list.
"""

import json
import pathlib
import sys

import clingo

RULES = pathlib.Path(__file__).with_name("rules.lp").read_text(encoding="utf-8")


def text(value):
    return '"{}"'.format(value)


def point(name):
    """`unit 3` is unit(3), `CT L2` is sensor(2)."""
    kind, number = name.split(" ")
    return "sensor({})".format(number[1:]) if kind == "CT" else "{}({})".format(kind, number)


def facts(site):
    for unit in site["unit"]:
        number = unit["name"].split(" ")[1]
        yield "unit({})".format(number)
        if unit["role"] == "coordinator":
            yield "leads({})".format(number)
        if unit["address"] == "not set":
            yield "unaddressed({})".format(number)
        else:
            yield "address({},{})".format(number, unit["address"])
        yield "count({},{})".format(number, unit["count"])
        yield "terminator({},{})".format(number, unit["terminator"].replace(" ", "_"))
        if "serial" in unit:
            yield "serial({},{})".format(number, text(unit["serial"]))
        if "phase" in unit:
            yield "phase({},{})".format(number, unit["phase"][1:])
    for device in site["device"]:
        if device["terminator"] != "off":
            raise ValueError("a device with a terminator is not part of this model")
    for index, cable in enumerate(site["cable"]):
        yield "cable({},{})".format(index, cable["kind"])
        for side, end in ((1, "from"), (2, "to")):
            socket = cable.get(end + "_port")
            socket = text(socket) if socket else "none"
            yield "plug({},{},{},{})".format(index, side, point(cable[end]), socket)
    for name, value in demands(site["demands"]):
        yield "demand({},{})".format(name, value)


def demands(stated):
    yield "shape", stated["link shape"]
    yield "terminators", "both" if stated["terminators at"] == "both ends" else "nowhere"
    yield "leaders", "phase" if stated["coordinators"] == "one a phase" else "one"
    yield "count_at", "all" if stated["unit count set on"] == "all units" else "coordinator"
    yield "battery_at", "each" if stated["battery link at"] == "each unit" else "coordinator"
    if "sockets" in stated:
        yield "sockets", text(stated["sockets"])
    if "address range" in stated:
        low, high = stated["address range"].split("-")
        yield "lowest", low
        yield "highest", high
    if stated.get("addresses without gaps") == "yes":
        yield "contiguous", "yes"
    if stated.get("coordinator place") == "end of line":
        yield "coordinator_place", "end"
    if "coordinator address" in stated:
        yield "coordinator_address", stated["coordinator address"]
    if "max units" in stated:
        yield "most", stated["max units"]


def broken(site):
    control = clingo.Control(["--warn=no-atom-undefined"])
    control.add("base", [], RULES)
    control.add("base", [], "".join(fact + ".\n" for fact in facts(site)))
    control.ground([("base", [])])
    with control.solve(yield_=True) as models:
        (model,) = [list(model.symbols(shown=True)) for model in models]
    return sorted(symbol.arguments[0].string for symbol in model)


def main():
    for line in sys.stdin:
        print(json.dumps(broken(json.loads(line))))


if __name__ == "__main__":
    main()
