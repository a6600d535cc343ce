"""A judge of sites outside Rust, on the graph library networkx.

Reads sites as JSON lines (the site file in JSON, canonical names, every demand stated in the site)
and writes the broken rules of each as a JSON list. It judges every rule by itself, from the words
of the design and of the catalogue of faults; what the core does not check because another rule is
broken, it judges all the same.
"""

import json
import sys
from collections import Counter, defaultdict

import networkx

# Sockets of profile `plain` that are made for the link; sensor leads share theirs.
LINK_SOCKETS = ("A", "B")
SHARED_SOCKET = "CT"


def plugs(cable):
    """Both ends of a cable: the thing it is at, and the socket if that is written down."""
    return [(cable[end], cable.get(end + "_port")) for end in ("from", "to")]


def is_unit(name):
    return name.startswith("unit ")


def single_cables(site):
    """Cables without those that stand in the list a second time: the same plugs in the same
    sockets. A cable whose sockets are not written down is taken for one of its own."""
    singles, seen = [], set()
    for cable in site["cable"]:
        known = all(socket for name, socket in plugs(cable) if is_unit(name))
        both = frozenset(Counter(plugs(cable)).items())
        if not (known and both in seen):
            singles.append(cable)
        seen.add(both)
    return singles


class Judge:
    def __init__(self, site):
        self.units = {unit["name"]: unit for unit in site["unit"]}
        self.demands = site["demands"]
        self.cables = single_cables(site)
        for device in site["device"]:
            if device["terminator"] != "off":
                raise ValueError("a device with a terminator is not part of this model")
        self.link = [cable for cable in self.cables if cable["kind"] == "link"]
        self.is_ring = self.demands["link shape"] == "ring"
        self.terminated = self.demands["terminators at"] == "both ends"
        self.by_phase = self.demands["coordinators"] == "one a phase"
        self.build()

    def build(self):
        """The line as a graph. A gateway with one cable hangs on it and is left out."""
        ends = Counter(name for cable in self.link for name, _ in plugs(cable))
        hanging = {name for name in ends if name.startswith("gateway") and ends[name] == 1}
        self.joints = [
            (cable, cable["from"], cable["to"])
            for cable in self.link
            if not {cable["from"], cable["to"]} & hanging
        ]
        self.graph = networkx.Graph()
        self.graph.add_nodes_from(self.units)
        for _, one, other in self.joints:
            self.graph.add_node(one)
            self.graph.add_node(other)
            if one != other:
                self.graph.add_edge(one, other)
        degrees = dict(self.graph.degree())
        self.ends = {point for point, degree in degrees.items() if degree == 1}
        self.lone = {point for point, degree in degrees.items() if degree == 0}
        self.branches = {point for point, degree in degrees.items() if degree > 2}
        self.has_ring = bool(networkx.cycle_basis(self.graph))
        self.is_whole = (
            networkx.is_connected(self.graph) and not self.has_ring and not self.branches
        )

    def broken(self):
        rules = {}
        self.shape(rules)
        self.sockets(rules)
        self.termination(rules)
        self.addresses(rules)
        self.roles(rules)
        self.counts(rules)
        self.battery_link(rules)
        self.sensors(rules)
        return sorted(rule for rule, is_broken in rules.items() if is_broken)

    def shape(self, rules):
        rules["link-self-loop"] = any(one == other for _, one, other in self.joints)
        rules["link-star"] = bool(self.branches)
        pieces = networkx.number_connected_components(self.graph) - len(self.lone)
        rules["link-broken"] = pieces > 1
        # A second name of a unit that is on the link is no unit that lacks a cable.
        on_link = {self.units[name].get("serial") for name in self.units if name not in self.lone}
        rules["unit-not-on-link"] = any(
            name in self.lone and unit.get("serial", name) not in on_link
            for name, unit in self.units.items()
        )
        pairs = Counter(frozenset((one, other)) for _, one, other in self.joints if one != other)
        # Where a ring of two is demanded, its two units are joined twice by the site's own rule.
        ring_of_two = self.is_ring and len(self.graph) == 2
        rules["link-doubled-pair"] = not ring_of_two and any(n > 1 for n in pairs.values())
        rules["link-ring-closed"] = not self.is_ring and self.has_ring
        ends = Counter()
        for pair, count in pairs.items():
            for point in pair:
                ends[point] += count
        rules["link-ring-open"] = self.is_ring and any(n == 1 for n in ends.values())

    def sockets(self, rules):
        taken = defaultdict(set)
        for index, cable in enumerate(self.cables):
            for name, socket in plugs(cable):
                if is_unit(name) and socket and socket != SHARED_SOCKET:
                    taken[name, socket].add(index)
        rules["port-listed-twice"] = any(len(cables) > 1 for cables in taken.values())
        in_link = [
            [socket for name, socket in plugs(cable) if is_unit(name) and socket]
            for cable in self.link
        ]
        rules["link-in-service-port"] = any(
            socket not in LINK_SOCKETS for sockets in in_link for socket in sockets
        )
        against = {
            "A to B": lambda one, other: one == other,
            "A to A": lambda one, other: one != other,
        }.get(self.demands.get("sockets"), lambda one, other: False)
        rules["port-pairing-against-policy"] = any(
            len(sockets) == 2 and set(sockets) <= set(LINK_SOCKETS) and against(*sockets)
            for sockets, cable in zip(in_link, self.link)
            # With both ends at one unit it is a loop, whatever its sockets.
            if len({name for name, _ in plugs(cable)}) == 2
        )

    def termination(self, rules):
        def is_on(name):
            how = self.units[name]["terminator"]
            if how == "automatic":
                return self.terminated and name in self.ends
            return how != "off"

        on = {name for name in self.units if is_on(name)}
        # On a line that is not whole, one that minds itself may still become an end.
        may_be_on = not self.is_whole and any(
            unit["terminator"] == "automatic" for unit in self.units.values()
        )
        none = not on and not may_be_on
        # One that switches itself on in a broken or branched line is no fault of its own.
        counted = {
            name for name in on
            if self.is_whole or self.units[name]["terminator"] != "automatic"
        }
        rules["term-too-many"] = len(counted) > (2 if self.terminated else 0)
        if self.terminated:
            rules["term-missing-both-ends"] = none
            rules["term-missing-one-end"] = not none and bool(self.ends - on)
            rules["term-on-middle-unit"] = bool(on - self.ends)

    def addresses(self, rules):
        stated = [unit["address"] for unit in self.units.values()]
        numbers = [address for address in stated if address != "not set"]
        rules["address-missing"] = len(numbers) < len(stated)
        rules["address-duplicate"] = len(set(numbers)) < len(numbers)
        if "address range" in self.demands:
            low, high = map(int, self.demands["address range"].split("-"))
            rules["address-out-of-range"] = any(not low <= n <= high for n in numbers)
        if self.demands.get("addresses without gaps") == "yes" and numbers:
            rules["address-gap"] = set(numbers) != set(range(min(numbers), max(numbers) + 1))
        serials = [unit["serial"] for unit in self.units.values() if "serial" in unit]
        rules["unit-listed-twice"] = len(set(serials)) < len(serials)

    def leaders(self, phase):
        """Coordinators of the group, or of the phase where each has its own."""
        return [
            name
            for name, unit in self.units.items()
            if unit["role"] == "coordinator" and (not self.by_phase or unit["phase"] == phase)
        ]

    def roles(self, rules):
        phases = {unit["phase"] for unit in self.units.values()} if self.by_phase else {None}
        leading = [self.leaders(phase) for phase in phases]
        rules["coordinator-none"] = any(not leaders for leaders in leading)
        rules["coordinator-two"] = any(len(leaders) > 1 for leaders in leading)
        leaders = [name for group in leading for name in group]
        wrong_place = self.demands.get("coordinator place") == "end of line" and any(
            name not in self.ends for name in leaders
        )
        wanted = self.demands.get("coordinator address")
        addresses = [self.units[name]["address"] for name in leaders]
        wrong_address = wanted is not None and any(
            address not in (wanted, "not set") for address in addresses
        )
        rules["coordinator-at-wrong-place"] = wrong_place or wrong_address

    def counts(self, rules):
        everyone = self.demands["unit count set on"] == "all units"
        counts = {
            unit["count"]
            for unit in self.units.values()
            if everyone or unit["role"] == "coordinator"
        }
        rules["count-setting-differs"] = len(counts) > 1
        rules["count-not-equal-fitted"] = len(counts) == 1 and counts != {len(self.units)}
        most = self.demands.get("max units")
        rules["count-over-limit"] = most is not None and len(self.units) > most

    def leads(self, kind):
        """Leads as the far end, the unit and its socket."""
        for cable in self.cables:
            if cable["kind"] == kind:
                yield cable["from"], cable["to"], cable.get("to_port")

    def battery_link(self, rules):
        leads = list(self.leads("battery"))
        at = {unit for _, unit, _ in leads}
        rules["bms-lead-wrong-port"] = any(socket not in ("battery", None) for *_, socket in leads)
        if self.demands["battery link at"] == "each unit":
            rules["bms-lead-missing"] = at != set(self.units)
            return
        rules["bms-lead-missing"] = not at
        rules["bms-lead-on-two-units"] = len(at) > 1
        # Where one of two leads is at an owner, the other is one too many, not at the wrong unit.
        owners = set(self.leaders("L1"))
        rules["bms-lead-on-follower"] = bool(at and owners) and not at & owners

    def sensors(self, rules):
        leads = list(self.leads("sensor"))
        rules["ct-lead-missing"] = not leads
        rules["ct-on-follower"] = any(
            owners and unit not in owners
            for owners, unit in ((self.leaders(name[-2:]), unit) for name, unit, _ in leads)
        )


def main():
    for line in sys.stdin:
        print(json.dumps(Judge(json.loads(line)).broken()))


if __name__ == "__main__":
    main()
