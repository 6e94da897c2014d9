//! One heading: what its column holds, in which unit, under which condition.
//!
//! For: the words of a heading, of the lines above it and of the unit row, put together to one meaning with a reason.
//! Always: a longer phrase beats a shorter one; a word that only qualifies (measured, rated, former, phase) never makes a column by
//! itself. A weak sign, such as a lone `P`, is said to be weak.
//! Not known here: rows, values.

use rust_decimal::Decimal;

use super::cell;
use super::own::Own;
use super::reads::{PlateUnit, Reads};
use super::words::{self, Words};
use crate::quantity::{Unit, convert};

/// What a heading says.
#[derive(Clone, Debug, Default)]
pub struct Heading {
    /// What the column is read as.
    pub reads: Option<Reads>,
    /// A second quantity in the same column (`PF / Eff`).
    pub second: Option<Reads>,
    /// Units named, in order.
    pub units: Vec<PlateUnit>,
    /// A unit that no plate has (`rev/s`, `MW`) but that converts to the one its quantity is kept in.
    pub foreign: Option<Unit>,
    /// Pole pairs, where poles are meant to be read.
    pub pairs: bool,
    /// A voltage named (`230 V` over a column of currents).
    pub at_voltage: Option<Decimal>,
    /// A frequency named (`kW 50 Hz`): that of the plate values under it.
    pub at_hertz: Option<Decimal>,
    /// One of three phases.
    pub phase: bool,
    /// Values of an earlier time.
    pub former: bool,
    /// Said to be measured.
    pub measured: bool,
    /// Said to be of the plate.
    pub rated: bool,
    /// From 0 to 1.
    pub confidence: f32,
    /// Why, in words.
    pub reason: String,
    /// The words' languages.
    pub language: Option<&'static str>,
    /// How many words were understood, and how many there are.
    pub understood: (usize, usize),
    /// Said by the user: not to be changed by what other columns hold.
    pub settled: bool,
    /// Said by the user: whole nameplates stand in its cells beside that.
    pub plates: bool,
}

/// Lone letters and what they usually stand for.
const SYMBOLS: &[(&str, &str)] = &[
    ("p", "power"),
    ("u", "voltage"),
    ("v", "voltage"),
    ("i", "current"),
    ("n", "speed"),
    ("f", "frequency"),
    ("eta", "efficiency"),
    ("pn", "power"),
    ("un", "voltage"),
    ("in", "current"),
    ("nn", "speed"),
    ("inom", "current"),
];

/// What the user says of the column with this heading.
pub fn as_said(text: &str, which: usize, own: &Own) -> Option<Heading> {
    let said = own.said(text, which)?;
    let count = words::words(text).len().max(1);
    Some(Heading {
        reads: said.reads,
        second: said.and.filter(|and| *and != Reads::Nameplate),
        plates: said.and == Some(Reads::Nameplate),
        units: said.unit.into_iter().collect(),
        pairs: said.pairs,
        confidence: 1.0,
        reason: "as the column map says".to_owned(),
        understood: (count, count),
        settled: true,
        ..Heading::default()
    })
}

