"""Bare equations of a source and what is connected to it; magnitudes, r.m.s."""


def available_fault_current(open_circuit_voltage: float, source_impedance: complex | float) -> float:
    """Current into a bolted connection to earth; infinite for an ideal source.

    Parameters
    ----------
    open_circuit_voltage : float
        Of the part to earth, nothing connected. [V]
    source_impedance : complex or float
        Seen between part and earth. [ohm]

    Returns
    -------
    float
        Isc = U0 / |Zs|. [A]

    Examples
    --------
    >>> available_fault_current(240.0, 0.25)
    960.0
    """
    magnitude = abs(source_impedance)
    return open_circuit_voltage / magnitude if magnitude else (float("inf") if open_circuit_voltage else 0.0)


def load_current(
    open_circuit_voltage: float, source_impedance: complex | float, load_impedance: complex | float
) -> float:
    """Current through a linear load between part and earth.

    Parameters
    ----------
    open_circuit_voltage : float
        Of the part to earth, nothing connected. [V]
    source_impedance, load_impedance : complex or float
        Not both zero. [ohm]

    Returns
    -------
    float
        I = U0 / |Zs + Z|. [A]

    Examples
    --------
    >>> load_current(120.0, 0.0, 1000.0)
    0.12
    """
    return open_circuit_voltage / abs(source_impedance + load_impedance)


def dissipated_power(current: float, resistance: float) -> float:
    """Heat in a resistance that carries a current. [W]

    Examples
    --------
    >>> dissipated_power(10.0, 2.0)
    200.0
    """
    return current**2 * resistance
