"""Measured values, units, typed text, rounding, formatting and traces.

Quantities, one name each, coherent SI unless a unit is named:

==========================  ======  ====  ==============================================================
name                        symbol  unit  meaning
==========================  ======  ====  ==============================================================
open_circuit_voltage        U0      V     touchable part to earth, nothing connected (prospective touch voltage)
source_impedance            Zs      ohm   seen between touchable part and earth
available_fault_current     Isc     A     U0 over the magnitude of Zs; computed, never measured
supply_voltage              U       V     between the supply conductors
element_resistance          Re      ohm   heating element, terminal to terminal
fault_position              x       1     distance of the fault from terminal 1, as a fraction of Re
fault_resistance            Rf      ohm   between element and touchable part at the fault
protective_earth_resistance RPE     ohm   protective conductor, unit's cord and installation
body_voltage                UB      V     across the body alone
body_current                IB      A     through the body
body_impedance              ZB      ohm   total body impedance with path factor
heart_current_factor        F       1     reference current over path current
duration                    t       s     how long the current flows
==========================  ======  ====  ==============================================================
"""