/// Reads a heading (its lines joined by a line end).
pub fn read(text: &str, of: &Words) -> Heading {
    let mut heading = Heading::default();
    let without = hertz_in(text);
    let text = match &without {
        Some((hertz, rest)) => {
            heading.at_hertz = Some(*hertz);
            heading.understood = (1, 1);
            rest.as_str()
        }
        None => text,
    };
    let without = volts_in(text);
    let text = match &without {
        Some((volts, rest)) => {
            heading.at_voltage = Some(*volts);
            heading.understood.0 += 1;
            heading.understood.1 += 1;
            rest.as_str()
        }
        None => text,
    };
    let mut said: Vec<(&'static str, usize)> = Vec::new();
    let mut weak = None;
    let mut foreign = Vec::new();
    for line in pieces(text, of, &mut heading, &mut foreign) {
        let all = words::words(&line);
        heading.understood.1 += all.len();
        let mut at = 0;
        while let Some(rest) = all.get(at..).filter(|rest| !rest.is_empty()) {
            if let Some(phrase) = of.headings().longest_at(rest) {
                said.push((phrase.says, phrase.words));
                // Words that are the same in several languages do not tell the language.
                if phrase.words > 1 || rest.first().is_some_and(|word| word.len() > 4) {
                    heading.language = Some(phrase.language);
                }
                heading.understood.0 += phrase.words;
                at += phrase.words.max(1);
                continue;
            }
            if let Some(word) = rest.first() {
                if let Some((_, says)) = SYMBOLS.iter().find(|(symbol, _)| symbol == word) {
                    weak = weak.or(Some(*says));
                    heading.understood.0 += 1;
                } else {
                    let units = cell::units_only(word);
                    if !units.is_empty() {
                        heading.understood.0 += 1;
                        heading.units.extend(units);
                    }
                }
            }
            at += 1;
        }
    }
    // As they stand, whether in brackets or not: of `kW (HP)` the first is kW.
    let lower = text.to_lowercase();
    heading
        .units
        .sort_by_key(|unit| lower.find(&unit.text().to_lowercase()).unwrap_or(usize::MAX));
    settle(&mut heading, &said, weak);
    foreign_unit(&mut heading, &foreign);
    heading
}

/// The voltage a heading names behind `@` or `at` (`FLC @415V`), and what is left of it.
fn volts_in(text: &str) -> Option<(Decimal, String)> {
    let lower = text.to_ascii_lowercase();
    let (start, sign) = ["@", " at ", " bei "]
        .into_iter()
        .find_map(|sign| Some((lower.rfind(sign)?, sign)))?;
    let (volts, hertz) = cell::supply_in(text.get(start + sign.len()..)?);
    let [volts] = volts.as_slice() else { return None };
    let rest = text.get(..start)?.trim_end();
    let alone = words::words(text.get(start + sign.len()..)?).len() <= 2;
    (alone && hertz.is_empty() && rest.chars().any(char::is_alphabetic)).then(|| (*volts, rest.to_owned()))
}

/// The frequency a heading names beside something else (`kW 50 Hz`, `Speed (at 60 Hz)`), and what is left of it.
fn hertz_in(text: &str) -> Option<(Decimal, String)> {
    let lower = text.to_ascii_lowercase();
    let end = lower.find("hz")?;
    // A second one makes it a pair or a heading of a frequency.
    if lower.matches("hz").count() > 1 {
        return None;
    }
    let before = lower.get(..end)?.trim_end();
    let hertz = match before {
        _ if before.ends_with("50") => 50,
        _ if before.ends_with("60") => 60,
        _ => return None,
    };
    let start = before.len() - 2;
    let lead = lower.get(..start)?;
    if lead.ends_with(|sign: char| sign.is_ascii_digit() || matches!(sign, '/' | '-' | ',' | '.')) {
        return None;
    }
    let lead = lead.trim_end_matches(['@', ' ', '(', '[', '\u{a0}']);
    let lead = ["at", "bei", "à", "a"]
        .into_iter()
        .find_map(|word| lead.strip_suffix(word).filter(|rest| rest.ends_with([' ', '(', '['])))
        .map_or(lead, |rest| rest.trim_end_matches([' ', '(', '[']));
    let tail = text.get(end + 2..)?.trim_start_matches([' ', ')', ']']);
    let mut rest = text.get(..lead.len())?.to_owned();
    if !tail.is_empty() {
        rest.push_str(if tail.starts_with('\n') { "" } else { " " });
        rest.push_str(tail);
    }
    rest.chars()
        .any(char::is_alphabetic)
        .then(|| (Decimal::from(hertz), rest))
}

/// Cuts a heading into its texts, taking out units in brackets and lines, and voltages.
fn pieces<'t>(text: &'t str, of: &Words, heading: &mut Heading, foreign: &mut Vec<&'t str>) -> Vec<String> {
    let mut lines = Vec::new();
    for line in text.lines() {
        let mut plain = String::new();
        let mut rest = line;
        while let Some(open) = rest.find(['[', '(']) {
            let close = rest
                .get(open..)
                .and_then(|tail| tail.find([']', ')']))
                .map(|place| open + place);
            let Some(close) = close else { break };
            plain.push_str(rest.get(..open).unwrap_or(""));
            let inside = rest.get(open + 1..close).unwrap_or("");
            let units = cell::units_only(inside);
            if units.is_empty() {
                foreign.push(inside.trim());
                if !voltage_in(inside, heading) {
                    plain.push(' ');
                    plain.push_str(inside);
                }
            } else {
                heading.understood.0 += 1;
                heading.understood.1 += 1;
                heading.units.extend(units);
            }
            plain.push(' ');
            rest = rest.get(close + 1..).unwrap_or("");
        }
        plain.push_str(rest);
        // `Power MW`, `Speed, rev/s`: the last word, and a line that is one word.
        foreign.extend(rest.rsplit([' ', ',', ':']).next().map(str::trim));
        // `Volts / Amps` are two quantities, not volts in amperes and no unit.
        let meant = |text: &str| {
            let all = words::words(text);
            let phrase = of.headings().longest_at(&all)?;
            (phrase.words == all.len() && is_numeric(phrase.says)).then_some(phrase.says)
        };
        if let Some((before, after)) = plain.split_once(['/', '&', '|'])
            && let (Some(first), Some(last)) = (meant(before), meant(after))
            && first != last
        {
            lines.push(plain);
            continue;
        }
        let whole = cell::units_only(&plain);
        if !whole.is_empty() {
            heading.understood.0 += 1;
            heading.understood.1 += 1;
            heading.units.extend(whole);
            continue;
        }
        if voltage_in(&plain, heading) {
            continue;
        }
        // `Rating - kW/HP`, `Speed, r/min`: a unit after the last sign.
        if let Some((before, after)) = plain.rsplit_once([',', '-', ':', '/', '–'])
            && !cell::units_only(after).is_empty()
        {
            let (before, after) = match plain.split_once([',', ':', '–']).or_else(|| plain.split_once(" - ")) {
                Some((first, last)) if !cell::units_only(last).is_empty() => (first, last),
                _ => (before, after),
            };
            // `Hrs/yr` and `V/Ph/Hz` are phrases; only take the unit off where the rest still says something.
            let as_phrase = words::words(&plain);
            if of
                .headings()
                .longest_at(&as_phrase)
                .is_none_or(|phrase| phrase.words < as_phrase.len())
                && words::words(before).iter().any(|word| word.len() > 1)
            {
                heading.understood.0 += 1;
                heading.understood.1 += 1;
                heading.units.extend(cell::units_only(after));
                lines.push(before.to_owned());
                continue;
            }
        }
        lines.push(plain);
    }
    lines
}

