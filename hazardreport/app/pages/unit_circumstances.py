"""Fields of the Unit page about people: use, event, upkeep, who reports, consents, keeping."""

from collections.abc import Mapping

from hazardreport.app.pages.unit_places import Group, place
from hazardreport.case.circumstances import Grip, Occasion, ResidualCurrentDevice, SubmitterCategory

GRIP_WORDS: Mapping[object, str] = {
    Grip.GRIP: "Hand closed around it",
    Grip.PALM: "Flat hand laid on it",
    Grip.FINGERTIP: "Tip of a finger",
}
OCCASION_WORDS: Mapping[object, str] = {
    Occasion.INCIDENT: "Something happened to somebody",
    Occasion.DISCOVERY: "The danger was found before",
}
DEVICE_WORDS: Mapping[object, str] = {
    ResidualCurrentDevice.NONE: "None there",
    ResidualCurrentDevice.MA_30: "Yes, 30 mA (printed on it)",
    ResidualCurrentDevice.GFCI_A: "Yes, GFCI class A (North America)",
    ResidualCurrentDevice.OTHER: "Yes, another one",
    ResidualCurrentDevice.UNKNOWN: "Not known",
}

USE = Group(
    name="Use",
    title="Where and by whom it was used",
    hint="window.unit.use",
    fields=(
        place("household.place", "Place", hint="kitchen, workshop, bathroom"),
        place("household.users", "Used by"),
        place("household.use", "How it was used", "long"),
        place("household.children", "Children use it or are near", "answer"),
        place("household.care_needs", "Somebody there needs care", "answer"),
        place("household.near_water", "Water near it", "answer"),
        place("household.wet_hands", "Wet hands in use", "answer"),
        place("household.both_hands", "Held with both hands", "answer"),
        place("household.grip", "How it is touched", Grip, words=GRIP_WORDS),
        place("household.earthed_metal_in_reach", "Tap or earthed metal in reach", "answer"),
        place("household.conductive_floor", "Stone or damp floor, thin shoes", "answer"),
        place("household.floor_resistance", "Floor and footwear, measured", "<resistance>", hint="5 kΩ"),
        place(
            "household.residual_current_device",
            "Residual-current device there",
            ResidualCurrentDevice,
            words=DEVICE_WORDS,
        ),
        place("household.socket_earth", "Earth at that socket found good", "answer"),
        place("household.reasons", "How this is known", "long", hint="who saw or told it"),
    ),
)

EVENT = Group(
    name="Event",
    title="What happened",
    fields=(
        place("occurrence.occasion", "Incident or discovery", Occasion, words=OCCASION_WORDS),
        place("occurrence.narrative", "Account", "long", hint="the harm, or how it could have come"),
        place("occurrence.date", "Day", hint="2026-05-11, or about when"),
        place("occurrence.injured_person", "The injured person", hint="age; no name"),
        place("occurrence.injury", "Injury"),
        place("occurrence.treatment", "Medical treatment"),
        place("occurrence.damage", "Damage to other things"),
        place("occurrence.contacts", "Contacts with seller or maker", "long"),
    ),
)

UPKEEP = Group(
    name="Upkeep",
    title="Upkeep and changes",
    hint="window.unit.upkeep",
    fields=(
        place("occurrence.maintained", "Looked after, all in all", hint="seen, told or unknown"),
        place("upkeep.socket_earth", "Earth contact of the socket", "kept"),
        place("upkeep.cord", "Cord and plug", "kept"),
        place("upkeep.cleaning", "Cleaning and lime", "kept"),
        place("upkeep.instructions", "As the instructions say", "kept"),
        place("upkeep.repairs", "Repairs", "alteration"),
        place("upkeep.changes", "Changes", "alteration"),
        place("upkeep.misuse", "Misuse", "alteration"),
        place("unit.repairs_and_changes", "Repairs and changes, in words", "long"),
    ),
)

REPORTER = Group(
    name="Reporter",
    title="Who reports, and what may be passed on",
    hint="window.unit.reporter",
    fields=(
        place("submitter.first_name", "First name"),
        place("submitter.last_name", "Last name"),
        place("submitter.address", "Address", "long"),
        place("submitter.country", "Country"),
        place("submitter.email", "E-mail"),
        place("submitter.phone", "Telephone"),
        place("submitter.category", "Reports as", SubmitterCategory),
        place("submitter.minor", "Reporter or hurt person under 18", "answer"),
        place("submitter.guardian", "Parent or guardian", "long"),
        place("consents.guardian_agrees", "Parent or guardian agrees", "statement"),
        place("consents.verified", "True to the best of my knowledge", "statement"),
        place("consents.verified_on", "Stated on", "text", hint="2026-01-31"),
        place("consents.publish", "May be published", "statement"),
        place("consents.contact_to_firm", "Name and contact to the maker", "statement"),
        place("consents.early_publication", "Published early, because", "long"),
        place("private_words", "Names left out of a publication", "words", hint="one in each line: R. Oakes"),
    ),
)

GUARDIAN_FIELDS = ("submitter.guardian", "consents.guardian_agrees")
"""Shown where somebody is younger than 18, or where something stands in them."""

KEEPING = Group(
    name="Keeping",
    title="Where the unit is kept",
    fields=(
        place("custody.kept_at", "Kept at"),
        place("custody.kept_until", "Kept until"),
        place("custody.units_examined", "Units examined"),
        place("custody.units_faulty", "Units found faulty"),
    ),
)
