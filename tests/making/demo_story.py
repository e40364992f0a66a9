"""What is told in the demo case, all of it invented: unit, use, people, findings. Nobody of that name makes such a pot.

Names, streets and towns do not exist; mail addresses end in the reserved .example; telephone numbers are among those
set aside for films.
"""

from hazardreport.case.barcode import check_digit
from hazardreport.case.circumstances import (
    Answer,
    Competence,
    Consents,
    Custody,
    Finding,
    FindingClaim,
    Grip,
    Household,
    Occasion,
    Occurrence,
    ResidualCurrentDevice,
    Submitter,
)
from hazardreport.case.custody import Item, ItemKind, Step, StepEffect, Transfer
from hazardreport.case.picture import Mark, MarkKind, Placement, Point, PointRole
from hazardreport.case.stated import not_applicable, unknown, value
from hazardreport.case.unit import Unit
from hazardreport.case.wiring import Element, ElementMaterial, Plug, ProtectiveEarth, SwitchPoles, Wiring

TITLE = "Wax-melting pot, youth craft club"
CASE_ID = "DEMO-2026-0512"
CREATED = "2026-05-12T07:02:00Z"
ELECTRICIAN, ADVOCATE = "Tilo Musterhaft", "Mirabel Beispielsen"
DEAD_FROM, LIVE_FROM = "2026-05-12T09:12:00+02:00", "2026-05-12T09:44:00+02:00"
PLATE, TERMINALS, CRACK, PLUG = "picture-002", "picture-005", "picture-006", "picture-003"
AS_FOUND, DISPLAY = "picture-001", "picture-004"
BARCODE = "200142337706"

UNIT = Unit(
    product_name=value("Electric wax-melting pot for candle making"),
    category=value("Household and hobby heating appliance"),
    brand=value("Lumenkessel", picture=PLATE),
    model=value("LK-WX 6", picture=PLATE),
    serial=value("0142-3377-06", picture=PLATE),
    batch=value("26-04", picture=PLATE),
    date_code=value("6D", picture=PLATE),
    date_code_meaning=value("6: 2026, D: fourth month; as the leaflet in the box explains"),
    barcode=value(BARCODE + str(check_digit(BARCODE))),
    rated_voltage=value("230 V", picture=PLATE),
    rated_frequency=value("50 Hz", picture=PLATE),
    rated_power=value("600 W", picture=PLATE),
    protection_class=value("I: protective-earth symbol on the plate, three-core cord", picture=PLATE),
    marks=unknown("no mark of conformity on plate, cord, box or leaflet"),
    maker=value("Lumenkessel Geraetebau (invented)", picture=PLATE),
    maker_address=value("Dochtgasse 12, 00000 Kerzenau (invented)", picture=PLATE),
    maker_contact=value("service@lumenkessel.example"),
    importer=not_applicable("the plate names a maker within the Union and no importer"),
    importer_address=not_applicable("no importer is named"),
    country=unknown("neither unit nor box names a country of origin"),
    seller=value("Bastelkiste Wachs & Docht (invented)"),
    seller_address=value("Am Docht 3, 00000 Kerzenau (invented)"),
    marketplace=not_applicable("bought over the counter"),
    listing=value("https://bastelkiste.example/lk-wx-6"),
    purchased=value("2026-05-04, receipt kept"),
    price=value("EUR 64.90"),
    still_on_sale=value("yes, three boxes on the seller's shelf, seen 2026-05-13"),
    condition=value("one week old, clean, wax residue on the rim; opened by the electrician, not by the club"),
    repairs_and_changes=value("none; the cover screws were sealed with paint before it was opened"),
    common_names=value("wax pot, candle pot"),
    classification=unknown("no code on box or receipt, and none was looked up"),
    description=value("metal pot, 1 litre, bare rim; dark green base, rocker switch on it", picture=AS_FOUND),
    packaging=value("brown box, green print, 24 cm × 24 cm × 20 cm; leaflet in German"),
    stock_number=value("WX-0006, on the receipt"),
    manufactured=value("2026-04"),
    customs_code=unknown("the receipt names none"),
    rated_current=not_applicable("the plate states the power instead"),
    supply_nature=value("alternating current", picture=PLATE),
    ip_code=unknown("none on the plate"),
    plate_otherwise=value("protective-earth symbol", picture=PLATE),
    standards_claimed=unknown("neither plate nor leaflet names one"),
    documents=value("leaflet of four pages; no declaration of conformity in the box"),
    counterfeit=value("no sign of an imitation: plate, box and leaflet agree"),
    responsible_person=not_applicable("the maker named on the plate is in the Union"),
    responsible_person_address=not_applicable("the maker named on the plate is in the Union"),
    exporter=unknown("not named anywhere"),
    distributor=unknown("the shop did not say where it buys"),
    destinations=unknown("known to the maker only"),
    seller_contact=value("+49 30 23125 077"),
    marketplace_contact=not_applicable("bought over the counter"),
    listing_seen=value("2026-05-13"),
    purchase_place=value("over the counter in Kerzenau, Germany (invented)"),
)

