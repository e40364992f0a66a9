"""What the measuring networks of the touch-current standard would read, by complex arithmetic at one frequency."""

from dataclasses import dataclass
from math import isinf, pi

from hazardreport.errors import OutsideTableError
from hazardreport.quantity.trace import Source
from hazardreport.standards.editions import default_edition
from hazardreport.standards.tables import Table, table

FIGURES = (3, 4, 5)


@dataclass(frozen=True, kw_only=True, slots=True)
class NetworkReading:
    """One network at a source.

    current        through the network [A]
    touch_voltage  across the network [V]
    reading        weighted touch current: output voltage over R_B [A]
    """

    current: float
    touch_voltage: float
    reading: float


def touch_network(figure: int, frequency: float) -> tuple[complex, complex]:
    """Input impedance of a network, and its output voltage per ampere at the input.

    Parameters
    ----------
    figure : int
        3 unweighted, 4 perception or reaction, 5 let-go.
    frequency : float
        Zero for direct current. [Hz]

    Returns
    -------
    complex, complex
        Input impedance and transfer impedance. [ohm]

    Examples
    --------
    >>> abs(touch_network(4, 0.0)[0])
    2000.0

    References
    ----------
    iec-60990, Figures 3, 4 and 5.
    """
    if figure not in FIGURES:
        raise OutsideTableError(table="iec-60990", argument="figure", value=str(figure), allowed="3, 4, 5")
    held = table(default_edition("touch-network"), f"figure-{figure}")
    s = 2j * pi * frequency
    R_S, C_S, R_B = (held.look_up(name) for name in ("R_S", "C_S", "R_B"))
    skin = R_S / (1 + s * R_S * C_S)
    branch_admittance, share = _weighting(held, figure, s)
    internal = R_B / (1 + R_B * branch_admittance)
    return skin + internal, internal * share


def network_reading(
    open_circuit_voltage: complex | float, source_impedance: complex | float, frequency: float, figure: int = 4
) -> NetworkReading:
    """What a network shows at a source.

    Parameters
    ----------
    open_circuit_voltage : complex or float
        Of the part to earth. [V]
    source_impedance : complex or float
        Seen between part and earth; infinite where the part is not connected. [ohm]
    frequency : float
        Of the supply. [Hz]
    figure : int
        3, 4 or 5.

    References
    ----------
    iec-60990, Figures 3, 4 and 5.
    """
    if isinf(abs(source_impedance)):
        return NetworkReading(current=0.0, touch_voltage=0.0, reading=0.0)
    entrance, transfer = touch_network(figure, frequency)
    resistance = network_body_resistance(figure)
    current = abs(open_circuit_voltage / (source_impedance + entrance))
    return NetworkReading(
        current=current, touch_voltage=current * abs(entrance), reading=current * abs(transfer) / resistance
    )


def touch_network_reading(
    open_circuit_voltage: complex | float, source_impedance: complex | float, frequency: float
) -> float:
    """Weighted touch current of the network for perception or reaction. [A]

    References
    ----------
    iec-60990, Figure 4.
    """
    return network_reading(open_circuit_voltage, source_impedance, frequency, 4).reading


def network_body_resistance(figure: int = 4) -> float:
    """Resistance in a network that stands for the inside of the body, which its output counts over. [ohm]"""
    return table(default_edition("touch-network"), f"figure-{figure}").look_up("R_B")


def touch_network_source(figure: int = 4) -> Source:
    """Where the components of a network come from."""
    return table(default_edition("touch-network"), f"figure-{figure}").source()


def _weighting(held: Table, figure: int, s: complex) -> tuple[complex, complex]:
    """Admittance of the branch across R_B, and the share of the voltage on R_B that it hands on."""
    if figure == 3:
        return 0j, 1 + 0j
    if figure == 4:
        R_1, C_1 = held.look_up("R_1"), held.look_up("C_1")
        return s * C_1 / (1 + s * R_1 * C_1), 1 / (1 + s * R_1 * C_1)
    R_2, C_2, R_3, C_3 = (held.look_up(name) for name in ("R_2", "C_2", "R_3", "C_3"))
    node = s * C_2 + s * C_3 / (1 + s * R_3 * C_3)
    return node / (1 + R_2 * node), 1 / (1 + R_2 * node)
