"""A bus with a clock of its own: what units send is written down with the time of this clock.

Units are objects of public packages; they send through `Port`, a bus of python-can. Nothing waits,
and no thread runs, so the same program writes the same bytes each time.
"""

import heapq
import itertools
import threading

import can
import canopen
import j1939
from j1939.j1939_21 import J1939_21


class Wire:
    """The bus, and the only clock."""

    def __init__(self, path):
        self.now = 0.0
        self._writer = can.CanutilsLogWriter(path, channel="can0")
        self._todo = []
        self._order = itertools.count()
        self.listeners = []

    def after(self, seconds, act):
        heapq.heappush(self._todo, (round(self.now + seconds, 6), next(self._order), act))

    def run(self, seconds):
        end = self.now + seconds
        while self._todo and self._todo[0][0] <= end:
            self.now, _, act = heapq.heappop(self._todo)
            act()
        self.now = end

    def put(self, message, sender=None):
        """A frame takes a quarter of a millisecond, about as at 500 kbit/s."""
        self.now = round(self.now + 0.00025, 6)
        message.timestamp = 1000 + self.now
        self._writer.on_message_received(message)
        for owner, hear in list(self.listeners):
            if owner is not sender:
                hear(message)

    def error(self, classes, data):
        """A word of the gateway's own controller, as `linux/can/error.h` has it. The writer of the
        package knows one class only, so the identifier is given whole."""
        self.put(can.Message(arbitration_id=0x20000000 | classes, is_extended_id=True, data=data))

    def close(self):
        self._writer.stop()


class Port(can.BusABC):
    """Where one unit is plugged in."""

    def __init__(self, wire):
        super().__init__(channel="can0")
        self.wire = wire
        # There is nothing to shut down.
        self._is_shutdown = True

    def send(self, msg, timeout=None):
        copy = can.Message(
            arbitration_id=msg.arbitration_id,
            is_extended_id=msg.is_extended_id,
            is_remote_frame=msg.is_remote_frame,
            data=bytes(msg.data),
        )
        self.wire.put(copy, self)

    def _recv_internal(self, timeout):
        return None, False

    def send_periodic(self, msgs, period, duration=None, store_task=True, **_):
        return Periodic(self, msgs, period)


class Periodic:
    """What sends a frame over and over, by the clock of the wire."""

    def __init__(self, port, message, period):
        self.port, self.message, self.period = port, message, period
        self.runs = True
        port.wire.after(period, self._beat)

    def _beat(self):
        if self.runs:
            self.port.wire.after(self.period, self._beat)
            self.port.send(self.message)

    def modify_data(self, message):
        self.message = message

    def stop(self):
        self.runs = False


def dictionary(serial, software):
    """The objects that a unit answers about."""
    objects = canopen.ObjectDictionary()

    def add(into, index, part, name, kind, value):
        variable = canopen.objectdictionary.ODVariable(name, index, part)
        variable.data_type = kind
        variable.access_type = "rw"
        variable.default = variable.value = value
        if into is objects:
            objects.add_object(variable)
        else:
            into.add_member(variable)

    kinds = canopen.objectdictionary.datatypes
    add(objects, 0x100A, 0, "software version", kinds.VISIBLE_STRING, software)
    add(objects, 0x1017, 0, "heartbeat time", kinds.UNSIGNED16, 1000)
    identity = canopen.objectdictionary.ODRecord("identity", 0x1018)
    for part, (name, value) in enumerate(
        [("parts", 4), ("maker", 0), ("product", 1), ("revision", 1), ("serial", serial)]
    ):
        kind = kinds.UNSIGNED8 if part == 0 else kinds.UNSIGNED32
        add(identity, 0x1018, part, name, kind, value)
    objects.add_object(identity)
    return objects


class CanOpen:
    """A unit that speaks CANopen: boot-up, heartbeat and answers come from the package."""

    def __init__(self, wire, node, serial, software="2.14"):
        self.node = node
        self.network = canopen.Network()
        port = Port(wire)
        self.network.bus = port
        self.local = canopen.LocalNode(node, dictionary(serial, software))
        self.network.add_node(self.local)

        def hear(message):
            self.network.notify(message.arbitration_id, message.data, message.timestamp)

        wire.listeners.append((port, hear))
        wire.after(0.01 + 0.02 * node, self.start)

    def start(self):
        # Initialised, then operational, as after power-up.
        self.local.nmt.state = "INITIALISING"
        self.local.nmt.state = "PRE-OPERATIONAL"
        self.local.nmt.state = "OPERATIONAL"

    def stop(self):
        self.local.nmt.stop_heartbeat()


def ask(wire, nodes):
    """Another node reads serial number and software version of these."""
    network = canopen.Network()
    port = Port(wire)
    network.bus = port
    network.check = lambda: None

    def hear(message):
        network.notify(message.arbitration_id, message.data, message.timestamp)

    wire.listeners.append((port, hear))
    for node in nodes:
        remote = canopen.RemoteNode(node, dictionary(0, ""))
        network.add_node(remote)
        _ = remote.sdo[0x1018][4].raw
        _ = remote.sdo[0x100A].raw


class J1939(j1939.ElectronicControlUnit):
    """A unit that speaks J1939: claims and NAME come from the package; only its thread and its
    clock are left out."""

    def __init__(self, wire, address, identity, begin):
        # Not that of the package, which starts a thread.
        self.wire = wire
        self._bus = Port(wire)
        self._send_lock = threading.Lock()
        self._timer_events = []
        self._subscribers = []
        self.j1939_dll = J1939_21(
            self.send_message,
            lambda: None,
            self._notify_subscribers,
            1,
            None,
            None,
            self._is_message_acceptable,
        )
        name = j1939.Name(
            arbitrary_address_capable=1,
            industry_group=j1939.Name.IndustryGroup.Industrial,
            vehicle_system_instance=0,
            vehicle_system=0,
            function=255,
            function_instance=0,
            ecu_instance=0,
            manufacturer_code=666,
            identity_number=identity,
        )
        self.application = self.add_ca(name=name, device_address=address)

        def hear(message):
            # A claim must be sent before it can be answered.
            if message.is_extended_id:
                wire.after(0, lambda: self.notify(message.arbitration_id, message.data, 0))

        wire.listeners.append((self._bus, hear))
        wire.after(begin, self.application.start)
        wire.after(begin + 2.0, self.tell)

    def add_timer(self, delta_time, callback, cookie=None):
        self.wire.after(delta_time, lambda: callback(cookie))

    def tell(self):
        """Eight bytes of its own about itself, twice a second."""
        self.wire.after(0.5, self.tell)
        if self.application.state == j1939.ControllerApplication.State.NORMAL:
            self.application.send_pgn(0, 0xFF, 0x10, 6, [0xFF] * 8)
