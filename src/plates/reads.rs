//! What a column or a cell can be read as, and the units of plates.
//!
//! Always: one list; the report, the columns of the list and the words of headings use its keys.
//! Not known here: how it is recognised.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

/// How its cells are read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sort {
    /// Words.
    Text,
    /// A number or several.
    Number,
}

macro_rules! reads {
    ($($name:ident = $key:literal, $sort:ident, $unit:ident, $title:literal;)*) => {
        /// What a column or cell is read as.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
        pub enum Reads {
            $(#[doc = $title] $name,)*
        }
        impl Reads {
            /// All of them, in the order of the report.
            pub const ALL: &'static [Reads] = &[$(Reads::$name),*];

            /// The word of the report and of the tables.
            pub fn key(self) -> &'static str {
                match self { $(Reads::$name => $key),* }
            }

            /// Words or numbers.
            pub fn sort(self) -> Sort {
                match self { $(Reads::$name => Sort::$sort),* }
            }

            /// The unit when nothing else is said.
            pub fn usual(self) -> PlateUnit {
                match self { $(Reads::$name => PlateUnit::$unit),* }
            }

            /// In words.
            pub fn title(self) -> &'static str {
                match self { $(Reads::$name => $title),* }
            }
        }
    };
}

reads! {
    Tag = "tag", Text, One, "Tag";
    Item = "item", Text, One, "Item number";
    Description = "description", Text, One, "Driven machine";
    Area = "area", Text, One, "Area";
    RatedPower = "rated_power", Number, Kilowatt, "Rated power";
    Poles = "poles", Number, One, "Poles";
    RatedSpeed = "rated_speed", Number, TurnsPerMinute, "Rated speed";
    Frequency = "frequency", Number, Hertz, "Frequency";
    Voltage = "voltage", Number, Volt, "Rated voltage";
    RatedCurrent = "rated_current", Number, Ampere, "Rated current";
    Efficiency = "efficiency", Number, Percent, "Efficiency";
    PowerFactor = "power_factor", Number, One, "Power factor";
    MeasuredVoltage = "measured_voltage", Number, Volt, "Measured voltage";
    MeasuredCurrent = "measured_current", Number, Ampere, "Measured current";
    MeasuredPower = "measured_power", Number, Kilowatt, "Measured input power";
    MeasuredSpeed = "measured_speed", Number, TurnsPerMinute, "Measured speed";
    HoursPerYear = "hours_per_year", Number, Hour, "Hours a year";
    Quantity = "quantity", Number, One, "Quantity";
    QuantityRunning = "quantity_running", Number, One, "Of these running";
    QuantityStandby = "quantity_standby", Number, One, "Of these standing by";
    Drive = "drive", Text, One, "Starter or drive";
    Remarks = "remarks", Text, One, "Remarks";
    Standby = "standby", Text, One, "Running or standing by";
    Supply = "supply", Number, Volt, "Voltage, phases, frequency";
    ServiceFactor = "service_factor", Number, One, "Service factor";
    NoLoadCurrent = "no_load_current", Number, Ampere, "No-load current";
    LockedRotorCurrent = "locked_rotor_current", Number, One, "Locked-rotor current";
    AbsorbedPower = "absorbed_power", Number, Kilowatt, "Absorbed power";
    ApparentPower = "apparent_power", Number, Kilovoltampere, "Apparent power";
    SynchronousSpeed = "synchronous_speed", Number, TurnsPerMinute, "Synchronous speed";
    DrivenSpeed = "driven_speed", Number, TurnsPerMinute, "Speed of the driven machine";
    Torque = "torque", Number, NewtonMetre, "Torque";
    Load = "load", Number, Percent, "Load";
    Frame = "frame", Text, One, "Frame";
    Enclosure = "enclosure", Text, One, "Enclosure";
    EfficiencyClass = "efficiency_class", Text, One, "Efficiency class";
    Insulation = "insulation", Text, One, "Insulation class";
    Duty = "duty", Text, One, "Duty";
    Mounting = "mounting", Text, One, "Mounting";
    Maker = "maker", Text, One, "Maker";
    Model = "model", Text, One, "Type";
    Serial = "serial", Text, One, "Serial number";
    Connection = "connection", Text, One, "Connection";
    CodeLetter = "code_letter", Text, One, "Code letter";
    Design = "design", Text, One, "Design letter";
    Phases = "phases", Text, One, "Phases";
    Temperature = "temperature", Text, One, "Temperature";
    Weight = "weight", Text, One, "Weight";
    Year = "year", Text, One, "Year";
    Cable = "cable", Text, One, "Cable";
    HoursPerDay = "hours_per_day", Number, Hour, "Hours a day";
    DaysPerYear = "days_per_year", Number, One, "Days a year";
    OutputFrequency = "output_frequency", Number, Hertz, "Output frequency of the drive";
    Nameplate = "nameplate", Text, One, "Nameplate in one cell";
    UnitOfPower = "unit_of_power", Text, One, "Unit of the rating";
    Converter = "converter", Text, One, "Frequency converter";
}