WIRING = Wiring(
    nominal_voltage=230.0,
    frequency=50.0,
    cord_cores=3,
    plug=Plug.REVERSIBLE,
    protective_earth=ProtectiveEarth.OPEN,
    switch=SwitchPoles.POLE_1,
    element=Element(rated_voltage=230.0, rated_power=600.0, material=ElementMaterial.NICKEL_CHROMIUM),
    circuit_breaker="B16",
    note="Thermostat in series with the switch, closed during all readings. No filter, no electronics.",
)

HOUSEHOLD = Household(
    place=value("Kitchen of a youth craft club, worktop beside the sink, stone floor"),
    users=value("about twelve children from 8 to 14, two adult helpers"),
    earthed_metal_in_reach=Answer.YES,
    conductive_floor=Answer.YES,
    wet_hands=Answer.YES,
    both_hands=Answer.YES,
    children=Answer.YES,
    use=value("melts a litre of wax one afternoon a week; lifted by rim and body to pour"),
    near_water=Answer.YES,
    care_needs=Answer.NO,
    grip=Grip.GRIP,
    residual_current_device=ResidualCurrentDevice.NONE,
    socket_earth=Answer.YES,
    reasons=value(
        "earthed_metal_in_reach: steel sink and tap, 60 cm from the pot, joined to the socket's earth\n"
        "conductive_floor: stone tiles on concrete, children often in socks\n"
        "wet_hands: moulds are rinsed in the sink\n"
        "both_hands: the pot is lifted by its rim and body to pour\n"
        "children: told by both helpers\n"
        "grip: the metal pot is held while pouring\n"
        "residual_current_device: none in the distribution board of 1974\n"
        "socket_earth: measured line to earth, reading-014"
    ),
)

OCCURRENCE = Occurrence(
    narrative=value(
        "An adult helper felt a tingle when the back of her hand touched the metal pot; the switch stood on 0. "
        "She pulled the plug and nobody used the pot again. An electrician found the pot at nearly the full mains "
        "voltage while switched off, depending only on which way round the plug is. Nobody was hurt; twelve children "
        "use the room."
    ),
    date=value("2026-05-11"),
    occasion=Occasion.DISCOVERY,
    injured_person=not_applicable("nobody was hurt"),
    damage=value("none"),
    injury=not_applicable("a tingle; nobody was hurt"),
    treatment=not_applicable("none was needed"),
    contacts=value("Seller told on the telephone on 2026-05-13; he will ask the maker. No contact with the maker yet."),
    maintained=value("seen: used as its leaflet says, for one week"),
)

SUBMITTER = Submitter(
    first_name=value("Mirabel"),
    last_name=value("Beispielsen"),
    address=value("Werkstattweg 7, 00000 Kerzenau (invented)"),
    country=value("Germany"),
    email=value("m.beispielsen@wachsinsel.example"),
    phone=value("+49 30 23125 042"),
    minor=Answer.NO,
    guardian=not_applicable("the submitter is of age"),
)

CONSENTS = Consents(verified=Answer.YES, verified_on="2026-05-14", contact_to_firm=Answer.YES)

CUSTODY = Custody(
    kept_at=value(
        "Locked cupboard in the workshop of Tilo Musterhaft, plug in a locked cover; cord and opened parts tagged"
    ),
    kept_until=value("2027-05-31, may be collected against receipt"),
    units_examined=value("1"),
    units_faulty=value("1"),
)

ITEMS = (
    Item(
        id="item-001",
        kind=ItemKind.UNIT,
        description="the pot with its base, cord and plug; the wax left in it",
        label="K 0512-1, paper label across two cover screws",
        place="locked cupboard of the electrician's workshop",
        condition="whole outside; cover opened once and closed again; wax set in the pot; plug in a locked cover",
        since="2026-05-12T11:20:00+02:00",
        pictures=(AS_FOUND, PLATE, PLUG),
    ),
    Item(
        id="item-002",
        kind=ItemKind.PART,
        description="flakes of the paint that sealed the cover screws, in a bag",
        label="K 0512-2",
        place="locked cupboard of the electrician's workshop",
        condition="three flakes, grey, the largest 4 mm",
        since="2026-05-12T11:20:00+02:00",
        pictures=(TERMINALS,),
    ),
    Item(
        id="item-003",
        kind=ItemKind.PACKAGING,
        description="box and leaflet",
        label="K 0512-3",
        place="locked cupboard of the electrician's workshop",
        condition="box torn at one flap, leaflet whole",
        since="2026-05-12T11:20:00+02:00",
    ),
)

