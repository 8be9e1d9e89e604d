"""The circuit engine: networks, phasor solution, switching, motors, meters, SPICE export."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rungwise.door import door

if TYPE_CHECKING:
    from rungwise.circuit.assemble import Mode, branch_admittance, machine_constants, machine_of
    from rungwise.circuit.batch import Batch, BoolArray, IndexArray, Rows, Taken
    from rungwise.circuit.condition import (
        CALLING,
        COLD_STANDBY,
        DEFROSTING,
        HEATING,
        STANDBY,
        STARTING,
        Call,
        Condition,
        LeadEnd,
        asked_for,
        call_for_heat,
        first_stage_of,
    )
    from rungwise.circuit.design_check import Shortfall, intended, shortfalls
    from rungwise.circuit.elimination import EARTH_INDEX, ComplexArray
    from rungwise.circuit.event_sequence import Change, sequence
    from rungwise.circuit.machine import torque_nm, winding_amps
    from rungwise.circuit.machine_fit import FitCheck
    from rungwise.circuit.meter import (
        CLAMP,
        DIRECT_VOLTS,
        FINE_CLAMP,
        FINE_VOLTS,
        INRUSH_CLAMP,
        INSULATION,
        LOW_Z_VOLTS,
        MICROFARADS,
        OHMS,
        VOLTS,
        Instrument,
        Leads,
        combined_sd,
        loaded_volts,
    )
    from rungwise.circuit.netlist import Key, Link, PairLink, Plan
    from rungwise.circuit.network import Network, Standing
    from rungwise.circuit.ngspice import SpiceResult, run_many, run_one
    from rungwise.circuit.operating_point import START_SECONDS, Settling, solve
    from rungwise.circuit.residual import proved
    from rungwise.circuit.situations import (
        FIRST_SECONDS,
        MOMENT_OF_START,
        Asking,
        Situation,
        can_defrost,
        forced_defrost,
        situations_of,
    )
    from rungwise.circuit.solution import Solution, spliced
    from rungwise.circuit.solve_many import Asked, solve_together
    from rungwise.circuit.spice import Probe, spice_netlist
    from rungwise.circuit.spice_names import names_of
    from rungwise.circuit.states_of_loads import (
        Harm,
        Hurt,
        LoadState,
        LoadStates,
        load_states,
        loads_of,
        states_of,
        usual_states,
    )
    from rungwise.circuit.three_phase_fit import fit_motor
    from rungwise.circuit.timeline import Moment
else:
    __getattr__ = door(__name__)
