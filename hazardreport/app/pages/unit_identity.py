"""Fields of the Unit page that say which unit it is: four questions first, plate, marks, firms, sale."""

from hazardreport.app.pages.unit_places import Group, place
from hazardreport.case.situation import Territory

QUESTIONS = Group(
    name="Questions",
    title="Four questions first",
    hint="window.unit.questions",
    fields=(
        place("situation.residence", "Where do you live?", Territory),
        place("situation.bought_in", "Where was it bought?", Territory),
        place("situation.online", "Was it bought online?", "answer"),
        place("situation.injured", "Was anybody hurt?", "answer"),
    ),
)

PLATE = Group(
    name="Plate",
    title="Identity plate",
    hint="window.unit.plate",
    fields=(
        place("unit.product_name", "What it is", hint="in plain words"),
        place("unit.common_names", "Also called"),
        place("unit.category", "Kind of product"),
        place("unit.brand", "Brand"),
        place("unit.model", "Model"),
        place("unit.serial", "Serial number"),
        place("unit.batch", "Batch"),
        place("unit.date_code", "Date code", hint="as stamped"),
        place("unit.date_code_meaning", "What the date code means"),
        place("unit.manufactured", "Made when", hint="2026-04"),
        place("unit.barcode", "Barcode", hint="8, 12, 13 or 14 digits"),
        place("unit.stock_number", "Seller's article number"),
        place("unit.rated_voltage", "Rated voltage", hint="with unit, as on the plate"),
        place("unit.rated_frequency", "Rated frequency"),
        place("unit.rated_power", "Rated power"),
        place("unit.rated_current", "Rated current"),
        place("unit.supply_nature", "Kind of current", hint="~ or AC, DC"),
        place("unit.ip_code", "IP code", hint="IPX4"),
        place("unit.plate_otherwise", "Anything else on the plate", "long"),
        place("unit.description", "How it looks", "long"),
        place("unit.packaging", "Box", "long"),
        place("unit.condition", "Condition as found", "long"),
        place("unit.classification", "Product classification"),
        place("unit.customs_code", "Customs code"),
    ),
)

MARKS = Group(
    name="Marks",
    title="Marks and papers",
    hint="window.unit.marks",
    fields=(
        place("unit.protection_class", "Protection class", hint="0, I, II or III, as marked"),
        place("unit.marks", "Marks, all in all", hint="or: none found, and where you looked"),
        place("unit.standards_claimed", "Standards that are named"),
        place("unit.documents", "Papers", "long"),
        place("unit.counterfeit", "Signs of an imitation", "long"),
    ),
)

FIRMS = Group(
    name="Firms",
    title="Maker and other firms",
    hint="window.unit.firms",
    fields=(
        place("unit.maker", "Maker"),
        place("unit.maker_address", "Maker's address"),
        place("unit.maker_contact", "Maker's contact"),
        place("unit.country", "Made in which country"),
        place("unit.importer", "Importer"),
        place("unit.importer_address", "Importer's address"),
        place("unit.responsible_person", "Responsible person in the EU"),
        place("unit.responsible_person_address", "Address of the responsible person"),
        place("unit.exporter", "Exporter"),
        place("unit.distributor", "Distributor"),
    ),
)

SALE = Group(
    name="Sale",
    title="Where and when it was bought",
    fields=(
        place("unit.seller", "Seller"),
        place("unit.seller_address", "Seller's address"),
        place("unit.seller_contact", "Seller's contact"),
        place("unit.marketplace", "Marketplace"),
        place("unit.marketplace_contact", "Marketplace's contact"),
        place("unit.listing", "Web address of the offer"),
        place("unit.listing_seen", "Offer last seen on", hint="2026-05-13"),
        place("unit.purchased", "Bought on", hint="2026-05-04"),
        place("unit.purchase_place", "Bought at", hint="town and country"),
        place("unit.price", "Price"),
        place("unit.still_on_sale", "Still on sale", hint="seen where and when"),
        place("unit.destinations", "Also sold in"),
    ),
)

IDENTITY = (QUESTIONS, PLATE, MARKS, FIRMS, SALE)
