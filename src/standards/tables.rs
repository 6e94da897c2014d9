//! The list of published tables.
//!
//! For: finding a table by name, or by its number.
//! Always: a table is one file of `data/`, named like the table, and is read when it is first asked for. The order is the one
//! in which they are shown. A new edition is a new file beside the old one.
//! Not known here: what a table is used for.

use std::collections::HashMap;
use std::sync::{LazyLock, OnceLock};

use super::table::{Table, read};

/// Name and text of each file.
macro_rules! sources {
    ($($name:literal)*) => {
        static FILES: &[(&str, &str)] = &[$(($name, include_str!(concat!("data/", $name, ".csv")))),*];
    };
}

sources! {
    // Ratings
    "iec_60072_1"
    "nema_mg1_10_32_4"
    // Full-load current, protection
    "nec_430_250"
    "nec_430_248"
    "nec_430_52"
    "nec_240_6"
    "nec_430"
    // Locked rotor
    "nema_mg1_10_37_2"
    "nec_430_7_b"
    "nema_mg1_12_35_1"
    "nema_mg1_12_35_2"
    "nema_mg1_12_35_rules"
    "iec_60034_12_2"
    // Torque
    "nema_mg1_12_38_1"
    "nema_mg1_12_39_1"
    "nema_mg1_12_40_1"
    "nema_mg1_12_38_2"
    "nema_mg10_2_1"
    "iec_60034_12_1"
    // Efficiency
    "iec_60034_30_1"
    "iec_60034_30_1_coefficients"
    "nema_mg1_12_12"
    "nema_mg1_12_11"
    "nema_mg1_12_10"
    "cfr_431_446"
    // Frames
    "nema_mg1_13"
    "nema_mg1_4"
    "en_50347"
    "iec_60072_1_heights"
    // Service factor, altitude, heat, unbalance
    "nema_mg1_12_51"
    "nema_mg1_14_37"
    "ambient_altitude"
    "altitude_bands"
    "iec_60034_1_8"
    "altitude_ambient_rules"
    "nema_mg1_12_43"
    "iec_60034_1_rise"
    "insulation_life"
    "nema_mg1_14_1"
    "nema_mg1_14_36"
    "voltage_frequency_limits"
    // Starting
    "nema_mg10_2_3"
    "nema_mg1_12_54"
    "load_inertia_formulas"
    "starting_duty"
    // Tolerances
    "iec_60034_1_12"
    "nema_mg1_12_58"
}

/// Each table once it has been read.
static TABLES: LazyLock<Vec<OnceLock<Option<Table>>>> =
    LazyLock::new(|| FILES.iter().map(|_| OnceLock::new()).collect());

static BY_NAME: LazyLock<HashMap<&'static str, usize>> =
    LazyLock::new(|| names().enumerate().map(|(number, name)| (name, number)).collect());

/// The names of all tables, in order.
pub fn names() -> impl Iterator<Item = &'static str> {
    FILES.iter().map(|(name, _)| *name)
}

/// The number of the table of this name.
pub fn number_of(name: &str) -> Option<usize> {
    BY_NAME.get(name).copied()
}

/// The table of this number. A file that cannot be read gives nothing; [`check`] tells why.
pub fn at(number: usize) -> Option<&'static Table> {
    let (name, text) = FILES.get(number)?;
    TABLES.get(number)?.get_or_init(|| read(name, text).ok()).as_ref()
}

/// The table of this name.
pub fn find(name: &str) -> Option<&'static Table> {
    at(number_of(name)?)
}

/// All tables, in order.
pub fn all() -> impl Iterator<Item = &'static Table> {
    (0..FILES.len()).filter_map(at)
}

/// What is wrong with the files, for the tests.
pub fn check() -> Vec<String> {
    FILES.iter().filter_map(|(name, text)| read(name, text).err()).collect()
}