TRANSFERS = (
    Transfer(
        id="transfer-001",
        items=("item-001", "item-002", "item-003"),
        giver="Mirabel Beispielsen, for the craft club",
        taker=ELECTRICIAN,
        when="2026-05-12T11:20:00+02:00",
        purpose="keeping under lock until maker or authority collects it",
        place="kitchen of the craft club",
        condition="as the items say",
        seal_whole=Answer.YES,
    ),
)

STEPS = (
    Step(
        id="step-001",
        what="Looked at and photographed as it stood, then unplugged by the helper who had felt the tingle",
        when="2026-05-11T16:42:00+02:00",
        by="Mirabel Beispielsen",
        effect=StepEffect.NON_DESTRUCTIVE,
        items=("item-001",),
        pictures=(AS_FOUND,),
    ),
    Step(
        id="step-002",
        what="Readings from the plug and on the metal, cover closed",
        when="2026-05-12T09:14:00+02:00",
        by=ELECTRICIAN,
        effect=StepEffect.NON_DESTRUCTIVE,
        items=("item-001",),
        pictures=(PLATE, PLUG, DISPLAY),
        readings=("reading-005", "reading-006", "reading-009", "reading-019"),
    ),
    Step(
        id="step-003",
        what="Cover unscrewed, the paint over two of its screws broken; terminals and element end photographed; closed",
        when="2026-05-12T10:30:00+02:00",
        by=ELECTRICIAN,
        effect=StepEffect.DESTRUCTIVE,
        opens=True,
        informed="Nobody: the maker's address was found on the plate only then. The flakes of paint were kept.",
        items=("item-001", "item-002"),
        pictures=(TERMINALS, CRACK),
    ),
)

CALL_NOTE = """Note of a telephone call, 2026-05-13, 14:10 to 14:16

Called: Bastelkiste Wachs & Docht (invented), the shop where the pot was bought.
Said: one pot of theirs stands at mains voltage while switched off; please take the others off the shelf.
Answer: three boxes are on the shelf; the shop will ask the maker before it does anything.

Written down during the call. Mirabel Beispielsen
"""
"""The attachment of the demo case."""

COMPETENCE = Competence(
    name=ELECTRICIAN,
    qualification="Master electrician (invented), yearly training for live work",
    permitted="At the club, asked by its board; live work is in the trade licence; R. Beispielsen stood at the switch",
    stated="2026-05-12T09:10:00+02:00",
)

POINTS = (
    Point(letter="A", role=PointRole.TOUCHABLE_PART, description="rim of the pot, bare metal"),
    Point(letter="B", role=PointRole.PIN_1, description="pin 1 of the plug, brown core, switched"),
    Point(letter="C", role=PointRole.PIN_2, description="pin 2 of the plug, blue core"),
    Point(letter="D", role=PointRole.EARTH_PIN, description="earth contact of the plug"),
    Point(letter="E", role=PointRole.EARTH, description="earth clip of the socket beside the sink"),
    Point(letter="F", role=PointRole.LINE, description="line contact of that socket"),
    Point(letter="G", role=PointRole.NEUTRAL, description="neutral contact of that socket"),
    Point(letter="H", role=PointRole.OTHER, description="ring of the earth core, on paint"),
    Point(letter="J", role=PointRole.OTHER, description="crack in the sheath of the element"),
)

