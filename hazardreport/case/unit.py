"""Which unit it is: rating plate, marks of conformity, maker and sellers, purchase."""

from dataclasses import dataclass

from hazardreport.case.stated import Stated


@dataclass(frozen=True, kw_only=True, slots=True)
class Unit:
    """Identity of the unit; every field is `Stated`.

    product_name        what it is, in plain words
    common_names        what people call it otherwise
    category            kind of consumer product
    classification      code of an open classification of products, with its name
    description, packaging   looks of the unit, of its box: colours, size, what is printed on it
    brand, model        as on the plate
    stock_number        number of the article that the seller uses
    serial, batch       as on the plate
    date_code           as stamped; date_code_meaning: the key to read it; manufactured: month or day it stands for
    barcode             GTIN-8, -12, -13 or -14, digits only
    customs_code        code of the customs tariff
    rated_voltage, rated_frequency, rated_power, rated_current   as on the plate, with unit
    supply_nature       alternating or direct current, as on the plate
    ip_code             degree of protection against dust and water, as marked
    protection_class    0, I, II or III, as marked
    plate_otherwise     anything else on the plate
    marks               marks of conformity, as text; one by one: `ConformityMark`
    standards_claimed   standards that the maker names
    documents           declaration of conformity, certificates, leaflet: what there is
    counterfeit         signs that it is an imitation
    maker, maker_address, maker_contact
    importer, importer_address
    responsible_person, responsible_person_address   in the European Union, for a maker outside of it
    exporter, distributor
    country             of origin
    destinations        other countries where it was sold
    seller, seller_address, seller_contact, marketplace, marketplace_contact
    listing             address of the offer; listing_seen: day it was seen
    purchased, price    day and price; purchase_place: town and country
    still_on_sale       seen where and when
    condition           as found; repairs_and_changes: account of them
    """

    product_name: Stated = Stated()
    category: Stated = Stated()
    brand: Stated = Stated()
    model: Stated = Stated()
    serial: Stated = Stated()
    batch: Stated = Stated()
    date_code: Stated = Stated()
    date_code_meaning: Stated = Stated()
    barcode: Stated = Stated()
    rated_voltage: Stated = Stated()
    rated_frequency: Stated = Stated()
    rated_power: Stated = Stated()
    protection_class: Stated = Stated()
    marks: Stated = Stated()
    maker: Stated = Stated()
    maker_address: Stated = Stated()
    maker_contact: Stated = Stated()
    importer: Stated = Stated()
    importer_address: Stated = Stated()
    country: Stated = Stated()
    seller: Stated = Stated()
    seller_address: Stated = Stated()
    marketplace: Stated = Stated()
    listing: Stated = Stated()
    purchased: Stated = Stated()
    price: Stated = Stated()
    still_on_sale: Stated = Stated()
    condition: Stated = Stated()
    repairs_and_changes: Stated = Stated()
    common_names: Stated = Stated()
    classification: Stated = Stated()
    description: Stated = Stated()
    packaging: Stated = Stated()
    stock_number: Stated = Stated()
    manufactured: Stated = Stated()
    customs_code: Stated = Stated()
    rated_current: Stated = Stated()
    supply_nature: Stated = Stated()
    ip_code: Stated = Stated()
    plate_otherwise: Stated = Stated()
    standards_claimed: Stated = Stated()
    documents: Stated = Stated()
    counterfeit: Stated = Stated()
    responsible_person: Stated = Stated()
    responsible_person_address: Stated = Stated()
    exporter: Stated = Stated()
    distributor: Stated = Stated()
    destinations: Stated = Stated()
    seller_contact: Stated = Stated()
    marketplace_contact: Stated = Stated()
    listing_seen: Stated = Stated()
    purchase_place: Stated = Stated()


@dataclass(frozen=True, kw_only=True, slots=True)
class ConformityMark:
    """One mark of conformity found on the unit, its box or its papers; as text, never as a picture of the mark.

    id       "conformity-mark-001"
    mark     letters or words of the mark
    holder   firm that the mark was given to
    number   file, licence or body number beside it
    place    where it stands: plate, plug, cord, box, leaflet
    note     what was found when it was looked up, by whom and when
    picture, point   where it is shown
    """

    id: str
    mark: str = ""
    holder: str = ""
    number: str = ""
    place: str = ""
    note: str = ""
    picture: str = ""
    point: str = ""
