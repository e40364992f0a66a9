"""What was understood of a typed reading, or why it was not."""

from dataclasses import dataclass

from hazardreport import wording
from hazardreport.case.reading import Brightness, Quantity
from hazardreport.errors import HazardReportError
from hazardreport.quantity.formatting import format_typed
from hazardreport.quantity.typed import read_value
from hazardreport.readings.tripped import is_trip


@dataclass(frozen=True, kw_only=True, slots=True)
class Understood:
    """The text beside what was typed; `fault` is the whole sentence if it was not understood."""

    text: str
    fault: str = ""


def understood(typed: str, quantity: Quantity) -> Understood:
    """What was understood at once, without looking at the rest of the case."""
    if not typed.strip():
        return Understood(text="")
    if is_trip(typed, quantity):
        return Understood(text=wording.sentence("window.readings.tripped"))
    if quantity is Quantity.LAMP:
        names = [brightness.value for brightness in Brightness]
        if typed.strip().casefold() in names:
            return Understood(text=typed.strip().casefold())
        fault = wording.sentence("window.readings.brightness", names=", ".join(names))
        return Understood(text="not understood", fault=fault)
    try:
        return Understood(text=format_typed(read_value(typed, quantity.value)))
    except HazardReportError as error:
        return Understood(text="not understood", fault=f"{wording.what(error)} {wording.remedy(error)}")
