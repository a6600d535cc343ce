"""Frames made and understood by packages that share nothing with Coldcheck.

    frames.py FOLDER SEED COUNT

writes into FOLDER:

  written.log    a log by python-can's own writer for candump's form
  written.jsonl  what it was given: identifier, extended, remote, data, time in microseconds
  slcan.txt      what python-can's interface for SLCAN sends to an adapter
  slcan.jsonl    what it was given
  canopen.jsonl  frames, and which node canopen's scanner sees in each, and in which state it is
  j1939.jsonl    identifiers by can-j1939 and cantools, NAMEs by can-j1939, with their parts
"""

import json
import logging
import random
import sys
from pathlib import Path

import can
import cantools.j1939
import j1939
from canopen.network import NodeScanner
from canopen.nmt import NmtMaster
from can.interfaces.slcan import slcanBus

# Of a second, so that every time is a whole number of microseconds in a float.
TICK = 1 / 64


def message(dice, time, plain=False):
    """A frame of any kind; a plain one is neither CAN FD nor an error."""
    extended = dice.random() < 0.5
    kind = "plain" if plain else dice.choice(["plain"] * 8 + ["fd", "error", "sent"])
    length = dice.randrange(9)
    remote = kind == "plain" and dice.random() < 0.2
    return can.Message(
        arbitration_id=dice.randrange(1 << (29 if extended else 11)),
        is_extended_id=extended,
        is_remote_frame=remote,
        dlc=length,
        data=None if remote else dice.randbytes(length),
        timestamp=time,
        is_fd=kind == "fd",
        is_error_frame=kind == "error",
        is_rx=kind != "sent",
        channel="can0",
    )


def told(frame):
    """What a frame holds."""
    return {
        "id": frame.arbitration_id,
        "extended": frame.is_extended_id,
        "remote": frame.is_remote_frame,
        "length": frame.dlc,
        "data": bytes(frame.data).hex(),
        "microseconds": round(frame.timestamp * 1_000_000),
        "kind": (
            "error" if frame.is_error_frame
            else "other" if frame.is_fd
            else "frame" if frame.is_rx
            else "sent"
        ),
    }


def write(folder, name, entries):
    """A JSON object a line."""
    text = "".join(json.dumps(entry) + "\n" for entry in entries)
    (folder / name).write_text(text, encoding="utf-8")


def written(folder, dice, count):
    """A log by python-can."""
    frames = [message(dice, 1_700_000_000 + place * TICK) for place in range(count)]
    with can.CanutilsLogWriter(folder / "written.log", channel="can0") as writer:
        for frame in frames:
            writer.on_message_received(frame)
    write(folder, "written.jsonl", [told(frame) for frame in frames])


def adapter(folder, dice, count):
    """What python-can says to an adapter; the port is a loop, so all of it comes back."""
    bus = slcanBus(channel="loop://", bitrate=500000, sleep_after_open=0)
    port = bus.serialPortOrig
    port.read(port.in_waiting)
    frames, text = [message(dice, 0.0, plain=True) for _ in range(count)], b""
    for frame in frames:
        bus.send(frame)
        text += port.read(port.in_waiting)
    bus.shutdown()
    (folder / "slcan.txt").write_bytes(text)
    write(folder, "slcan.jsonl", [told(frame) for frame in frames])


def nodes(folder, dice, count):
    """Which node canopen sees in a frame, and in which state it is."""
    entries = []
    for _ in range(count):
        near = dice.choice([0x000, 0x080, 0x180, 0x580, 0x600, 0x700, 0x700])
        number = near + dice.randrange(0x80)
        # Mostly a state, often that of a boot-up, and now and then no heartbeat at all.
        data = dice.choice([dice.randbytes(1), dice.randbytes(1), b"\x00", b"\x80"])
        if dice.random() < 0.1:
            data = dice.randbytes(dice.randrange(3))
        scanner = NodeScanner()
        scanner.on_message_received(number)
        entry = {"id": number, "data": data.hex(), "node": next(iter(scanner.nodes), None)}
        if number >= 0x701 and len(data) == 1:
            # The package's name for whoever listens to heartbeats.
            watcher = NmtMaster(number - 0x700)
            watcher.on_heartbeat(number, bytearray(data), 1.0)
            # Boot-up is told by the state that was received, before it is taken for another.
            entry["state"] = watcher._state_received
        entries.append(entry)
    write(folder, "canopen.jsonl", entries)


def claims(folder, dice, count):
    """Address claims, and other frames of J1939."""
    entries = []
    for _ in range(count):
        parts = {
            "arbitrary_address_capable": dice.randrange(2),
            "industry_group": dice.randrange(8),
            "vehicle_system_instance": dice.randrange(16),
            "vehicle_system": dice.randrange(128),
            "function": dice.randrange(256),
            "function_instance": dice.randrange(32),
            "ecu_instance": dice.randrange(8),
            "manufacturer_code": dice.randrange(2048),
            "identity_number": dice.randrange(1 << 21),
        }
        name = j1939.Name(**parts)
        source, priority = dice.randrange(254), dice.randrange(8)
        claims_address = dice.random() < 0.5
        group = 0x0EEFF if claims_address else dice.randrange(1 << 16)
        by_j1939 = j1939.MessageId(
            priority=priority, parameter_group_number=group, source_address=source
        ).can_id
        by_cantools = cantools.j1939.frame_id_pack(
            priority, 0, 0, group >> 8, group & 0xFF, source
        )
        entries.append({
            "id": by_j1939,
            "id_by_cantools": by_cantools,
            "data": bytes(name.bytes).hex(),
            "name": str(name.value),
            "source": source,
            "claims": group >> 8 == 0xEE,
        })
    write(folder, "j1939.jsonl", entries)


def main():
    logging.disable(logging.CRITICAL)
    folder, seed, count = Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3])
    for make in (written, adapter, nodes, claims):
        make(folder, random.Random(seed), count)


main()