impl Reads {
    /// The reading of the same, of a plate value that is read on site as well.
    pub fn measured_twin(self) -> Option<Reads> {
        match self {
            Reads::RatedCurrent => Some(Reads::MeasuredCurrent),
            Reads::RatedSpeed => Some(Reads::MeasuredSpeed),
            Reads::Voltage => Some(Reads::MeasuredVoltage),
            _ => None,
        }
    }

    /// The entry with this key.
    pub fn find(key: &str) -> Option<Reads> {
        Reads::ALL.iter().copied().find(|reads| reads.key() == key)
    }

    /// Whether it names a machine or says what it is.
    pub fn is_name(self) -> bool {
        use Reads::*;
        matches!(self, Tag | Item | Description | Nameplate | Drive | Frame)
    }

    /// Whether it is read off a running motor, or works with that.
    pub fn is_reading(self) -> bool {
        use Reads::*;
        matches!(
            self,
            MeasuredVoltage | MeasuredCurrent | MeasuredPower | MeasuredSpeed | Load | HoursPerYear
        )
    }

    /// Whether a table without any of these is no table of motors.
    pub fn is_core(self) -> bool {
        use Reads::*;
        matches!(
            self,
            RatedPower
                | Poles
                | RatedSpeed
                | Voltage
                | Supply
                | RatedCurrent
                | MeasuredVoltage
                | MeasuredCurrent
                | MeasuredPower
                | MeasuredSpeed
                | Nameplate
        )
    }
}

/// A unit as it stands on plates and in lists.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum PlateUnit {
    /// 1
    One,
    /// kW
    Kilowatt,
    /// W
    Watt,
    /// hp of 550 ft·lbf/s
    Horsepower,
    /// PS, CV: 75 kgf·m/s
    MetricHorsepower,
    /// kVA
    Kilovoltampere,
    /// V
    Volt,
    /// kV
    Kilovolt,
    /// A
    Ampere,
    /// r/min
    TurnsPerMinute,
    /// Hz
    Hertz,
    /// %
    Percent,
    /// h
    Hour,
    /// N·m
    NewtonMetre,
    /// kg
    Kilogram,
}

impl PlateUnit {
    /// All of them.
    pub const ALL: [PlateUnit; 15] = [
        PlateUnit::One,
        PlateUnit::Kilowatt,
        PlateUnit::Watt,
        PlateUnit::Horsepower,
        PlateUnit::MetricHorsepower,
        PlateUnit::Kilovoltampere,
        PlateUnit::Volt,
        PlateUnit::Kilovolt,
        PlateUnit::Ampere,
        PlateUnit::TurnsPerMinute,
        PlateUnit::Hertz,
        PlateUnit::Percent,
        PlateUnit::Hour,
        PlateUnit::NewtonMetre,
        PlateUnit::Kilogram,
    ];

    /// As the language writes it.
    pub fn text(self) -> &'static str {
        match self {
            PlateUnit::One => "1",
            PlateUnit::Kilowatt => "kW",
            PlateUnit::Watt => "W",
            PlateUnit::Horsepower => "hp",
            PlateUnit::MetricHorsepower => "PS",
            PlateUnit::Kilovoltampere => "kVA",
            PlateUnit::Volt => "V",
            PlateUnit::Kilovolt => "kV",
            PlateUnit::Ampere => "A",
            PlateUnit::TurnsPerMinute => "r/min",
            PlateUnit::Hertz => "Hz",
            PlateUnit::Percent => "%",
            PlateUnit::Hour => "h",
            PlateUnit::NewtonMetre => "N·m",
            PlateUnit::Kilogram => "kg",
        }
    }

    /// Kilowatts in one, for units of power. hp = 550 ft·lbf/s and PS = 75 kgf·m/s, both exact by definition, here to nine digits:
    /// good for plausibility; values of the list are converted by the units of the language.
    pub fn kilowatts(self) -> Option<f64> {
        match self {
            PlateUnit::Kilowatt => Some(1.0),
            PlateUnit::Watt => Some(0.001),
            PlateUnit::Horsepower => Some(0.745_699_872),
            PlateUnit::MetricHorsepower => Some(0.735_498_75),
            _ => None,
        }
    }

    /// Whether a column of `reads` may be in it.
    pub fn fits(self, reads: Reads) -> bool {
        match reads.usual() {
            PlateUnit::Kilowatt => self.kilowatts().is_some(),
            PlateUnit::Volt => matches!(self, PlateUnit::Volt | PlateUnit::Kilovolt),
            PlateUnit::One => {
                matches!(self, PlateUnit::One | PlateUnit::Percent)
                    || reads == Reads::LockedRotorCurrent && self == PlateUnit::Ampere
            }
            PlateUnit::Percent => matches!(self, PlateUnit::One | PlateUnit::Percent),
            usual => usual == self,
        }
    }
}

/// As a float, for plausibility.
pub fn float(value: Decimal) -> f64 {
    value.to_f64().unwrap_or(0.0)
}
