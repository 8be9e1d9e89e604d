"""The circuit engine: networks, phasor solution, switching, motors, meters, SPICE export."""
