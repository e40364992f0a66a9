"""What an assessment is made of: frozen records of results, each number by its id in the trace. Light: no numpy."""

from dataclasses import dataclass
from enum import StrEnum

from hazardreport.case.circumstances import FindingAnswer
from hazardreport.case.reading import SwitchPosition
from hazardreport.case.unit_state import UnitState
from hazardreport.quantity.trace import Number, Source, Trace
from hazardreport.quantity.typed import Bound
from hazardreport.risk.protection_class import ClassReasoning
from hazardreport.risk.records import Factor, HazardPriority, ProductRisk, RiskLevel, ScenarioResult
from hazardreport.severity.terms import BodyPath, ContactArea, LimitDecision, Operation, SignalWord, Skin, Zone


class Basis(StrEnum):
    """How a cell of the states table is known.

    MEASURED          a loaded reading was taken in this state
    VOLTAGE_MEASURED  the open-circuit voltage was read there, meter proved; the current follows from other readings
    PREDICTED         both follow from readings in other states
    """

    MEASURED = "measured"
    VOLTAGE_MEASURED = "voltage measured, current predicted"
    PREDICTED = "predicted"
    NOT_DETERMINED = "not determined"


@dataclass(frozen=True, kw_only=True, slots=True)
class Problem:
    """Something about the case that a person should mend or know.

    key     in the wording: "problems.<key>.what" and ".remedy"
    fields  of that wording, as (name, text) pairs
    kind    "reading", "wiring", "picture", "unit", "instrument", "household", "case", "scenario", "exposure";
            id: of the record, or field name
    gentle  good to know; nothing is wrong
    """

    key: str
    kind: str
    id: str = ""
    fields: tuple[tuple[str, str], ...] = ()
    gentle: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class ReadNumber:
    """A reading turned into a number with doubt.

    reading  id of the reading
    number   id in the trace, or "" if refused
    bound    value, or a bound that stays a bound
    used     enters the calculation; if not, `problems` of the assessment say why
    """

    reading: str
    number: str = ""
    bound: Bound = Bound.NONE
    used: bool = False


class RouteKind(StrEnum):
    """Ways to the source at the touchable part."""

    TWO_LOADS = "two loads"
    LOAD_CURRENT = "load current"
    OHMMETER = "ohmmeter from the pins"
    LAMP = "lamp brightness"


