"""Which unit it is: rating plate, maker and sellers, purchase."""

from dataclasses import dataclass

from hazardreport.case.stated import Stated


@dataclass(frozen=True, kw_only=True, slots=True)
class Unit:
    """Identity of the unit; every field is `Stated`.

    product_name        what it is, in plain words
    category            kind of consumer product
    brand, model        as on the plate
    serial, batch       as on the plate
    date_code           as stamped; date_code_meaning: how it is read
    barcode             GTIN-8, -12, -13 or -14, digits only
    rated_voltage, rated_frequency, rated_power   as on the plate, with unit
    protection_class    0, I, II or III, as marked
    marks               marks of conformity with holder and file number, as text
    maker, maker_address, maker_contact
    importer, importer_address
    country             of origin
    seller, seller_address, marketplace, listing    listing: address of the offer, with the day it was seen
    purchased, price    day and price
    still_on_sale       seen where and when
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
