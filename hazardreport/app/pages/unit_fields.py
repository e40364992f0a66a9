"""Which fields the Unit page shows, in which order; and the fields of one mark of conformity."""

from hazardreport.app.pages.unit_circumstances import EVENT, KEEPING, REPORTER, UPKEEP, USE
from hazardreport.app.pages.unit_identity import IDENTITY
from hazardreport.app.pages.unit_places import FieldPlace, place
from hazardreport.app.pages.unit_wiring import WIRING

GROUPS = (*IDENTITY, USE, EVENT, UPKEEP, *WIRING, REPORTER, KEEPING)

TITLE = place("title", "Title of the case", "text", hint="a short name for people")

MARK_FIELDS: tuple[FieldPlace, ...] = (
    place("conformity_marks.mark", "Letters of the mark", "text", hint="CE"),
    place("conformity_marks.holder", "Given to", "text"),
    place("conformity_marks.number", "Number beside it", "text"),
    place("conformity_marks.place", "Where it stands", "text", hint="plate, plug, cord, box, leaflet"),
    place("conformity_marks.note", "Looked up", "text"),
    place("conformity_marks.picture", "Picture that shows it", "text"),
    place("conformity_marks.point", "Point on it", "text"),
)
"""Asked in a dialog, one record for each mark."""
