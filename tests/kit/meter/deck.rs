//! A link as a deck for ngspice: written from the link's numbers, not from the program's circuit.