@dataclass(frozen=True, kw_only=True, slots=True)
class SourceRoute:
    """The source at the touchable part by one route, for one state.

    readings   ids of the readings it rests on
    open_circuit_voltage, source_impedance, available_fault_current
               ids in the trace; "" where this route gives only a bound
    resolved   False where the doubt drowns the difference: one-sided 95 % bounds then stand in `low` and `high`
    capacitive the source taken as a capacitance, where the readings leave open which it is
    """

    kind: RouteKind
    state: UnitState
    readings: tuple[str, ...]
    open_circuit_voltage: str = ""
    source_impedance: str = ""
    available_fault_current: str = ""
    resolved: bool = True
    capacitive: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class StateCell:
    """One cell of the states table: U0, Isc and the median adult's current, by id.

    established  a loaded reading, a current, a lit lamp or finite ohmmeter readings fix this state
    plausible    the plug and the switch allow it (a one-way plug is not reversed)
    """

    state: UnitState
    basis: Basis
    established: bool = False
    plausible: bool = True
    open_circuit_voltage: str = ""
    source_impedance: str = ""
    available_fault_current: str = ""
    body_current: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Exposure:
    """A person touching the part in one state.

    percentile           5, 50 or 95: share of people whose impedance is not above it
    duration             id [s]: of the device if one operates, else 10 s
    body_current, body_voltage, touch_voltage, heart_current, body_impedance   ids in the trace
    zone                 at `heart_current` and `duration`; zone_long: at 10 s
    area                 of contact; anything but the large one is approximate and decides nothing
    series_resistance    id: floor, footwear or glove; "" where none is counted
    own                  id of the case's own exposure, "" for a usual one
    sources              of tables behind this exposure, with status
    """

    state: UnitState
    skin: Skin
    percentile: int
    path: BodyPath
    body_impedance: str
    body_voltage: str
    touch_voltage: str
    body_current: str
    heart_current: str
    duration: str
    zone: Zone
    zone_long: Zone
    plausible: bool = False
    area: ContactArea = ContactArea.LARGE
    series_resistance: str = ""
    own: str = ""
    sources: tuple[Source, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class DeviceVerdict:
    """What a protective device does in one state.

    device   name for people; current: id of the current it sees; time: id of the longest time, or ""
    for_person   the current is a person's; else the fault current with the protective earth connected
    in_time      with the protective earth connected: disconnects within the time that the installation standard allows;
                 None where that is not determined, or not asked
    """

    device: str
    state: UnitState
    for_person: bool
    current: str
    operation: Operation
    time: str = ""
    in_time: bool | None = None
    sources: tuple[Source, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class AsBuilt:
    """The same unit with its protective earth connected.

    touch_voltage           id: to metal bonded to the same earth; touch_voltage_true_earth: to true earth
    earth_current           id: in the protective conductor
    time_limit              id: longest disconnection time by the nominal voltage; "" where none is required
    devices                 what each device would have done
    """

    state: UnitState
    touch_voltage: str
    touch_voltage_true_earth: str
    earth_current: str
    time_limit: str = ""
    devices: tuple[DeviceVerdict, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class Otherwise:
    """The same unit in the headline state, one thing built or plugged in otherwise.

    key       "double_pole_switch", "other_plug_position"; text: the sentence for people
    voltage, current   ids: voltage on the part to earth, and the current of a median adult; current "" if there is none
    """

    key: str
    text: str
    state: UnitState
    voltage: str
    current: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class LimitComparison:
    """A number against a limit.

    state          of the unit that the number belongs to; None where it belongs to the unit itself
    number, limit  ids in the trace; probability: that the limit is exceeded, 0…1
    """

    name: str
    number: str
    limit: str
    probability: float
    decision: LimitDecision
    state: UnitState | None = None
    sources: tuple[Source, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class NextTest:
    """The one test that would settle what is open.

    key          of the test in tests.toml; live: needs the competence statement
    shown        False for a live test without that statement: name and instruction are then only a request to ask
    name, instruction   as they may be shown; cautions: keys in cautions.toml that stand before the instruction
    """

    key: str
    live: bool
    shown: bool
    name: str
    instruction: str
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class Verdict:
    """The verdict so far.

    word      signal word
    sentence  one sentence for a tired officer
    reason    what drove the word: exposure or bound, for people
    figures   ids of the three numbers shown beside it: volts on the part, available current, median adult's current
    headline  the state it speaks of
    """

    word: SignalWord
    sentence: str
    reason: str
    figures: tuple[str, ...] = ()
    headline: UnitState | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class Parameter:
    """A fitted parameter of the network: id in the trace, or undetermined with its physical range.

    from_table  what is known of it without any reading; the readings add nothing to that
    """

    symbol: str
    number: str
    determined: bool
    from_table: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class Residual:
    """How well one reading agrees with the fitted network: (reading - predicted) over its standard deviation."""

    reading: str
    predicted: str
    standardized: float


@dataclass(frozen=True, kw_only=True, slots=True)
class Fit:
    """The network fitted to all value readings.

    explanation  that stands: "resistive_fault", or "capacitive_leakage" where the readings contradict the former
    chi_square, degrees_of_freedom  agreement; consistent: below the 95 % point (None with no degree of freedom)
    bounds       ids of the readings that hold the fit as bounds
    left_out     ids of the readings that do not fit and were left out; `problems` of the assessment say why
    """

    parameters: tuple[Parameter, ...]
    residuals: tuple[Residual, ...]
    chi_square: float
    degrees_of_freedom: int
    consistent: bool | None
    explanation: str = "resistive_fault"
    bounds: tuple[str, ...] = ()
    left_out: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class ArtefactArgument:
    """One reason why the finding is, or is not, a meter artefact; supports is None where it does not decide."""

    text: str
    supports: bool | None
    readings: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class Rival:
    """One explanation of the readings, fitted to them like the others.

    key          "resistive_fault", "capacitive_leakage", "open_element", "reversed_plug", "earth_missing",
                 "lost_neutral", "further_element"; name: for people
    text         what it assumes and how it stands, for people
    chi_square, degrees_of_freedom   agreement
    probability  of a chi-square at least as great if the explanation were true; None without a degree of freedom
    score        chi-square and two for each free parameter: lower explains better; difference: above the best one's
    explains     agrees at 5 %; None where nothing is left over to disagree
    against      ids of the readings that speak against it, the strongest first
    """

    key: str
    name: str
    text: str
    chi_square: float
    degrees_of_freedom: int
    probability: float | None
    score: float
    difference: float
    explains: bool | None
    against: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class ParameterProfile:
    """Interval of one fitted parameter by the sum of squares with all others refitted.

    low, high            ids in the trace; "" where the readings set no end on that side
    """

    symbol: str
    number: str
    low: str
    high: str


@dataclass(frozen=True, kw_only=True, slots=True)
class PopulationResult:
    """Shares of adults in one exposure, over the population and the measurement together.

    above_perception, above_let_go, above_c1, above_c2   ids in the trace [1]
    sentence    "about n in 10 adults …"
    trials, tolerance, seed   of the trials; trials 0 where the shares are exact
    plausible   a recorded circumstance lets this exposure in
    """

    state: UnitState
    skin: Skin
    path: BodyPath
    duration: str
    above_perception: str
    above_let_go: str
    above_c1: str
    above_c2: str
    sentence: str
    trials: int
    tolerance: float
    seed: int
    plausible: bool
    sources: tuple[Source, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class LeastCurrent:
    """Lower bound of a median adult's current in a state whose source the readings do not fix.

    number   id in the trace; reading: id of the one that shows it
    """

    state: UnitState
    path: BodyPath
    number: str
    reading: str


@dataclass(frozen=True, kw_only=True, slots=True)
class PartSource:
    """The source that a second touchable part gives: to earth, or between the two parts.

    name          of the two points, for people
    between       between the two parts, hand to hand; else the second part to earth, hand to both feet
    voltage, impedance, current   ids: U0, Zs, Isc
    body_current  id: of a median adult, dry
    established   a loaded reading at the second part in this state, or finite resistances from it, fix this
    plausible     people meet this state
    """

    name: str
    between: bool
    state: UnitState
    voltage: str
    impedance: str
    current: str
    body_current: str
    established: bool
    plausible: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class PinCharge:
    """What stays between the pins after unplugging.

    switch              position: closed, the element empties the capacitor at once
    voltage_rated       id: 1 s after unplugging at the crest of the rated voltage; voltage_measured: of the one read
    charge, energy      ids, at the crest of the measured voltage
    time_to_safe        id: until the limit, from the crest of the measured voltage
    comparison          with the product limit; None where no limit applies
    """

    switch: SwitchPosition
    voltage_rated: str
    voltage_measured: str
    charge: str
    energy: str
    time_to_safe: str
    comparison: LimitComparison | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class RequirementState:
    """How one construction requirement stands.

    key           in resources/requirements; name: for people
    answer        as in the case; None while it is open
    applies       to the unit's class, where one is evident, and to a territory of the case; an answer is kept anyway
    supported     an answer that a picture or reading of the case shows, or that a note explains
    shown         a picture or reading of the case shows it
    missing       ids that the answer names and the case does not have
    comparison    of the reading that decides with its limit; None where the eye decides or no such reading was made
    measured      the comparison decides
    speaks        "for" or "against" safety, "" if neither or undecided; a measured decision goes before the eye
    contradicted  the answer by eye says otherwise than the measured decision
    sentence      for people; "appears" unless measured
    """

    key: str
    name: str
    answer: FindingAnswer | None = None
    applies: bool = True
    supported: bool = False
    shown: bool = False
    missing: tuple[str, ...] = ()
    comparison: LimitComparison | None = None
    measured: bool = False
    speaks: str = ""
    contradicted: bool = False
    sentence: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Settled:
    """The part of an assessment that takes longer than a keystroke.

    rivals      explanations of the readings, the best first
    profiles    of parameters at the edge of their physical range
    population  shares of adults, by exposure
    """

    rivals: tuple[Rival, ...] = ()
    profiles: tuple[ParameterProfile, ...] = ()
    population: tuple[PopulationResult, ...] = ()


class ShareRelation(StrEnum):
    """Where the assessor's probability lies against a computed share."""

    WITHIN = "within the tolerance"
    ABOVE = "above"
    BELOW = "below"


@dataclass(frozen=True, kw_only=True, slots=True)
class ComparedShare:
    """A computed share of adults beside the assessor's probability.

    threshold  "let_go", "c1", "c2"; number: id of the share in the trace
    """

    threshold: str
    number: str
    relation: ShareRelation


@dataclass(frozen=True, kw_only=True, slots=True)
class Support:
    """Computed shares of adults, offered beside a step that is marked as calculated; they never replace its number.

    scenario, step   id, and number of the step from 1
    state, skin, path   of the contact that was computed
    shares           above let-go, c1 and c2; tolerance: within which the assessor's number agrees [1]
    outside          the assessor's number is within the tolerance of none of them
    sentence         for people; the last one of a step says what such shares are not; sources: of the shares
    """

    scenario: str
    step: int
    state: UnitState
    skin: Skin
    path: BodyPath
    shares: tuple[ComparedShare, ...]
    tolerance: float
    outside: bool
    sentence: str
    sources: tuple[Source, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class Risk:
    """How somebody may come to harm, by the assessor's scenarios.

    scenarios  in the order of the case; product: the one risk of them all
    priority   US hazard priority; factors: what 16 CFR 1115 weighs, answered or open
    sources    of the tables that were used
    supports   settled part only: computed shares beside steps marked as calculated
    """

    scenarios: tuple[ScenarioResult, ...] = ()
    product: ProductRisk = ProductRisk()
    priority: HazardPriority = HazardPriority()
    factors: tuple[Factor, ...] = ()
    sources: tuple[Source, ...] = ()
    supports: tuple[Support, ...] = ()

    @property
    def level(self) -> RiskLevel | None:
        """Of the product."""
        return self.product.level

    @property
    def leading(self) -> tuple[str, ...]:
        """Ids of the scenarios that set the level of the product."""
        return self.product.leading

    def scenario(self, id: str) -> ScenarioResult | None:
        """The result of one scenario."""
        return next((result for result in self.scenarios if result.scenario == id), None)

    def support(self, id: str) -> tuple[Support, ...]:
        """What is offered beside the steps of one scenario."""
        return tuple(support for support in self.supports if support.scenario == id)


@dataclass(frozen=True, kw_only=True, slots=True)
class ConfirmedTable:
    """A table whose digits somebody read in the document, and that counts.

    confirmation   id of the case's record
    key, table     of the document, and the table in it
    edition, page  as the reader states them; reader, day, second_reader, second_day: who, when
    agreeing       cells that agree, of the `cells` that the table prints
    """

    confirmation: str
    key: str
    table: str
    edition: str
    page: str
    reader: str
    day: str
    second_reader: str
    second_day: str
    agreeing: int
    cells: int


@dataclass(frozen=True, kw_only=True, slots=True)
class Assessment:
    """All results for one case; never saved as truth, always computed again.

    trace     every number; editions: tables used, as (key, table, edition, status, sha256)
    choices   keys of the choices that were made ("choices.<key>" in the wording)
    pins      what stays between the pins after unplugging
    otherwise the headline state with one thing built or plugged in otherwise
    no_further_test  key of tests.no_further that says why no test comes next, "" where one does
    least     what a lit lamp or one loaded reading proves of states that are else open
    second_part  what a second touchable part gives, if the unit has one
    confirmed tables that readers confirmed
    settled   None in the live part, which a keystroke asks for
    risk      by the assessor's scenarios; its supports come with the settled part
    would_measure  sentence: the loaded reading that would make the verdict's current measured; "" where it is, where
                   none is to be taken, or where nobody competent is named
    """

    case_id: str
    trace: Trace
    readings: tuple[ReadNumber, ...]
    routes: tuple[SourceRoute, ...]
    fit: Fit | None
    states: tuple[StateCell, ...]
    exposures: tuple[Exposure, ...]
    devices: tuple[DeviceVerdict, ...]
    as_built: tuple[AsBuilt, ...]
    limits: tuple[LimitComparison, ...]
    artefact: tuple[ArtefactArgument, ...]
    verdict: Verdict
    next_test: NextTest | None
    problems: tuple[Problem, ...]
    editions: tuple[tuple[str, str, str, str, str], ...] = ()
    choices: tuple[str, ...] = ()
    pins: tuple[PinCharge, ...] = ()
    second_part: tuple[PartSource, ...] = ()
    least: tuple[LeastCurrent, ...] = ()
    no_further_test: str = ""
    otherwise: tuple[Otherwise, ...] = ()
    requirements: tuple[RequirementState, ...] = ()
    protection_class: ClassReasoning = ClassReasoning()
    settled: Settled | None = None
    confirmed: tuple[ConfirmedTable, ...] = ()
    risk: Risk = Risk()
    would_measure: str = ""

    def number(self, id: str) -> Number:
        """A number by its id."""
        return self.trace[id]

    def cell(self, state: UnitState) -> StateCell | None:
        """The cell of one state."""
        return next((cell for cell in self.states if cell.state == state), None)
