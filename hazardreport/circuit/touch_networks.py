"""The measuring networks of the touch-current standard, figures 3 and 4, as branches and as a load with its reading.

They stand for a person; the meter across their output reads volts, and 500 Ω make that a touch current.
"""

from dataclasses import dataclass
from functools import lru_cache

from hazardreport.case.reading import LoadKind
from hazardreport.circuit.netlist import Capacitor, Netlist, Passive, Resistor, VoltageSource, solve
from hazardreport.errors import OutsideTableError
from hazardreport.standards.editions import default_edition
from hazardreport.standards.tables import Table, table

UNWEIGHTED, WEIGHTED = 3, 4
FIGURE_OF = {LoadKind.TOUCH_NETWORK_3: UNWEIGHTED, LoadKind.TOUCH_NETWORK_4: WEIGHTED}


@dataclass(frozen=True, kw_only=True, slots=True)
class TouchNetwork:
    """A network at one frequency.

    impedance       between its two ends [ohm]
    reading_factor  touch current that it shows, over the current through it [1]
    """

    impedance: complex
    reading_factor: float


def _components(figure: int) -> Table:
    if figure not in (UNWEIGHTED, WEIGHTED):
        raise OutsideTableError(table="iec-60990", argument="figure", value=str(figure), allowed="3, 4")
    return table(default_edition("touch-network"), f"figure-{figure}")


def touch_network_branches(figure: int, first: str, second: str, name: str = "touch network") -> tuple[Passive, ...]:
    """The network between two nodes; its output is across the last branch.

    Parameters
    ----------
    figure : int
        3 unweighted, 4 weighted for perception or reaction.
    first, second : str
        Nodes of the touchable part and of the return.
    name : str
        Begins the names of branches and inner nodes.

    Returns
    -------
    tuple of Passive
        R_S with C_S beside it; R_B, which is the output of figure 3; R_1 and C_1 across it, the output of figure 4.

    Raises
    ------
    OutsideTableError
        For any other figure.

    References
    ----------
    iec-60990, Figures 3 and 4.
    """
    held = _components(figure)
    body = f"{name} body"
    branches: tuple[Passive, ...] = (
        Resistor(name=f"{name} R_S", first=first, second=body, resistance=held.look_up("R_S")),
        Capacitor(name=f"{name} C_S", first=first, second=body, capacitance=held.look_up("C_S")),
        Resistor(name=f"{name} R_B", first=body, second=second, resistance=held.look_up("R_B")),
    )
    if figure == UNWEIGHTED:
        return branches
    output = f"{name} output"
    return (
        *branches,
        Resistor(name=f"{name} R_1", first=body, second=output, resistance=held.look_up("R_1")),
        Capacitor(name=f"{name} C_1", first=output, second=second, capacitance=held.look_up("C_1")),
    )


@lru_cache(maxsize=256)
def touch_network_load(figure: int, frequency: float) -> TouchNetwork:
    """The network as a linear load of one frequency.

    Parameters
    ----------
    figure : int
        3 or 4.
    frequency : float
        Zero for direct current. [Hz]

    Returns
    -------
    TouchNetwork
        What goes into `Observation.load_impedance` and `Observation.reading_factor`.

    Raises
    ------
    OutsideTableError
        For any other figure.

    Notes
    -----
    Solved from its own branches with one volt across them.

    Examples
    --------
    >>> touch_network_load(4, 0.0)
    TouchNetwork(impedance=(2000+0j), reading_factor=1.0)

    References
    ----------
    iec-60990, Figures 3 and 4.
    """
    branches = touch_network_branches(figure, "part", "return")
    source = VoltageSource(name="source", first="part", second="return", voltage=1.0)
    solution = solve(Netlist(branches=(source, *branches), ground="return"), frequency)
    current = -complex(solution.current("source"))
    output = complex(solution.voltage(branches[-1].first, "return"))
    shown = output / _components(figure).look_up("R_B")
    return TouchNetwork(impedance=1.0 / current, reading_factor=abs(shown / current))