FINDINGS = (
    Finding(
        id="finding-001",
        text="The metal pot is joined to the mains through a fault in the heating element: switched off, it stands at "
        "nearly the full mains voltage when the plug is in one way round.",
        claim=FindingClaim.DANGEROUS,
        pictures=(DISPLAY, AS_FOUND),
        readings=("reading-019", "reading-020", "reading-024"),
        requirement="IEC 60335-1, clause 8 (from memory): no access to live parts",
        cause="unknown",
    ),
    Finding(
        id="finding-002",
        text="The sheath of the heating element is cracked about 10 mm from its end at terminal 2; soot around the "
        "crack, wax residue in it.",
        claim=FindingClaim.STARTED_IT,
        pictures=(CRACK,),
        readings=("reading-005", "reading-006"),
        cause="production",
    ),
    Finding(
        id="finding-003",
        text="The ring of the earth core is screwed down on unbroken paint; there is no metallic contact, the meter "
        "shows an open circuit from the plug's earth contact to the pot.",
        claim=FindingClaim.PROTECTION,
        pictures=(TERMINALS,),
        readings=("reading-009",),
        requirement="IEC 60335-1, clause 27 (from memory): touchable metal permanently and reliably earthed",
        cause="production",
    ),
    Finding(
        id="finding-004",
        text="The switch interrupts one pole only, and the plug goes in both ways round: the element may stay on the "
        "line conductor while the switch is off.",
        claim=FindingClaim.PROTECTION,
        pictures=(PLUG, TERMINALS),
        readings=("reading-007", "reading-008"),
        cause="design",
    ),
    Finding(
        id="finding-005",
        text="The room where the pot was used has no residual-current device.",
        claim=FindingClaim.PROTECTION,
        pictures=(AS_FOUND,),
        cause="unknown",
    ),
)

CAPTIONS = {
    AS_FOUND: (
        "as-found.jpg",
        "The pot as it was found, plugged in, beside the sink",
        "Drawing. A metal pot with molten wax on a dark green base stands on a wooden worktop; its cord leads to a "
        "socket on the left; a steel sink with a tap is an arm's length to the right.",
    ),
    PLATE: (
        "underside.jpg",
        "Underside with rating plate",
        "Drawing. The dark green underside with four rubber feet and a bright plate: Lumenkessel, wax-melting pot, "
        "type LK-WX 6, 230 V, 50 Hz, 600 W, serial 0142-3377-06, batch 26-04, date code 6D, protective-earth symbol.",
    ),
    PLUG: (
        "plug.jpg",
        "The plug from its face, pins marked 1 and 2",
        "Drawing. A round black plug with two equal pins and an earth contact on two sides; it fits both ways round.",
    ),
    DISPLAY: (
        "meter-reversed-off.jpg",
        "The meter during the reading with the switch off and the plug reversed",
        "Drawing. A meter on alternating volts shows {display} V; behind it the pot with a red clip on its rim, its "
        "switch on 0.",
    ),
    TERMINALS: (
        "terminals.jpg",
        "Terminal compartment: the earth ring stands on paint",
        "Drawing. Inside of the base: brown and blue cores on a block, the green and yellow core on a ring that is "
        "screwed down on unbroken grey paint.",
    ),
    CRACK: (
        "element-end.jpg",
        "End of the heating element at terminal 2, with the crack",
        "Drawing. A tube with a jagged crack across it, sooty around, drops of wax beneath; a rule shows that it lies "
        "about 10 millimetres from the ceramic end.",
    ),
}

PLACEMENTS = {
    AS_FOUND: (
        Placement(letter="A", x=700.0, y=590.0),
        Placement(letter="E", x=208.0, y=412.0),
    ),
    PLATE: (Placement(letter="A", x=1330.0, y=700.0),),
    PLUG: (
        Placement(letter="B", x=570.0, y=560.0),
        Placement(letter="C", x=870.0, y=560.0),
        Placement(letter="D", x=720.0, y=270.0),
    ),
    DISPLAY: (Placement(letter="A", x=1042.0, y=400.0),),
    TERMINALS: (Placement(letter="H", x=944.0, y=780.0),),
    CRACK: (Placement(letter="J", x=618.0, y=520.0),),
}

MARKS = {
    AS_FOUND: (
        Mark(id="mark-001", kind=MarkKind.ARROW, vertices=((1050.0, 690.0), (1222.0, 600.0)), text="arm's length"),
    ),
    PLATE: (
        Mark(id="mark-001", kind=MarkKind.OUTLINE, vertices=((548.0, 434.0), (1092.0, 774.0)), text="rating plate"),
    ),
    DISPLAY: (
        Mark(
            id="mark-001",
            kind=MarkKind.OUTLINE,
            vertices=((262.0, 116.0), (708.0, 408.0)),
            text="switch off, plug reversed",
        ),
    ),
    TERMINALS: (
        Mark(id="mark-001", kind=MarkKind.ARROW, vertices=((1240.0, 1040.0), (1046.0, 900.0)), text="unbroken paint"),
        Mark(id="mark-002", kind=MarkKind.TEXT, vertices=((560.0, 980.0),), text="earth core"),
    ),
    CRACK: (
        Mark(id="mark-001", kind=MarkKind.ARROW, vertices=((820.0, 380.0), (672.0, 556.0)), text="crack"),
        Mark(id="mark-002", kind=MarkKind.TEXT, vertices=((110.0, 480.0),), text="terminal 2"),
    ),
}
