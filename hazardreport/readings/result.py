"""A reading turned into a number with doubt, a bound, or a refusal with its reasons."""

from dataclasses import dataclass
from enum import StrEnum

from hazardreport.case.reading import Brightness, Load, Quantity
from hazardreport.quantity.measured import Measured
from hazardreport.quantity.trace import Source
from hazardreport.quantity.typed import Bound, TypedValue

Fields = tuple[tuple[str, str], ...]
Problem = tuple[str, Fields]


class Purpose(StrEnum):
    """What a reading tells about."""

    UNIT = "unit"
    SUPPLY = "supply"
    STORED_CHARGE = "stored charge"


@dataclass(frozen=True, kw_only=True, slots=True)
class ReadingResult:
    """One reading as a number.

    reading_id              id of the reading
    quantity                what the number is of: a voltage across a touch-current network is a current; None if unread
    value                   with all of its doubt; for a bound the number that bounds; None if refused or numberless
    bound                   a bound stays a bound
    restricts               a bound with a number that may restrict the fit: nothing keeps it from deciding
    used                    a value, or a lit lamp, that may decide; what does not is kept, and `problems` say why.
                            Bounds are never "used": they restrict, see `bound`
    refused                 not understood or impossible: no number and no bound may be taken from it
    purpose                 the unit, the supply alone, or charge left in the unplugged unit
    typed                   what was understood; None for a lamp or if nothing was
    brightness              of a lamp reading
    load                    as recorded, with the lamp's rating
    load_impedance          meter and resistor together, or a touch-current network, at the supply's frequency; None for
                            a lamp or no load [ohm]
    reading_factor          what the number is over the current through the load, as of a touch-current network [1]
    meter_impedance         of the voltmeter alone; None where no voltmeter was connected [ohm]
    load_uncertainty        relative standard uncertainty of a resistor [1]
    instrument_uncertainty  part of the instrument, standard; supply_uncertainty: part of the supply's drift, common to
                            readings whose supply was not noted; both are within `value`
    gain_uncertainty        part of the instrument that is proportional to the reading, common to all readings of that
                            instrument and quantity, within `instrument_uncertainty`
    supply_voltage          noted beside the reading, or None
    problems                (key of problems.toml, fields)
    choices                 keys of choices.toml that were made for this reading
    sources                 of tables used
    """

    reading_id: str
    quantity: Quantity | None = None
    value: Measured | None = None
    bound: Bound = Bound.NONE
    restricts: bool = False
    used: bool = False
    refused: bool = False
    purpose: Purpose = Purpose.UNIT
    typed: TypedValue | None = None
    brightness: Brightness | None = None
    load: Load = Load()
    load_impedance: complex | None = None
    reading_factor: float = 1.0
    meter_impedance: complex | None = None
    load_uncertainty: float = 0.0
    instrument_uncertainty: float = 0.0
    supply_uncertainty: float = 0.0
    gain_uncertainty: float = 0.0
    supply_voltage: Measured | None = None
    problems: tuple[Problem, ...] = ()
    choices: tuple[str, ...] = ()
    sources: tuple[Source, ...] = ()
