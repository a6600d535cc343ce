"""Writes the logs in this folder: whole buses, in the form of candump.

Units are those of the packages python-can, canopen and can-j1939 of PyPI (requirements.txt), on a
bus with a clock of its own (wire.py). Each log but the right ones has one thing wrong; what must be
found of it stands in expected.csv.

    python make.py FOLDER
"""

import pathlib
import sys

import can

from wire import CanOpen, J1939, Port, Wire, ask

SECONDS = 12
PASSIVE, OFF, NO_ACK, COUNTERS, CONTROLLER = 0x04, 0x40, 0x20, 0x200, 0x04


def canopen(wire, units=((1, 1001), (2, 1002), (3, 1003), (4, 1004)), software=None, stops=()):
    """Four units, read out after some seconds."""
    nodes = [CanOpen(wire, node, serial, (software or {}).get(node, "2.14")) for node, serial in units]
    wire.run(7.5)
    ask(wire, sorted({node.node for node in nodes}))
    for node in nodes:
        if node.node in stops:
            node.stop()
    wire.run(SECONDS - 7.5)


def twice(wire):
    """A device on no list has the address of the second unit, and answers after it."""
    canopen(wire, ((1, 1001), (2, 1002), (3, 1003), (4, 1004)))
    CanOpen(wire, 2, 1777)
    wire.run(3)
    ask(wire, [2])
    wire.run(5)


def j1939(wire, units=((0x80, 11), (0x81, 12), (0x82, 13))):
    """Three units that claim their addresses one after the other."""
    for place, (address, identity) in enumerate(units):
        J1939(wire, address, identity, 0.1 + 0.3 * place)
    wire.run(SECONDS)


def mapped(wire, words=((1, 1), (2, 2), (3, 2)), counts=None, firmware=None):
    """Three units that tell role, unit count and firmware over and over, as the profile
    two-port-line lists it."""
    for address, role in words:
        count = (counts or {}).get(address, 3)
        major, minor = (firmware or {}).get(address, (2, 14))
        message = can.Message(
            arbitration_id=0x300 | address,
            is_extended_id=False,
            data=[role, count, major, minor],
        )
        port = Port(wire)
        wire.after(0.1 * address, lambda port=port, message=message: port.send_periodic(message, 1.0))
    wire.run(SECONDS)


def no_error(wire):
    """The controller has counted nothing."""
    wire.error(COUNTERS, [0, 0, 0, 0, 0, 0, 0, 0])


def right(wire):
    canopen(wire)
    no_error(wire)


def passive(wire):
    canopen(wire)
    wire.error(CONTROLLER | COUNTERS, [0, 0x10, 0, 0, 0, 0, 0, 130])


def off(wire):
    canopen(wire)
    wire.error(OFF, [0] * 8)


def alone(wire):
    for _ in range(3):
        wire.run(0.5)
        wire.error(NO_ACK, [0] * 8)


LOGS = {
    "canopen-right": right,
    "j1939-right": j1939,
    "map-right": mapped,
    "lone-node-no-ack": alone,
    "gateway-off-the-bus": off,
    "gateway-passive": passive,
    "nothing-heard": lambda wire: wire.run(SECONDS),
    "two-coordinators-heard": lambda wire: mapped(wire, ((1, 1), (2, 1), (3, 2))),
    "address-heard-twice": twice,
    "unit-under-other-address": lambda wire: canopen(
        wire, ((1, 1001), (2, 1002), (9, 1003), (4, 1004))
    ),
    "unit-silent": lambda wire: canopen(wire, ((1, 1001), (2, 1002))),
    "stranger-heard": lambda wire: canopen(
        wire, ((1, 1001), (2, 1002), (3, 1003), (4, 1004), (9, 1777))
    ),
    "unit-comes-and-goes": lambda wire: canopen(wire, stops=(4,)),
    "unit-identity-swapped": lambda wire: canopen(
        wire, ((1, 1001), (2, 1003), (3, 1002), (4, 1004))
    ),
    "role-heard-differs": lambda wire: mapped(wire, ((1, 2), (2, 2), (3, 2))),
    "count-heard-differs": lambda wire: mapped(wire, counts={3: 2}),
    "firmware-heard-differs": lambda wire: canopen(wire, software={4: "2.13"}),
    "map-firmware-heard-differs": lambda wire: mapped(wire, firmware={2: (2, 13)}),
    "map-unit-silent": lambda wire: mapped(wire, ((1, 1), (3, 2))),
    # The third unit is set to the address of the second, loses it by its NAME and takes the next.
    "j1939-unit-under-other-address": lambda wire: j1939(
        wire, ((0x80, 11), (0x82, 12), (0x82, 13))
    ),
    "j1939-unit-silent": lambda wire: j1939(wire, ((0x80, 11), (0x81, 12))),
    "j1939-stranger-heard": lambda wire: j1939(
        wire, ((0x80, 11), (0x81, 12), (0x82, 13), (0x90, 14))
    ),
}


def main():
    folder = pathlib.Path(sys.argv[1])
    folder.mkdir(parents=True, exist_ok=True)
    for name, play in LOGS.items():
        wire = Wire(folder / f"{name}.log")
        play(wire)
        wire.close()


if __name__ == "__main__":
    main()