/// Takes a text that is a voltage (`230 V`) as the condition of the column.
fn voltage_in(text: &str, heading: &mut Heading) -> bool {
    let text = text.trim().trim_start_matches(['@']).trim_start_matches("at ").trim();
    let (volts, hertz) = cell::supply_in(text);
    if volts.len() == 1 && hertz.is_empty() && words::words(text).len() <= 2 {
        heading.at_voltage = volts.first().copied();
        heading.understood.0 += 1;
        heading.understood.1 += 1;
        return true;
    }
    false
}

fn settle(heading: &mut Heading, said: &[(&'static str, usize)], weak: Option<&'static str>) {
    let mut base: Option<&'static str> = None;
    let mut second = None;
    let mut input = false;
    for (says, _) in said {
        match *says {
            "measured" => heading.measured = true,
            "rated" => heading.rated = true,
            "former" => heading.former = true,
            "phase" => heading.phase = true,
            "input" => input = true,
            "pole_pairs" => {
                heading.pairs = true;
                base = Some("poles");
            }
            "plate_current" => {
                heading.rated = true;
                base = Some("current");
            }
            other => match base {
                None => base = Some(other),
                // `Rating kVA` stands over transformers and sets: no rating of a motor.
                Some("power") if other == "apparent_power" && heading.units.is_empty() => base = Some(other),
                // `Measured voltage` under `Motor`, `Motor power`: the more telling one stays.
                Some(known) => {
                    if known == "nameplate" || is_numeric(other) && !is_numeric(known) {
                        base = Some(other);
                    } else if is_numeric(other) && other != known && second.is_none() {
                        second = Some(other);
                    }
                }
            },
        }
    }
    let mut confidence: f32 = 0.95;
    let mut reason = match base {
        Some(_) => "by the words of the heading".to_owned(),
        None => String::new(),
    };
    if base.is_none() && input {
        base = Some("power");
        reason = "by the words of the heading".to_owned();
    }
    // `Motor` over a unit is the quantity of that unit.
    if base == Some("nameplate") && heading.units.first().is_some_and(|unit| of_unit(*unit).is_some()) {
        base = None;
    }
    if base.is_none()
        && let Some(unit) = heading.units.first()
    {
        base = of_unit(*unit);
        confidence = 0.85;
        reason = format!("by the unit {}", unit.text());
    }
    if base.is_none()
        && let Some(symbol) = weak
    {
        base = Some(symbol);
        confidence = 0.5;
        reason = "by a lone letter".to_owned();
    }
    if base.is_none() && heading.phase && heading.measured {
        base = Some("current");
        confidence = 0.6;
        reason = "one of three phases".to_owned();
    }
    let Some(base) = base else { return };
    let measured = heading.measured && !heading.rated;
    let rated = heading.rated;
    let phase = heading.phase;
    let reads = match base {
        "power" if input || measured => Some(Reads::MeasuredPower),
        "power" => Some(Reads::RatedPower),
        "speed" if measured => Some(Reads::MeasuredSpeed),
        "speed" => Some(Reads::RatedSpeed),
        // Plates give one voltage and one current; three phases are a reading.
        "voltage" | "current" if phase && !rated && !measured => {
            confidence = 0.8;
            reason = "one of three phases".to_owned();
            Some(if base == "voltage" {
                Reads::MeasuredVoltage
            } else {
                Reads::MeasuredCurrent
            })
        }
        "voltage" if measured => Some(Reads::MeasuredVoltage),
        "voltage" => Some(Reads::Voltage),
        "current" if measured => Some(Reads::MeasuredCurrent),
        "current" => Some(Reads::RatedCurrent),
        // A measured frequency is the one a drive gave at the time.
        "frequency" if measured => Some(Reads::OutputFrequency),
        // A measured power factor or efficiency is not the plate's.
        "power_factor" | "efficiency" if measured => None,
        "supply" if measured => None,
        other => Reads::find(other),
    };
    if input && !measured && reads == Some(Reads::MeasuredPower) {
        // A calculated one stands under the same words.
        confidence = 0.6;
        reason = "by the words of the heading, which do not say that it was measured".to_owned();
    }
    // kVA is no rating of a motor: `Rating kVA` stands over transformers and sets.
    let reads = match reads {
        Some(Reads::RatedPower | Reads::MeasuredPower) if heading.units.first() == Some(&PlateUnit::Kilovoltampere) => {
            reason = "by the unit kVA".to_owned();
            Some(Reads::ApparentPower)
        }
        reads => reads,
    };
    // The unit contradicts the words: `Unit` over names, `Load` over kW.
    if let (Some(found), Some(unit)) = (reads, heading.units.first())
        && found.sort() == super::reads::Sort::Number
        && found != Reads::Supply
        && !heading.units.iter().any(|unit| unit.fits(found))
    {
        let by_unit = of_unit(*unit);
        if base == "load"
            && let Some(by_unit) = by_unit
        {
            heading.reads = match by_unit {
                "power" => Some(Reads::MeasuredPower),
                "current" => Some(Reads::MeasuredCurrent),
                _ => Some(found),
            };
            heading.confidence = 0.6;
            heading.reason = format!("by the unit {} under load", unit.text());
            return;
        }
        confidence = 0.6;
        reason = format!("{reason}, though the unit {} does not fit", unit.text());
        heading.units.clear();
    }
    heading.reads = reads;
    heading.second = second
        .and_then(|second| match second {
            "power" => Some(Reads::RatedPower),
            "speed" => Some(if measured {
                Reads::MeasuredSpeed
            } else {
                Reads::RatedSpeed
            }),
            "voltage" => Some(if measured {
                Reads::MeasuredVoltage
            } else {
                Reads::Voltage
            }),
            "current" => Some(if measured {
                Reads::MeasuredCurrent
            } else {
                Reads::RatedCurrent
            }),
            other => Reads::find(other),
        })
        .filter(|second| reads.is_some_and(|first| may_share(first, *second)));
    if heading.former {
        confidence -= 0.4;
    }
    heading.confidence = confidence;
    heading.reason = reason;
}

/// Takes a unit that no plate has but that the quantity of the column converts from. A written unit that does not fit is said.
fn foreign_unit(heading: &mut Heading, written: &[&str]) {
    let Some(reads) = heading.reads.filter(|_| heading.units.is_empty()) else {
        return;
    };
    let usual = reads.usual();
    if !matches!(
        usual,
        PlateUnit::Kilowatt
            | PlateUnit::Kilovoltampere
            | PlateUnit::Volt
            | PlateUnit::Ampere
            | PlateUnit::TurnsPerMinute
            | PlateUnit::Hertz
            | PlateUnit::Hour
            | PlateUnit::NewtonMetre
    ) {
        return;
    }
    let Ok(target) = Unit::parse(usual.text()) else { return };
    for text in written.iter().filter(|text| text.chars().count() > 1) {
        let Ok(unit) = Unit::parse(text) else { continue };
        // Hours under `(d)` or `(yr)` are hours a day or a year, not days.
        if usual != PlateUnit::Hour && convert(Decimal::ONE, &unit, &target).is_ok() {
            heading.foreign = Some(unit);
            return;
        }
        if text.contains('/') {
            heading.confidence = heading.confidence.min(0.6);
            heading.reason = format!("{}, though the unit {text} does not fit", heading.reason);
            return;
        }
    }
}

/// Whether two quantities stand together in one column of real lists: power factor with efficiency, volts with amps, output with
/// speed, speed with poles.
pub fn may_share(first: Reads, second: Reads) -> bool {
    use Reads::*;
    let pair = |a, b| (first, second) == (a, b) || (first, second) == (b, a);
    pair(PowerFactor, Efficiency)
        || pair(Voltage, RatedCurrent)
        || pair(MeasuredVoltage, MeasuredCurrent)
        || pair(RatedPower, RatedSpeed)
        || pair(RatedSpeed, Poles)
        || pair(RatedPower, Poles)
}

fn is_numeric(says: &str) -> bool {
    matches!(says, "power" | "speed" | "voltage" | "current" | "supply")
        || Reads::find(says).is_some_and(|reads| reads.sort() == super::reads::Sort::Number)
        || matches!(says, "efficiency_class" | "drive" | "frame")
}

fn of_unit(unit: PlateUnit) -> Option<&'static str> {
    Some(match unit {
        PlateUnit::Kilowatt | PlateUnit::Watt | PlateUnit::Horsepower | PlateUnit::MetricHorsepower => "power",
        PlateUnit::Kilovoltampere => "apparent_power",
        PlateUnit::Volt | PlateUnit::Kilovolt => "voltage",
        PlateUnit::Ampere => "current",
        PlateUnit::TurnsPerMinute => "speed",
        PlateUnit::Hertz => "frequency",
        PlateUnit::NewtonMetre => "torque",
        PlateUnit::Kilogram => "weight",
        PlateUnit::Hour => "hours_per_year",
        PlateUnit::One | PlateUnit::Percent => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn headings_in_five_languages() {
        let cases: &[(&str, &str)] = &[
            ("Motor HP", "rated_power hp"),
            ("F.L.A", "rated_current"),
            ("FL RPM", "rated_speed"),
            ("Nom. Eff", "efficiency"),
            ("Power Factor", "power_factor"),
            ("Meas. kW", "measured_power kW"),
            ("Meas. V", "measured_voltage"),
            ("Hrs/yr", "hours_per_year"),
            ("Status / Remarks", "remarks"),
            ("Driven equipment", "description"),
            ("Equip Tag", "tag"),
            ("Motor Rating - kW/HP", "rated_power kW hp"),
            ("V/Ph/Hz", "supply"),
            ("FLA (A)", "rated_current A"),
            ("Leistung [kW]", "rated_power kW"),
            ("Drehzahl [1/min]", "rated_speed r/min"),
            ("cos phi", "power_factor"),
            ("U gemessen [V]", "measured_voltage V"),
            ("n gemessen [1/min]", "measured_speed r/min"),
            ("Betriebsstunden/a", "hours_per_year"),
            ("Rated I (A)\n400 V", "rated_current A"),
            ("Measured\nInput power", "measured_power"),
            ("Measured current\nL2", "measured_current"),
            ("Motor Loading Factor", "load"),
            ("No. of Poles", "poles"),
            ("Puissance (kW)", "rated_power kW"),
            ("Puissance absorbée mesurée (kW)", "measured_power kW"),
            ("Vitesse (tr/min)", "rated_speed r/min"),
            ("Repère", "tag"),
            ("Intensité nominale (A)", "rated_current A"),
            ("Potencia (CV)", "rated_power PS"),
            ("Corriente medida (A)", "measured_current A"),
            ("Tensão (V)", "voltage V"),
            ("Rotação (rpm)", "rated_speed r/min"),
            ("Rendimento (%)", "efficiency %"),
            ("Bemerkung", "remarks"),
            ("Pole pairs", "poles"),
            ("Polpaarzahl", "poles"),
            ("Nombre de paires de pôles", "poles"),
            ("P gem. [W]", "measured_power W"),
            ("n gem. [min-1]", "measured_speed r/min"),
            ("Amps L1", "measured_current"),
            ("FLA L1", "rated_current"),
            ("Speed (mm/s)", "rated_speed"),
            ("Invoice", "none"),
            ("N.º equipo", "tag"),
            ("N° repère", "tag"),
            ("AKZ", "tag"),
            ("F.P.", "power_factor"),
            ("Amp. medidos", "measured_current"),
            ("Corrente a plena carga (A)", "rated_current A"),
            ("Typenschilddaten", "nameplate"),
            ("Motor\nkW", "rated_power kW"),
            ("Motor\nManufacturer", "maker"),
            ("VFD output Hz", "output_frequency"),
            ("Gemessene Leistung [kW]", "measured_power kW"),
            ("Potência medida (kW)", "measured_power kW"),
            ("Intensités relevées", "measured_current"),
        ];
        for (text, expected) in cases {
            let heading = read(text, &Own::usual().words);
            let mut found = heading.reads.map_or("none", Reads::key).to_owned();
            if expected.contains(' ') {
                for unit in &heading.units {
                    found = format!("{found} {}", unit.text());
                }
            }
            assert_eq!(found, *expected, "{text}: {heading:?}");
        }
    }

    #[test]
    fn two_quantities_in_one_column() {
        for (text, first, second) in [
            ("PF / Efficiency", Reads::PowerFactor, Reads::Efficiency),
            ("Wirkungsgrad / cos φ", Reads::Efficiency, Reads::PowerFactor),
            ("Volts / Amps", Reads::Voltage, Reads::RatedCurrent),
            ("Rated kW / Speed", Reads::RatedSpeed, Reads::RatedPower),
        ] {
            let heading = read(text, &Own::usual().words);
            if text.starts_with("Rated") {
                // A unit alone is no second quantity.
                assert_eq!((heading.reads, heading.second), (Some(first), None), "{text}");
                continue;
            }
            assert_eq!((heading.reads, heading.second), (Some(first), Some(second)), "{text}");
        }
        let supply = read("Voltage / Frequency", &Own::usual().words);
        assert_eq!((supply.reads, supply.second), (Some(Reads::Supply), None));
    }

    /// Units that stand on no plate: taken where they convert, told where they do not.
    #[test]
    fn foreign_units() {
        for (text, unit) in [
            ("Speed (rev/s)", "r/s"),
            ("Power MW", "MW"),
            ("Rated power\nMW", "MW"),
            ("Current [mA]", "mA"),
            ("Measured speed (rad/s)", "rad/s"),
        ] {
            let heading = read(text, &Own::usual().words);
            let found = heading.foreign.as_ref().map(|unit| unit.text.to_string());
            assert_eq!(found.as_deref(), Some(unit), "{text}: {heading:?}");
        }
        for text in [
            "Speed (n)",
            "Current (I)",
            "Rated power",
            "Power factor (PF)",
            "Running hours (yr)",
            "Speed (rpm)",
        ] {
            assert!(read(text, &Own::usual().words).foreign.is_none(), "{text}");
        }
        let odd = read("Speed (mm/s)", &Own::usual().words);
        assert!(odd.confidence < 0.8 && odd.reason.contains("mm/s"), "{odd:?}");
        let of = &Own::usual().words;
        assert!(read("Pole pairs", of).pairs && !read("No. of poles", of).pairs);
    }
}
